"""Every key of the job file is listed once, in order, and explained."""

import tomllib

from toebox.job import templates
from toebox.job.keys import HINTS, hint, keys
from toebox.job.model import AXLES, SIDES, WHEELS


def written(value, path=()):
    """The paths of a document, places in lists left out."""
    if isinstance(value, dict):
        for name, part in value.items():
            yield from written(part, (*path, name))
    elif isinstance(value, list) and value and isinstance(value[0], dict):
        for part in value:
            yield from written(part, path)
    else:
        yield path


def test_every_key_of_every_template_is_listed():
    listed = {key.path for key in keys()}
    for name in templates.names():
        for path in written(tomllib.loads(templates.text(name))):
            several = {(*path, end) for end in (*AXLES, *SIDES)}  # one value for both
            table = path[:-1]  # { angle = 5, toward = "left" }
            assert path in listed or several & listed or table in listed, path


def test_every_key_or_its_table_is_explained():
    unexplained = [str(key) for key in keys() if not (hint(key.path) or hint(key.path[:-1]))]
    assert unexplained == []


def test_no_explanation_is_left_over():
    paths = {key.path[:n] for key in keys() for n in range(1, len(key.path) + 1)}
    used = set()
    for path in paths:
        general = [part for part in path if part not in (*WHEELS, *SIDES)]
        used.add(".".join(general))
        used.add(".".join(part for part in general if part not in AXLES))
    assert set(HINTS) <= used


def test_the_order_is_that_of_the_schema():
    first = list(dict.fromkeys(key.path[0] for key in keys()))
    assert first == [
        "title", "date", "length_unit", "car", "instruments", "goal", "tie_rods", "adjuster",
        "pass",
    ]  # fmt: skip
