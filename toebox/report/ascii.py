"""Spellings in plain ASCII, for terminals and files that know nothing else."""

from __future__ import annotations

import re
import unicodedata

_SPELLINGS = {
    "±": "+/-", "°": " deg", "′": "'", "″": '"', "−": "-", "–": "-", "—": " - ", "‑": "-",
    "×": "x", "·": "*", "÷": "/", "⁄": "/", "√": "sqrt", "≤": "<=", "≥": ">=", "≈": "~",
    "≠": "!=", "∞": "infinity", "→": "->", "←": "<-", "↔": "<->", "↑": "^", "↓": "v",
    "↻": "(clockwise)", "↺": "(anticlockwise)",
    "●": "(o)", "○": "( )", "▲": "/!\\", "▽": "\\_/", "△": "/_\\", "◆": "<#>", "◇": "< >",
    "■": "[#]", "□": "[ ]", "☐": "[ ]", "☑": "[x]", "•": "-", "…": "...", "⌀": "diameter ",
    "‘": "'", "’": "'", "“": '"', "”": '"', "„": '"', "\xa0": " ", "\u2009": " ", "\u202f": " ",
    "⁰": "^0", "¹": "^1", "²": "^2", "³": "^3", "⁴": "^4", "⁻": "^-",
    "α": "alpha", "β": "beta", "γ": "gamma", "δ": "delta", "θ": "theta", "μ": "mu", "µ": "u",
    "σ": "sigma", "φ": "phi", "ψ": "psi", "Δ": "delta", "Σ": "sum", "ß": "ss", "æ": "ae",
    "ø": "o", "œ": "oe", "�": "?",
}  # fmt: skip
_FRACTION = re.compile("(?<=[0-9])[\xa0 ]?([¼-¾⅐-⅞↉])")
_DEGREES = re.compile("°(?=[0-9])")


def ascii_spelling(text: str) -> str:
    r"""Spell `text` in ASCII, losing no digit and no sign.

    Parameters
    ----------
    text : str
        One line of text.

    Returns
    -------
    str
        The same in ASCII; a letter loses its accents, anything without a spelling
        is shown by its number, as in ``\u4e2d``.

    Examples
    --------
    >>> ascii_spelling("● toe-in 0.12° ± 0.03°, 3½ in")
    '(o) toe-in 0.12 deg +/- 0.03 deg, 3 1/2 in'
    """
    if text.isascii():
        return text
    spaced = _DEGREES.sub(" deg ", _FRACTION.sub(r" \1", text))
    return "".join(char if char.isascii() else _spelled(char) for char in spaced)


def _spelled(char: str) -> str:
    """Spell one character that is not ASCII."""
    if char in _SPELLINGS:
        return _SPELLINGS[char]
    apart = unicodedata.normalize("NFKD", char).replace("⁄", "/")
    plain = "".join(part for part in apart if not unicodedata.combining(part))
    return plain if plain and plain.isascii() else char.encode("ascii", "backslashreplace").decode()
