"""What holds for every test: how long it may take, and how hypothesis searches."""

from __future__ import annotations

import sys
from collections.abc import Generator

import pytest
from hypothesis import HealthCheck, settings

from tests.effort import SWITCH, THOROUGH

settings.register_profile("usual", deadline=None)
settings.register_profile(
    "thorough", deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
settings.load_profile("thorough" if THOROUGH else "usual")


def pytest_report_header() -> str:
    """Say how much effort the tests take, and how to change that."""
    return f"effort: {'thorough' if THOROUGH else f'usual ({SWITCH}=thorough for more)'}"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Let a thorough test take as long as it needs."""
    if THOROUGH:
        for item in items:
            item.add_marker(pytest.mark.timeout(0))


@pytest.hookimpl(wrapper=True, trylast=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, object, object]:
    """Let nothing measure coverage of a test marked `no_cover`, in a worker of pytest-xdist either.

    There a second measurement goes on beside that of pytest-cov, which stops its own alone.
    """
    coverage = sys.modules.get("coverage")
    stopped = []
    if coverage is not None and item.get_closest_marker("no_cover"):
        while (running := coverage.Coverage.current()) is not None:
            running.stop()
            stopped.append(running)
    try:
        return (yield)
    finally:
        for one in reversed(stopped):
            one.start()
