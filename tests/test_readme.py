"""The README shows what the program really does."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.readme import DOCUMENTS, PUBLISHED, README, ROOT, compared, fresh
from toebox.cli.group import COMMANDS
from toebox.correct import correct
from toebox.errors import ExitCode
from toebox.job import load, loads, templates
from toebox.report.forecast import forecast_result
from toebox.report.json import result
from toebox.solve import solve
from toebox.solve.foresee import foresee

TEXT = README.read_text("utf-8")
CI = (ROOT / ".ci" / "run").read_text("utf-8")


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.parent.name + "/" + path.name)
def test_every_generated_part_is_up_to_date(document: Path) -> None:
    text = document.read_text("utf-8")
    assert fresh(text) == text, "run: python -m tests.readme"


def test_every_published_figure_is_named_and_most_sources_have_some() -> None:
    rows = compared()
    assert len(rows) > 100
    assert all(row["what"] for row in rows)
    assert len({row["test"].partition("::")[0] for row in rows}) >= 9
    assert f"]({PUBLISHED.relative_to(ROOT).as_posix()})" in TEXT


def test_a_stale_part_would_be_noticed() -> None:
    for marker in ("<!-- commands -->", "<!-- output: toebox report samples/string-box.toml -->"):
        assert TEXT.count(marker) == 1
        assert fresh(TEXT.replace(marker, f"{marker}\nstale")) == fresh(TEXT)


@pytest.mark.parametrize("name", ["report", "test"])
def test_the_check_script_runs_the_commands_of_the_readme(name: str) -> None:
    found = re.findall(rf"^<!-- command: {name} -->\n```sh\n(.+)\n```$", TEXT, re.M)
    assert len(found) == 1
    assert f"from_readme {name})" in CI


def test_every_exit_code_and_every_command_is_explained() -> None:
    assert all(re.search(rf"^\| {int(code)} \| ", TEXT, re.M) for code in ExitCode)
    assert all(f"### toebox {name}\n" in TEXT for name in COMMANDS)


def test_links_lead_somewhere() -> None:
    headings = {
        re.sub(r"[^\w -]", "", heading).strip().lower().replace(" ", "-")
        for heading in re.findall(r"^#+ (.+)$", TEXT, re.M)
    }
    links = re.findall(r"\]\(([^)]+)\)", TEXT)
    assert len(links) > 5
    for link in links:
        if link.startswith("#"):
            assert link[1:] in headings, link
        elif "://" not in link:
            assert (ROOT / link).exists(), link


def test_drawings_stay_within_eighty_columns_or_so() -> None:
    """A drawing that wraps is no drawing."""
    generated = re.compile(r"<!-- output.*?<!-- end -->", re.S)
    for block in re.findall(r"```text\n(.*?)```", generated.sub("", TEXT), re.S):
        assert max(map(len, block.splitlines())) <= 100


JOBS = sorted([*(ROOT / "samples").glob("*.toml"), *(ROOT / "templates").glob("*.toml")])
NAMED = re.compile(r"(left|right)(_front|_rear)?|front|rear|(front|rear)_total_toe")


def keys(data: object) -> Iterator[str]:
    """Yield every key of a JSON object, whatever depth, but names of results and wheels."""
    if isinstance(data, dict):
        for key, value in data.items():
            if "." not in key and not NAMED.fullmatch(key):
                yield key
            yield from keys(value)
    elif isinstance(data, list):
        for value in data:
            yield from keys(value)


def test_every_key_of_the_json_is_explained() -> None:
    told = TEXT[TEXT.index("\n## JSON\n") :]
    told = re.sub(r"`(\w+)_mm` or `_deg`", r"`\1_mm` or `\1_deg`", told)
    ends = {f"{name}_{unit}" for name in AGREEMENT for unit in ("deg", "mm")}
    found = {key for job in JOBS for key in keys(data_of(job))} - ends
    assert len(found) > 100
    assert not [key for key in sorted(found) if not re.search(rf"[`.]{key}[`.<]", told)]


def test_every_key_of_a_forecast_is_explained() -> None:
    told = TEXT[TEXT.index("`toebox foresee --json JOB` prints") :].split("\n\n")[0]
    found = set()
    for name in templates.names():
        forecast = foresee(loads(templates.text(name), name))
        data = forecast_result(forecast)
        found |= set(data) | {key for step in data["help"] for key in step}
        for one in (*data["expected"].values(), *data["goals"].values()):
            found |= set(one)
    assert {"label", "readings_planned", "doubts"} <= found
    assert not [key for key in sorted(found - {"schema"}) if f"`{key}`" not in told]


def data_of(path: Path) -> object:
    solution = solve(load(path))
    return result(solution, correct(solution))


AGREEMENT = ("first", "second", "difference", "u_difference")  # told once, for both units
