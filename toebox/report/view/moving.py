"""Words for moves of adjusters, and for what they are for."""

from __future__ import annotations

from toebox.correct.adjusters import Move, Outcome
from toebox.solve.standing import basic_settings
from toebox.units import write

BEFORE_TOE = ("caster", "camber")
SYMBOLS = frozenset({"mm", "cm", "m", "in", "ft", "deg", "rad"})  # no plural


def move_words(move: Move) -> str:
    """Say how far to move an adjuster, and which way.

    Parameters
    ----------
    move : Move
        Adjuster and amount.

    Returns
    -------
    str
        Such as ``shorten by 1 1/2 turns`` or ``add 2 shims``; ``leave it``.
    """
    if not move.amount:
        return "leave it"
    size = units_words(abs(move.amount), move.adjuster.unit)
    limit = ", the end of its room" if move.at_limit else ""
    if move.adjuster.unit == "turn":
        return f"{move.way} by {size}{limit}"
    if move.adjuster.unit == "degree":
        return f"turn {size} {move.way}{limit}"
    if move.adjuster.unit == "shim":
        return f"{move.way} {size}{limit}"
    return f"{size} {move.way}{limit}"


def units_words(amount: float, unit: str) -> str:
    """Return an amount in an adjuster's unit.

    Parameters
    ----------
    amount : float
        Not negative [-].
    unit : str
        ``turn``, ``degree``, ``shim`` or the job's own.

    Returns
    -------
    str
        Such as ``1 1/2 turns``, ``30°`` or ``2 shims``.
    """
    if unit == "turn":
        return write.turns(amount)
    digits = 0 if float(amount).is_integer() else 2
    return counted(write.signed(amount, digits), unit)


def counted(number: str, unit: str) -> str:
    """Return a number with an adjuster's unit; a symbol is the same for one and for many.

    Parameters
    ----------
    number : str
        As printed.
    unit : str
        ``degree``, ``shim``, the job's own, ... .

    Returns
    -------
    str
        Such as ``30°``, ``2 notches`` or ``6 mm``.
    """
    if unit in ("degree", "°"):
        return f"{number}°"
    one = number in (write.signed(1.0, digits) for digits in (0, 2))
    if one or unit.lower().rstrip(".") in SYMBOLS or not unit[-1:].isalpha():
        return f"{number} {unit}"
    return f"{number} {unit}{'es' if unit.endswith(('s', 'sh', 'ch', 'x')) else 's'}"


def kind_of(name: str) -> str:
    """Return which setting a goal is about.

    Parameters
    ----------
    name : str
        Name of a setting or of a difference.

    Returns
    -------
    str
        ``caster``, ``camber``, ``toe``, ``total_toe`` or ``thrust_angle``.
    """
    return name.partition(".")[0].removeprefix("cross_")


def is_for(move: Move, outcome: Outcome) -> bool:
    """Return whether an adjuster is for the setting of a goal.

    Parameters
    ----------
    move : Move
        Of the adjuster.
    outcome : Outcome
        Of the goal.

    Returns
    -------
    bool
        True where its own setting is part of what the goal is about.
    """
    return f"{move.adjuster.setting}.{move.adjuster.wheel}" in basic_settings(outcome.name)
