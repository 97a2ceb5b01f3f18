"""Instruments that a job does not state, and the fraction that inches are printed to."""

from __future__ import annotations

import math

import pytest

from toebox.job import loads
from toebox.job.model import Instrument, Job


def job(unit: str, instruments: str = "") -> Job:
    return loads(f'length_unit = "{unit}"\n[instruments]\n{instruments}', "job")


def test_in_inches() -> None:
    read = job("in").instruments
    assert read.string_rule == Instrument(0.0254 / 32, 0.0254 / 32)
    assert read.tape == Instrument(0.0254 / 16, 0.0254 / 16)
    lengths = [read.rim_runout, read.strings_parallel_within, read.box_square_within]
    assert lengths == [0.0254 / 32, 0.0254 / 4, 0.0254 / 4]
    assert read.stated == frozenset()


def test_in_millimetres() -> None:
    read = job("mm").instruments
    assert (read.string_rule, read.tape) == (Instrument(0.001, 0.0005), Instrument(0.001, 0.001))
    lengths = [read.rim_runout, read.strings_parallel_within, read.box_square_within]
    assert lengths == [0.001, 0.006, 0.006]


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_angles(unit: str) -> None:
    read = job(unit).instruments
    tenth, half = math.radians(0.1), math.radians(0.5)
    assert read.inclinometer == Instrument(pytest.approx(tenth), pytest.approx(tenth))
    assert read.turn_plates == Instrument(pytest.approx(half), pytest.approx(half))
    assert read.road_test == Instrument(0.0, pytest.approx(math.radians(3)))


def test_a_resolution_alone_counts_for_the_repeatability_too() -> None:
    read = job("mm", "string_rule = { resolution = 0.2 }\ntape = { repeatability = 2 }").instruments
    assert read.string_rule == Instrument(0.0002, 0.0002)
    assert read.tape == Instrument(0.001, 0.002)
    assert read.stated == {"string_rule", "tape"}


@pytest.mark.parametrize(
    ("instruments", "denominator"),
    [
        ("", 64),
        ('string_rule = { resolution = "1/64" }', 64),
        ('string_rule = { resolution = "1/32" }', 32),
        ('tape = { resolution = "1/16" }', 16),
        ('tape = { resolution = "1/8" }', 16),
        ('tape = { resolution = "1/16" }\nstring_rule = { resolution = "1/128" }', 128),
        ('string_rule = { resolution = "0.1 mm" }', 128),
        ('string_rule = { resolution = "0.5 mm" }', 64),
        ("string_rule = { resolution = 0 }", 64),
        ('rim_runout = "1/32"', 64),
    ],
)
def test_smallest_fraction(instruments: str, denominator: int) -> None:
    assert job("in", instruments).smallest_fraction == denominator
