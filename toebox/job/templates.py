"""Job files to start from, commented so that nothing else need be read first."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

_ORDER = ("string-box", "tape-only", "toe-plates", "steering-wheel", "camber-and-caster", "full")


def names() -> tuple[str, ...]:
    """Return the names of the templates, the one most often wanted first.

    Returns
    -------
    tuple of str
        For example ``string-box``.
    """
    return _ORDER


def text(name: str) -> str:
    """Return a template: a whole job file with comments.

    Parameters
    ----------
    name : str
        One of `names`.

    Returns
    -------
    str
        TOML, lines ending in a newline.

    Raises
    ------
    KeyError
        If there is no template of this name.
    """
    if name not in _ORDER:
        raise KeyError(name)
    installed = files("toebox") / "templates" / f"{name}.toml"
    if installed.is_file():
        return installed.read_text(encoding="utf-8")
    checkout = Path(__file__).parents[2] / "templates" / f"{name}.toml"
    return checkout.read_text(encoding="utf-8")
