"""`toebox sweep`: one wheel without a job file."""

from __future__ import annotations

import json

import pytest
from click.testing import Result

from tests.cli import running


def run(*words: str) -> Result:
    return running.run("sweep", *words)


def data(*words: str) -> dict:
    done = run(*words, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


# caster, inclination, camber straight ahead, steer, camber steered out, camber steered in: degrees,
# computed by rotations in three dimensions (tests/geometry/test_sweep_table.py has the same table).
TABLE = [
    (5, 12, -0.5, 20, 1.954496, -1.476249),
    (3, 8, 0.5, 20, 2.016772, -0.041691),
    (7, 13, -1, 20, 2.209896, -2.596018),
    (-1, 7, 0.25, 20, 0.332261, 1.017293),
    (10, 14, -2, 20, 2.317364, -4.553649),
    (5, 12, -0.5, 10, 0.555546, -1.183230),
]


@pytest.mark.parametrize(("caster", "sai", "camber", "steer", "out", "inn"), TABLE)
def test_the_table(caster, sai, camber, steer, out, inn) -> None:
    both = ["--stop", f"{steer} out: {out}", "--stop", f"{steer} in: {inn}"]
    found = data(*both, "--sai", str(sai))
    assert found["caster"]["angle_deg"] == pytest.approx(caster, abs=3e-6)
    assert found["camber_straight_ahead"]["angle_deg"] == pytest.approx(camber, abs=3e-6)
    assert found["steering_axis_inclination"] is None
    assert not found["inclination_assumed"]
    found = data(*both, "--stop", f"0: {camber}")
    assert found["caster"]["angle_deg"] == pytest.approx(caster, abs=3e-6)
    assert found["steering_axis_inclination"]["angle_deg"] == pytest.approx(sai, abs=2e-4)


def test_two_stops_without_inclination_carry_the_doubt() -> None:
    uneven = ["--stop", "25 out: 2.9", "--stop", "5 in: -0.9"]
    known, unknown = data(*uneven, "--sai", "12"), data(*uneven)
    assert unknown["inclination_assumed"]
    assert unknown["caster"]["u_deg"] > 1.5 * known["caster"]["u_deg"]


def test_words_for_the_signs() -> None:
    plain = data("--stop", "20: 1.95", "--stop=-20: -1.48")
    words = data("--stop", "20 out: 1.95 top out", "--stop", "20 in: 1.48 top in")
    assert plain == words


def test_what_is_printed() -> None:
    done = run("--stop", "20 out: 1.95", "--stop", "20 in: -1.48", "--u", "0.05")
    assert "5.00° caster" in done.output
    assert "1.4619" in done.output
    assert "0.05°" in done.output
    assert "-0.00" not in done.output


@pytest.mark.parametrize("third", [(), ("--stop", "0: 0.22")])
def test_the_stops_are_said_to_give_what_they_give(third: tuple[str, ...]) -> None:
    done = run("--stop", "20 out: 1.95", "--stop", "20 in: -1.48", *third)
    words = " ".join(done.output.split())
    assert ("the stops give tan(caster), tan(inclination) and k." in words) == bool(third)
    assert ("tan(caster) and k, with the inclination as above" in words) != bool(third)


def test_four_stops_show_how_well_they_fit() -> None:
    stops = ["20 out: 2.0", "10 out: 0.6", "10 in: -1.2", "20 in: -1.5"]
    done = run(*(word for stop in stops for word in ("--stop", stop)))
    assert "Camber fitted" in done.output
    assert "Steering-axis inclination" in done.output


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["--stop", "20 out 1.95", "--stop", "20 in: 1"], 3, "a colon between"),
        (["--stop", "70 out: 1.95", "--stop", "20 in: 1"], 3, "from −60 to 60 degrees"),
        (["--stop", "20 out: 1.95", "--stop", "20 in: x"], 3, "wanted: an angle"),
        (["--stop", "20 out: 1.95", "--stop", "20 in: 1", "--sai", "40"], 3, "--sai"),
        (["--stop", "20 out: 1.95", "--stop", "20 in: 1", "--u", "0"], 3, "--u"),
        (["--stop", "20 out: 1.95"], 4, "at least two stops"),
        (["--stop", "20 out: 1.95", "--stop", "20.1 out: 1"], 4, "at least two stops"),
        (["--stop", "2 out: 1", "--stop", "0: 1", "--u", "3"], 4, "too near together"),
        (
            [
                *("--stop", "17.3 in: -7", "--stop", "38 in: 16"),
                *("--stop", "35.1 in: -20.5", "--stop", "36.1 in: 12.7"),
            ],
            4,
            "sweep: no steering axis has such cambers: read them again\n",
        ),
        (
            ["--stop", "20 out: 25", "--stop", "20 in: -25"],
            4,
            "sweep: no steering axis of a car has such cambers: read them again\n",
        ),
        (
            ["--stop", "20 out: 10", "--stop", "20 out: -4", "--stop", "20 in: 0"],
            4,
            "sweep: no steering axis of a car has such cambers: read them again\n",
        ),
        ([], 2, "--stop"),
    ],
)
def test_what_cannot_be_read(words: list[str], code: int, said: str) -> None:
    done = run(*words)
    assert done.exit_code == code
    assert said in done.stderr


def test_the_largest_inclination_that_may_be_given_is_no_fault() -> None:
    both = ["--stop", "20 out: 2", "--stop", "20 in: -1.5"]
    assert data(*both, "--sai", "30")["caster"]["angle_deg"] == pytest.approx(5.1, abs=0.1)


@pytest.mark.parametrize(
    ("stops", "said"),
    [
        (("20 out: -1.95", "20 in: 1.48"), "caster would be about −5 degrees; steer is positive"),
        (("20 in: 1.95", "20 out: -1.48"), "caster would be about −5 degrees; steer is positive"),
        (("20 in: -1.95", "0: 0.5", "20 out: 1.48"), "the steering axis would lean outwards by"),
        (("20 out: 1.95", "0: -0.5", "20 in: -1.48"), ""),
        (("20 out: 1.95", "20 in: -1.48"), ""),
    ],
)
def test_a_sign_turned_round_is_doubted_as_in_a_job(stops: tuple[str, ...], said: str) -> None:
    words = [word for stop in stops for word in ("--stop", stop)]
    for more in ((), ("--json",)):
        done = run(*words, *more)
        assert done.exit_code == 0
        assert done.stderr.startswith(f"toebox: sweep: {said}" if said else "")
        assert bool(done.stderr) == bool(said)
        assert not said or "is one turned round" in done.stderr


@pytest.mark.parametrize(("steer", "told"), [(2, False), (5, False), (20, True)])
def test_an_inclination_that_no_stops_tell_is_not_told(steer: int, told: bool) -> None:
    """Known to worse than 15 degrees (standard), it is taken for granted, as in a job."""
    slope = 0.0875 * steer
    stops = [f"{steer} out: {slope}", "0: 0", f"{steer} in: {-slope}"]
    words = [word for stop in stops for word in ("--stop", stop)]
    found = data(*words)
    assert (found["steering_axis_inclination"] is not None) == told
    assert found["inclination_assumed"] != told
    text = " ".join(run(*words).output.split())
    assert ("these stops cannot tell, and --sai was not given" in text) != told
    assert ("the stops lie within 5 degrees of steer" in text) == (steer == 2)
