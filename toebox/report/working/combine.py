"""Where more than one source speaks of a quantity: by how much each difference counts.

The first source's value is moved by a share of every difference between sources::

    best = first + share x difference,   share = -cov(first, difference) / var(difference)

With several differences the shares solve the same equation as matrices. This is the weighted
least-squares solution that `toebox.estimate` finds by iteration, reached another way (generalised
least squares with condition equations; with two sources, the weighted mean of GUM H.1's kind with
weights 1/u squared).
"""

from __future__ import annotations

import numpy as np

from toebox.estimate import Array
from toebox.report.view.words import name_of
from toebox.report.working.closed import Difference, Found
from toebox.report.working.page import SIDE, TAPER, TOE, WORDLESS, YAW, Page, Word, either
from toebox.report.working.sums import Term, covariance, number

NEGLIGIBLE = 1e-5  # a share of a difference that moves nothing by more [degrees]
SHARE_DIGITS = 5
EXPLAINED = (
    "Each value so far moves by a share of every difference D between the sources. The shares are "
    "those of least squares: they follow from the uncertainties of the readings alone (weights 1/u "
    "squared; u: standard uncertainty) and make that of the result as small as it can be. Whatever "
    "moves nothing is left out."
)


def combine(page: Page, found: Found) -> None:
    """Weigh the sources and put the best values in place of the first ones.

    Parameters
    ----------
    page : Page
        Takes up the lines.
    found : Found
        What every source says by itself; its terms are replaced.
    """
    differences = found.differences
    if not differences:
        return
    u = page.uncertainties()
    names = [name for name in found.terms if name != "setback"]
    first = [found.terms[name] for name in names]
    spread = np.array([[covariance(a.value, b.value, u) for b in differences] for a in differences])
    joint = np.array([[covariance(a, b.value, u) for b in differences] for a in first])
    shares = -joint @ np.linalg.pinv(spread, rcond=1e-12, hermitian=True)
    page.section("several sources put together", EXPLAINED)
    for name, term, row in zip(names, first, shares, strict=True):
        found.terms[name] = _moved(page, name, term, row, differences)


def _moved(page: Page, name: str, term: Term, row: Array, differences: list[Difference]) -> Term:
    """Return a value moved by its shares of the differences, the line printed."""
    moved, symbols = term, "old value"
    for share, difference in zip(row, differences, strict=True):
        part = number(abs(float(share)), SHARE_DIGITS) * difference.value
        if abs(share * difference.value.value) < NEGLIGIBLE:
            moved = moved.depending({k: share * v for k, v in difference.value.slopes.items()})
            continue
        moved = moved + part if share > 0.0 else moved - part
        symbols += f" {'+' if share > 0.0 else '-'} share x {difference.symbol}"
    if moved.text == term.text:
        return moved
    return page.angle(name_of(name), symbols, moved, word_of(name))


WORDS = {
    "toe": TOE,
    "total_toe": TOE,
    "toe_to_thrust": TOE,
    "box.yaw": YAW,
    "box.taper": TAPER,
    "thrust_angle": SIDE,
    "steering_wheel": SIDE,
    "camber": either("top out", "top in", "upright"),
    "caster": either("top rearwards", "top forwards", "upright"),
    "steering_axis_inclination": either("top inwards", "top outwards", "upright"),
    "cross_camber": either("more on the left", "more on the right", "alike"),
    "cross_caster": either("more on the left", "more on the right", "alike"),
    "setback": either("right front wheel further back", "left front wheel further back"),
}


def word_of(name: str) -> Word:
    """Return the word for the sign of a result."""
    return WORDS.get(name) or WORDS.get(name.partition(".")[0], WORDLESS)
