"""What the adjusters of caster and camber do, line by line."""

from __future__ import annotations

import math
from collections.abc import Mapping

from toebox.correct.adjusters import Effects, Move, Outcome, effects, plan_adjusters
from toebox.correct.adjusters.effects import by_arithmetic
from toebox.correct.rods import shortening
from toebox.job.model import Adjuster
from toebox.report.view.words import capital, name_of
from toebox.report.working.page import TOE, Page, Word, either
from toebox.report.working.sums import Term, asin, atan, number, sin
from toebox.solve.results import Solution

_WORDS: Mapping[str, Word] = {
    "caster": either("more caster", "less caster"),
    "camber": either("towards top out", "towards top in"),
    "toe": either("towards toe-in", "towards toe-out"),
}
_STANDS: Mapping[str, Word] = {
    "caster": either("top rearwards", "top forwards", "upright"),
    "camber": either("top out", "top in", "upright"),
    "toe": TOE,
}
_INTRODUCTION = (
    "How far to move each comes from the bounded least squares of all goals of an axle together, "
    "rounded to what can be set; lengthening, turning clockwise, adding and more count as "
    "positive. What the moves then give follows by hand:"
)


def adjuster_forms(page: Page, solution: Solution) -> None:
    """Work out what one unit of each adjuster gives, and what the moves give.

    Parameters
    ----------
    page : Page
        Takes up the lines.
    solution : Solution
        A solved job; its last pass counts.
    """
    plan, known = plan_adjusters(solution), effects(solution)
    if not plan.to_turn:
        return
    page.section("the adjusters of caster and camber", _INTRODUCTION)
    turned = [move for move in plan.moves if move.amount]
    evens = {m.adjuster.name: _even(page, m) for m in turned}
    units = {m.adjuster.name: _unit(page, m.adjuster, known) for m in turned}
    for outcome in plan.outcomes:
        _then(page, outcome, turned, known, evens, units)


def _named(adjuster: Adjuster) -> str:
    return capital(adjuster.name)


def _even(page: Page, move: Move) -> Term:
    """Work out a move in units of equal effect: for a cam, degrees at its middle."""
    adjuster, amount = move.adjuster, number(move.amount, 5, strip=True)
    if adjuster.kind != "cam":
        return amount
    stands = math.degrees(adjuster.position) + page.job.moved(adjuster.name)
    position = number(stands, 5, strip=True)
    swing = (sin(position + amount) - sin(position)) * number(math.degrees(1.0), 5)
    return page.ratio(
        f"{_named(adjuster)}, degrees at its middle that do as much",
        "(sin(position + turn) - sin position) x (180 / pi)",
        swing,
    )


def _unit(page: Page, adjuster: Adjuster, known: Effects) -> Term:
    """Work out what one unit gives of the setting that an adjuster is for."""
    effect = known[adjuster.name, adjuster.setting].value
    word = _WORDS[adjuster.setting]
    told = by_arithmetic(adjuster)
    if told is None or adjuster.lever_arm is None or abs(told - effect) > 1e-9:
        return page.degrees(effect)
    size, formula = _size(page, adjuster)
    tilt = size * number(adjuster.ratio, 5, strip=True) / page.size(adjuster.lever_arm)
    angle = atan(tilt) if adjuster.kind == "shims" else asin(tilt)
    what = angle if adjuster.sense > 0.0 else number(0.0, 0) - angle
    return page.angle(f"{_named(adjuster)}, one {adjuster.unit}", formula, what, word)


def _size(page: Page, adjuster: Adjuster) -> tuple[Term, str]:
    """Return how far one unit moves the adjuster's own end, and the formula for the tilt."""
    if adjuster.thread is not None:
        advance = abs(shortening(adjuster.thread, adjuster.second_thread))
        return page.size(advance), "asin(advance x ratio / lever arm)"
    if adjuster.thickness is not None:
        return page.size(adjuster.thickness), "atan(thickness x ratio / lever arm)"
    arc = page.size(adjuster.eccentricity or 0.0) * number(math.radians(1.0), 9)
    return arc, "asin(eccentricity x (pi / 180) x ratio / lever arm)"


def _then(
    page: Page,
    outcome: Outcome,
    turned: list[Move],
    known: Effects,
    evens: Mapping[str, Term],
    units: Mapping[str, Term],
) -> None:
    """Work out where a setting of one wheel stands after the moves."""
    kind, _, wheel = outcome.name.partition(".")
    if kind not in _WORDS:
        return
    then = page.degrees(outcome.standing.result.value)
    for adjuster in (move.adjuster for move in turned if move.adjuster.wheel == wheel):
        effect = known[adjuster.name, kind].value
        if effect:
            unit = units[adjuster.name] if kind == adjuster.setting else page.degrees(effect)
            then = then + unit * evens[adjuster.name]
    label = f"{name_of(outcome.name)} then"
    page.angle(label, "found + sum of (effect x move)", then, _STANDS[kind])
