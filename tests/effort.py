"""How much effort the tests take: little by default, much with ``TOEBOX_TESTS=thorough``."""

from __future__ import annotations

import os

SWITCH = "TOEBOX_TESTS"
THOROUGH = os.environ.get(SWITCH) == "thorough"


def examples(usual: int, thorough: int = 10_000) -> int:
    """Return how many examples a property is tried on."""
    return thorough if THOROUGH else usual
