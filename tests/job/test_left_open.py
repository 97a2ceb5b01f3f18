"""A value left open as ``"?"`` is asked for or counts as left out; it never means more."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from toebox.errors import FaultyInput
from toebox.job import loads, templates
from toebox.job.complete import complete
from toebox.job.model import Job
from toebox.job.notes import Notes
from toebox.job.schema import places as places_of_keys

SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.toml"))
TEXTS = {path.stem: path.read_text("utf-8") for path in SAMPLES}
TEXTS |= {f"template {name}": templates.text(name) for name in templates.names()}


def job_of(document: dict[str, Any]) -> Job | None:
    """Return the job that a document makes, None where it is refused."""
    return complete(Notes(places_of_keys()), document, "job")


def places(part: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the place of every key of a document."""
    items = part.items() if isinstance(part, dict) else enumerate(part)
    for key, value in items:
        if isinstance(part, dict):
            yield (*path, key)
        if isinstance(value, dict | list):
            yield from places(value, (*path, key))


def at(document: dict[str, Any], path: tuple[Any, ...]) -> Any:
    """Return what stands at a place."""
    for key in path:
        document = document[key]
    return document


def without(document: dict[str, Any], path: tuple[Any, ...]) -> dict[str, Any]:
    """Return a copy without what stands at a place."""
    rest = copy.deepcopy(document)
    del at(rest, path[:-1])[path[-1]]
    return rest


@pytest.mark.no_cover
@pytest.mark.parametrize("name", TEXTS)
def test_any_value_left_open_is_refused_or_left_out(name: str) -> None:
    document = tomllib.loads(TEXTS[name])
    refused = 0
    for path in places(document):
        left_open = copy.deepcopy(document)
        at(left_open, path[:-1])[path[-1]] = "?"
        job = job_of(left_open)
        refused += job is None
        if job is not None and path[2:3] == ("turned",) and len(path) == 4:
            # Something may have been turned there: unlike what is left out, that is not known.
            readings = job.passes[path[1]]
            assert readings.turns_unknown == {path[3]}
            told = readings._replace(turns_unknown=frozenset())
            passes = (*job.passes[: path[1]], told, *job.passes[path[1] + 1 :])
            assert job._replace(passes=passes) == job_of(without(document, path))
        elif job is not None:
            # Without it, or without the table that means nothing without it.
            tables = (path[:end] for end in range(len(path), 0, -1))
            assert any(job == job_of(without(document, part)) for part in tables), path
    assert refused > 3


def test_without_its_unit_no_length_is_read() -> None:
    text = TEXTS["metric"].replace('length_unit = "mm"', 'length_unit = "?"')
    with pytest.raises(FaultyInput, match=r'line \d+: length_unit: given "\?"; wanted: "in" or'):
        loads(text, "job")


@pytest.mark.parametrize("given", ['angle = 6, toward = "?"', 'angle = "?", toward = "left"'])
def test_half_a_road_test_is_none(given: str) -> None:
    text = f'length_unit = "in"\n[[pass]]\nsteering_wheel_off = {{ {given} }}\n'
    with pytest.raises(FaultyInput, match=r"steering_wheel_off.*still to be taken"):
        loads(text, "job")


def test_an_adjuster_left_open_takes_its_moves_along() -> None:
    """Its name in a pass is then unknown; those of the others keep their meaning."""
    text = TEXTS["caster-and-camber"].replace('kind = "strut rod"', 'kind = "?"', 1)
    with pytest.raises(FaultyInput, match=r'"left strut rod": given an unknown key') as caught:
        loads(text, "job")
    assert len(caught.value.faults) == 1


@pytest.mark.parametrize("key", ["pass", "adjuster"])
@pytest.mark.parametrize("value", ["5", "true", '"x"', "{}", "2026-04-18"])
def test_what_is_no_list_of_tables_is_refused(key: str, value: str) -> None:
    with pytest.raises(FaultyInput, match=rf"^job: line 1: {key}: given .*; wanted: "):
        loads(f'{key} = {value}\nlength_unit = "in"\n', "job")
