"""What was found: every determined result of a pass, as numbers and as a plan of the car."""

from __future__ import annotations

from toebox.job.model import Job
from toebox.report.blocks import Block, Figure, Paragraph, Section, Table
from toebox.report.drawing import PlanData
from toebox.report.view.words import (
    digits_of,
    distance_of,
    interval_of,
    name_of,
    value_of,
    with_interval,
)
from toebox.solve.gauge_results import GAUGE_RESULTS
from toebox.solve.results import PassSolution, Result
from toebox.units import write

TOES = (
    "toe.left_front",
    "toe.right_front",
    "total_toe.front",
    "toe.left_rear",
    "toe.right_rear",
    "total_toe.rear",
)
OTHERS = (
    "thrust_angle",
    "steering_wheel",
    "toe_to_thrust.left_front",
    "toe_to_thrust.right_front",
    "setback",
    *GAUGE_RESULTS,
    "box.yaw",
    "box.taper",
)
INTERVALS = "± is the 95 % interval (k = 2) of stated uncertainties."


def found(job: Job, solved: PassSolution) -> Section | None:
    """Say what a pass found.

    Parameters
    ----------
    job : Job
        Units.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    Section or None
        For the summary; None where the pass found nothing.
    """
    blocks: list[Block] = []
    toes = [solved[name] for name in TOES if name in solved.results]
    if toes:
        rows = tuple(
            (*_cells(r, job), distance_of(r, job)) for r in toes
        )
        blocks.append(Table(("Toe", "Angle", "95 %", "As a distance"), rows, "llrl"))
    others = [solved[name] for name in OTHERS if name in solved.results]
    if others:
        other_rows = tuple(_cells(r, job) for r in others)
        blocks.append(Table(("Setting", "Found", "95 %"), other_rows, "llr"))
    if not blocks:
        return None
    blocks.append(Paragraph(INTERVALS, "note"))
    return Section(f"What was found: {solved.label}", tuple(blocks), summary=True)


def _cells(result: Result, job: Job) -> tuple[str, str, str]:
    value = value_of(result.name, result.value, job)
    return name_of(result.name), value, interval_of(result, job)


def plan(job: Job, solved: PassSolution) -> Section | None:
    """Draw the car from above.

    Parameters
    ----------
    job : Job
        Sizes of the car.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    Section or None
        With the plan drawing; None where the toe of no single wheel was measured.
    """
    drawn = {name.partition(".")[2]: name for name in TOES if name.startswith("toe.")}
    named = {**drawn, "thrust": "thrust_angle", "steering_wheel": "steering_wheel"}
    results = {key: solved.get(name) for key, name in named.items()}
    values = {key: r.value if r else None for key, r in results.items()}
    if all(values[wheel] is None for wheel in drawn):
        return None
    car = job.car
    data = PlanData(
        wheelbase=car.wheelbase,
        track_front=car.track.get("front"),
        track_rear=car.track.get("rear"),
        tyre_diameter=car.tyre_diameter.get("front") or car.tyre_diameter.get("rear"),
        toe={wheel: values[wheel] for wheel in drawn},
        thrust=values["thrust"],
        steering_wheel=values["steering_wheel"],
        labels={key: with_interval(r, job) for key, r in results.items() if r},
    )
    caption = "The car from above, front up; ± as in the tables."
    return Section("Plan of the car", (Figure("plan", data, caption),))


STAYS, IS_SET, IS_MOVED = (
    "and the front wheels are set to that line",
    "until they are set; the front wheels are set to the line that they then give",
    "until the adjusters are moved; the front wheels are set to the line that they then give",
)


def thrust_words(solved: PassSolution, then: str) -> str:
    """Say in a sentence where the rear wheels point.

    Parameters
    ----------
    solved : PassSolution
        Results of a pass.
    then : str
        What comes of that line: `STAYS`, `IS_SET` by readings, or `IS_MOVED` by adjusters.

    Returns
    -------
    str
        A sentence; empty where the thrust angle was not measured.
    """
    thrust = solved.get("thrust_angle")
    if thrust is None:
        return ""
    half = write.degrees(2.0 * thrust.u, digits_of(thrust.name))
    if abs(thrust.value) <= 2.0 * thrust.u:
        return (
            f"The rear wheels point straight ahead as far as these readings tell (thrust angle "
            f"{write.side_words(thrust.value)}, ± {half})."
        )
    return (
        f"The rear wheels point {write.side_words(thrust.value)} of the centreline (± {half}); "
        f"the car runs that way, slightly sideways, {then}."
    )
