"""The same surroundings for every test of the command line."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def plain_surroundings(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take away what whoever runs the tests may have set, so that it cannot change a page."""
    for name in ("COLUMNS", "NO_COLOR", "TOEBOX_TRACEBACK"):
        monkeypatch.delenv(name, raising=False)
