"""What follows from the toe of each wheel: totals, thrust angle, steering wheel."""

from __future__ import annotations

import math

from toebox.job.model import AXLES, SIDES
from toebox.report.view.words import interval_of, name_of, value_of
from toebox.report.working.closed import Found, words_of
from toebox.report.working.combine import word_of
from toebox.report.working.page import SCALES, SIDE, TOE, Page
from toebox.report.working.sums import number, uncertainty
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.gauge_results import GAUGE_RESULTS
from toebox.solve.results import TOE_RESULTS, Result

ALIKE = 0.02  # uncertainties nearer than this share are one
# Nearer than this the working and the estimator say the same [degrees]: a twentieth of the last
# printed digit; for inclination, weighed to first order alone, half of it.
USUALLY_NEAR = 5e-4
NEAR = {
    "steering_wheel": 5e-3,
    "camber": 2e-3,
    "caster": 2e-3,
    "cross_caster": 2e-3,
    "steering_axis_inclination": 1e-2,
}


def derive(page: Page, found: Found) -> None:
    """Work out what follows from the best values.

    Parameters
    ----------
    page : Page
        Takes up the lines.
    found : Found
        Best values; what follows is added.
    """
    terms = found.terms
    page.section("what follows from the toe of each wheel")
    for axle in AXLES:
        left, right = (terms.get(f"toe.{side}_{axle}") for side in SIDES)
        if left is not None and right is not None:
            label = f"{words_of(axle)} total toe"
            terms[f"total_toe.{axle}"] = page.angle(
                label, "T = t left + t right", left + right, TOE
            )
    left, right = terms.get("toe.left_rear"), terms.get("toe.right_rear")
    if left is not None and right is not None:
        symbols = "(t left rear - t right rear) / 2"
        terms["thrust_angle"] = page.angle("Thrust angle", symbols, (left - right) / 2.0, SIDE)
    _to_thrust(page, found)
    _steering_wheel(page, found)


def _to_thrust(page: Page, found: Found) -> None:
    """Work out the toe of both front wheels relative to the thrust line."""
    thrust = found.terms.get("thrust_angle")
    for side in SIDES:
        toe = found.terms.get(f"toe.{side}_front")
        if toe is None or thrust is None:
            continue
        what = toe - thrust if side == "left" else toe + thrust
        symbols = f"t {'-' if side == 'left' else '+'} thrust"
        label = f"{words_of(side)} front, to the thrust line"
        found.terms[f"toe_to_thrust.{side}_front"] = page.angle(label, symbols, what, TOE)


def _steering_wheel(page: Page, found: Found) -> None:
    """Work out where the steering wheel stands by the best toes."""
    ratio, thrust = page.job.car.steering_ratio, found.terms.get("thrust_angle")
    left, right = (found.terms.get(f"toe.{side}_front") for side in SIDES)
    if ratio is None or thrust is None or left is None or right is None:
        return
    what = number(ratio, 6, strip=True) * (thrust - (left - right) / 2.0)
    symbols = "ratio x (thrust - (t left front - t right front) / 2)"
    found.terms["steering_wheel"] = page.angle("Steering wheel", symbols, what, SIDE)


def compare(page: Page, found: Found) -> None:
    """Set what this working gives beside what the report prints.

    Parameters
    ----------
    page : Page
        Takes up the table.
    found : Found
        Everything that was worked out.
    """
    page.section("what this gives, and what the report prints")
    rows, without, u = [], [], page.uncertainties()
    for name in (*TOE_RESULTS, *GAUGE_RESULTS):
        term, result = found.terms.get(name), page.solved.get(name)
        if result is None:
            continue
        if term is None or not agrees(page, found, name):
            without.append(name_of(name))
            continue
        unit = f" {page.unit}" if name == "setback" else "°"
        meaning = word_of(name)(term.value)
        by_hand = f"{term.text}{unit}" + (f" ({meaning})" if meaning else "")
        half = number(COVERAGE_FACTOR * uncertainty(term, u), 4).text
        printed, interval = value_of(name, result.value, page.job), interval_of(result, page.job)
        if name == "setback":  # its other unit would make the table too wide
            printed, interval = (text.partition(" (")[0] for text in (printed, interval))
        rows.append((name_of(name), by_hand, f"± {half}{unit}", printed, interval))
    if rows:
        columns = ("Result", "By this working", "2 x u", "As printed", "95 %")
        page.table(columns, rows, "llrlr")
    if without:
        page.say(f"Fitted to all readings at once, without a short formula: {', '.join(without)}.")


def _shown_u(page: Page, result: Result) -> float:
    """Return the estimator's uncertainty of a result in the unit of the working."""
    return result.u / SCALES[page.unit] if result.name == "setback" else math.degrees(result.u)


def agrees(page: Page, found: Found, name: str) -> bool:
    """Return whether the working reaches the estimator's result.

    Parameters
    ----------
    page : Page
        For the result.
    found : Found
        Everything that was worked out.
    name : str
        Name of the result.

    Returns
    -------
    bool
        True where both agree beyond the digits that are printed.
    """
    term, result = found.terms.get(name), page.solved.get(name)
    if term is None or result is None:
        return False
    ours, theirs = uncertainty(term, page.uncertainties()), _shown_u(page, result)
    if abs(ours - theirs) > ALIKE * theirs:
        return False
    if name == "setback":
        return abs(term.value * SCALES[page.unit] - result.value) < 1e-6
    near = NEAR.get(name.partition(".")[0], USUALLY_NEAR)
    return abs(term.value - math.degrees(result.value)) < near
