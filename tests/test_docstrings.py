"""Public docstrings say what signatures say, with units.

In the mathematics every parameter and result is told. Elsewhere a docstring may be one line; where
it lists parameters, it lists all of them, in order, with units.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from types import ModuleType
from typing import Any

import pytest
from numpydoc.docscrape import ClassDoc, FunctionDoc, Parameter

MATHEMATICS = ("toebox.estimate", "toebox.reliability", "toebox.geometry")
ELSEWHERE = ("toebox.units", "toebox.job", "toebox.solve", "toebox.correct")
NUMBER = re.compile(r"\b(float|X|NDArray|Array)\b")
UNIT = re.compile(r"\[(m|mm|in|rad|deg|turn|-|unit [^]]+)\]")


def modules(packages: tuple[str, ...]) -> Iterator[ModuleType]:
    """Yield every public module of the packages."""
    for name in packages:
        package = importlib.import_module(name)
        yield package
        for info in pkgutil.walk_packages(getattr(package, "__path__", []), name + "."):
            if not info.name.rpartition(".")[2].startswith("_"):
                yield importlib.import_module(info.name)


def public(packages: tuple[str, ...]) -> Iterator[tuple[str, Any]]:
    """Yield every public function, class and method with its full name."""
    for module in modules(packages):
        for name, thing in vars(module).items():
            if name.startswith("_") or getattr(thing, "__module__", "") != module.__name__:
                continue
            if inspect.isfunction(thing) or inspect.isclass(thing):
                yield f"{module.__name__}.{name}", thing
            for method in vars(thing) if inspect.isclass(thing) else ():
                if not method.startswith("_") and inspect.isfunction(vars(thing)[method]):
                    yield f"{module.__name__}.{name}.{method}", vars(thing)[method]


def arguments(thing: Any) -> dict[str, str]:
    """Return the annotation of each argument by name."""
    parameters = inspect.signature(thing).parameters.values()
    return {p.name: str(p.annotation) for p in parameters if p.name != "self"}


def documented(thing: Any) -> list[Parameter]:
    """Return the documented parameters; two names on one line are two parameters."""
    doc = ClassDoc(thing) if inspect.isclass(thing) else FunctionDoc(thing)
    return [
        Parameter(name.strip(), parameter.type, parameter.desc)
        for parameter in doc["Parameters"]
        for name in parameter.name.split(",")
    ]


EVERYTHING = dict(public(MATHEMATICS))
FUNCTIONS = {name: thing for name, thing in EVERYTHING.items() if inspect.isfunction(thing)}
LISTED = {name: thing for name, thing in public(ELSEWHERE) if documented(thing)} | EVERYTHING


@pytest.mark.parametrize("name", LISTED)
def test_parameters_are_those_of_the_signature(name: str) -> None:
    thing = LISTED[name]
    assert [p.name for p in documented(thing)] == list(arguments(thing))


@pytest.mark.parametrize("name", LISTED)
def test_numbers_have_a_unit(name: str) -> None:
    annotations = arguments(LISTED[name])
    for parameter in documented(LISTED[name]):
        if NUMBER.search(annotations.get(parameter.name, "")):
            said = " ".join(parameter.desc)
            assert UNIT.search(said), f"{name}: {parameter.name}"


@pytest.mark.parametrize("name", FUNCTIONS)
def test_results_are_told(name: str) -> None:
    function = FUNCTIONS[name]
    result = str(inspect.signature(function).return_annotation)
    told = FunctionDoc(function)["Returns"]
    if result == "None":
        assert not told
        return
    assert told, "no section Returns"
    if NUMBER.search(result) and "dict" not in result:
        for part in told:
            said = " ".join(part.desc)
            assert UNIT.search(said), f"{name}: {part}"


@pytest.mark.parametrize("name", FUNCTIONS)
def test_errors_are_told(name: str) -> None:
    function: Callable[..., Any] = FUNCTIONS[name]
    raised = set(re.findall(r"^\s+raise (\w+)", inspect.getsource(function), re.MULTILINE))
    assert raised <= {part.type for part in FunctionDoc(function)["Raises"]}


def test_enough_was_found() -> None:
    assert "toebox.geometry.box.wheel_toe" in FUNCTIONS
    assert "toebox.geometry.sweep.Sweep" in EVERYTHING
    assert "toebox.geometry.sweep.Sweep.camber" in FUNCTIONS
    assert len(EVERYTHING) > 30
