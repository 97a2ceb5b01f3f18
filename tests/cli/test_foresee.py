"""foresee: what it says before anything is measured."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.cli.jobs import HEAD, MET, NO_BAND
from tests.cli.jobs import written as job_file
from tests.cli.running import ROOT, run
from toebox.job import templates
from toebox.job.reader import loads
from toebox.report.text import render_text
from toebox.report.view.forecast import make_forecast
from toebox.report.view.helps import INSTRUMENTS, WORDS
from toebox.solve import improve
from toebox.solve.foresee import foresee
from toebox.solve.plan import Plan

PLAN = '[[pass]]\ntape.front = { front_edge = "?", rear_edge = "?" }\n'


@pytest.fixture
def plan(tmp_path: Path) -> str:
    return job_file(tmp_path, "plan.toml", HEAD + MET + PLAN)


def test_a_plan_is_told_in_words(plan: str) -> None:
    """Read and repeated to 0.01 mm: u is 0.0147 mm across 600 mm, so all is proven."""
    done = run("foresee", plan)
    assert (done.exit_code, done.stderr) == (0, "")
    words = " ".join(done.stdout.split())
    assert "2 readings planned, pass 1" in words
    known = "Front total toe will be known to ± under 0.1 mm across 600.0 mm (± under 0.01°)"
    assert f"● {known}; your goal's tolerance is ± 1.0 mm across 600.0 mm (± 0.10°)" in words
    assert "Your plan will do as it stands" in words
    assert "it can be proven (chance over 99 % for a car exactly on goal)" in words
    assert "What will not be known" in words


def test_a_coarse_tape_cannot_prove_a_fine_goal(tmp_path: Path) -> None:
    text = (HEAD + MET + PLAN).replace(
        "tape = { resolution = 0.01, repeatability = 0.01 }", "tape = { resolution = 2 }"
    )
    done = run("foresee", job_file(tmp_path, text=text))
    words = " ".join(done.stdout.split())
    assert "■ Front total toe will be known to ± 5.9 mm across 600.0 mm (± 0.56°)" in words
    assert "it cannot be proven, however well the car stands" in words
    data = json.loads(run("foresee", "--json", job_file(tmp_path, text=text)).stdout)
    finer = "Use a finer tape, pulled evenly: read to 1 mm, repeating within 1 mm"
    (tape,) = [one for one in data["help"] if one["kinds"] == ["tape"]]
    assert tape["words"] == [finer]
    half = data["expected"]["total_toe.front"]["half_width_95_deg"] / 2
    assert tape["expected"]["total_toe.front"]["half_width_95_deg"] == pytest.approx(half)


def test_json_is_one_line_of_numbers(plan: str) -> None:
    done = run("foresee", "--json", plan)
    assert done.exit_code == 0
    (line,) = done.stdout.splitlines()
    data = json.loads(line)
    assert data["schema"] == "toebox.forecast/1"
    assert data["readings_planned"] == 2
    total = data["expected"]["total_toe.front"]
    assert total["half_width_95_deg"] == pytest.approx(2 * total["u_deg"])
    assert total["across_mm"] == 600
    assert data["goals"]["front_total_toe"]["probability_proven_on_goal"] > 0.99
    assert data["help"][0]["words"][0]
    assert data["not_measured"]["thrust_angle"].startswith("needs ")


@pytest.mark.parametrize("command", ["solve", "report"])
def test_a_plan_is_no_job_yet(plan: str, command: str) -> None:
    done = run(command, plan)
    assert (done.exit_code, done.stdout) == (3, "")
    wanted = "the reading itself, still to be taken"
    told = re.findall(rf'(\S+): given "\?"; wanted: {wanted}', done.stderr)
    assert told == ["pass[1].tape.front.front_edge", "pass[1].tape.front.rear_edge"]


def test_a_job_without_readings_is_told_what_to_write(tmp_path: Path) -> None:
    done = run("foresee", job_file(tmp_path, text=HEAD + MET))
    assert (done.exit_code, done.stdout) == (4, "")
    assert 'write "?" for each that you mean to take' in done.stderr


def test_a_job_without_a_tolerance_is_told_so(tmp_path: Path) -> None:
    done = run("foresee", job_file(tmp_path, text=HEAD + NO_BAND + PLAN))
    assert "no goal with a tolerance" in done.stdout
    assert "What would help most" in done.stdout


# What it takes: an instrument so fine that the first step alone is enough, one that a few mend,
# and one so coarse that nothing does.
TAKES = {
    "resolution = 0.1": "Your plan will do as it stands",
    "resolution = 0.8": r"To prove every goal, number \d+ alone will do",
    "resolution = 2": r"To prove every goal, (number \d+ alone will do|do [\d, ]+ and \d+ at once)",
}


@pytest.mark.parametrize("tape", TAKES)
def test_it_says_what_it_takes_to_prove_every_goal(tmp_path: Path, tape: str) -> None:
    text = (HEAD + MET + PLAN).replace(
        "tape = { resolution = 0.01, repeatability = 0.01", f"tape = {{ {tape}"
    )
    words = " ".join(run("foresee", job_file(tmp_path, text=text)).stdout.split())
    assert re.search(TAKES[tape], words), words


def test_it_says_what_even_all_of_it_will_not_prove(tmp_path: Path) -> None:
    text = (HEAD + MET + PLAN).replace('tolerance = "1 mm"', 'tolerance = "0.03 mm"')
    text = text.replace("0.01, repeatability = 0.01", "2, repeatability = 2")
    assert "0.03 mm" in text
    words = " ".join(run("foresee", job_file(tmp_path, text=text)).stdout.split())
    short = r"Even [\d, and]+ do not make sure of: Front total toe \(chance \d+ %\)\."
    assert re.search(short, words)


CAMBER = """camber.left_front = { angle = "0.5 top in", tolerance = 0.3 }
[[pass]]
inclinometer.left_front = { camber = [-0.5, -0.5], camber_turned = [-0.5, -0.5] }
"""
KNOWN = "● Left front camber is known from pass 1: 0.50° top in"


def test_what_a_pass_before_tells_is_known_and_not_advised(tmp_path: Path) -> None:
    job = job_file(tmp_path, text=HEAD + MET + CAMBER + PLAN)
    words = " ".join(run("foresee", job).stdout.split())
    assert KNOWN in words
    assert "proven to be within its goal." in words
    assert "Not known at all" not in words
    assert "Measure camber" not in words
    goal = json.loads(run("foresee", "--json", job).stdout)["goals"]["camber.left_front"]
    assert (goal["known_from_pass"], goal["known"]) == (1, "within")
    assert (goal["can_be_proven"], goal["probability_proven_on_goal"]) == (None, None)


TAPES = """
length_unit = "mm"
car.tyre_diameter = 600
goal.front_total_toe = { angle = 0.15, tolerance = 0.5 }
[[pass]]
tape.front = { front_edge = 1400, rear_edge = 1401.5 }
[[pass]]
turned = { left = "?", right = "?" }
tape.rear = { front_edge = 1400, rear_edge = ROAR }
"""


@pytest.mark.parametrize(("rear", "known"), [("1401", False), ('"?"', True)])
def test_a_turn_that_is_open_counts_once_its_pass_is_read(tmp_path: Path, rear, known) -> None:
    """As in solve: nobody knows what was turned; a pass that is only planned has turned nothing."""
    job = job_file(tmp_path, text=TAPES.replace("ROAR", rear))
    goal = json.loads(run("foresee", "--json", job).stdout)["goals"]["front_total_toe"]
    assert ("known" in goal) == known
    assert known or goal["can_be_proven"] is False


@pytest.mark.parametrize("name", templates.names())
@pytest.mark.parametrize("width", [40, 100])
def test_every_template_can_be_foreseen(name: str, width: int) -> None:
    view = make_forecast(foresee(loads(templates.text(name), name)))
    text = render_text(view, width)
    assert max(map(len, text.splitlines())) <= width
    assert "nan" not in text
    assert "-0.0" not in text


def test_every_step_has_words() -> None:
    """From every template and from a bare pass, each change that applies can be told."""
    jobs = [loads(templates.text(name), name) for name in templates.names()]
    jobs.append(loads((ROOT / "samples" / "metric.toml").read_text("utf-8"), "metric"))
    kinds = set()
    for job in jobs:
        for change in improve.changes():
            step = change(Plan(job, job.passes[0]))
            if step is not None:
                kinds.add(step.kind)
    assert kinds <= set(INSTRUMENTS) | set(WORDS)
    assert len(kinds) >= 12
