"""`toebox centre`: a crooked steering wheel put straight, without a job file."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import click

from toebox.cli import output

if TYPE_CHECKING:
    from toebox.cli.answer import Answer
    from toebox.errors import FaultyInput
    from toebox.job.model import Job

NAME = "toebox centre"
TITLE = "A steering wheel to centre"

ROAD_TEST = "2"  # degrees
# Where the job file has what an option gives.
_KEYS = {
    "ratio": "car.steering_ratio",
    "splines": "car.steering_wheel_splines",
    "wheelbase": "car.wheelbase",
    "rim": "car.rim_diameter",
    "repeats": "instruments.road_test.repeatability",
    "arm": "tie_rods.arm_length",
    "arm_within": "tie_rods.arm_length_within",
    "thread": "tie_rods.outer_thread",
    "inner_thread": "tie_rods.inner_thread",
    "smallest_turn": "tie_rods.smallest_turn",
}
_SIDES = {"engaged": "outer_engaged", "inner_engaged": "inner_engaged"}
_PLACE = re.compile(r"\[\d+\]$")


@click.command("centre")
@click.option(
    "--off",
    multiple=True,
    metavar="ANGLE",
    help='How far the steering wheel stands off while the car runs straight: "6 left". Give it '
    "once for each drive.",
)
@click.option("--ratio", metavar="N", help="Steering ratio: 16.5 for 16.5 to 1.")
@click.option(
    "--repeats",
    metavar="DEGREES",
    help=f"How well the road test repeats, as a standard deviation.  [default: {ROAD_TEST}]",
)
@click.option(
    "--turns-to-lock",
    nargs=2,
    metavar="LEFT RIGHT",
    help="Turns of the steering wheel from its spokes straight to each lock.",
)
@click.option("--splines", metavar="N", help="Teeth of the spline under the steering wheel.")
@click.option("--arm", metavar="LENGTH", help="Steering axis to tie-rod joint.")
@click.option("--arm-within", metavar="LENGTH", help="How far off that may be.  [default: 15 %]")
@click.option("--ahead", is_flag=True, help="The tie rods lie ahead of the front axle line.")
@click.option("--thread", metavar="THREAD", help="Outer end of the tie rods: M14x1.5, 5/8-18-LH.")
@click.option("--inner-thread", metavar="THREAD", help="Inner end, where it is threaded too.")
@click.option("--engaged", nargs=2, metavar="LEFT RIGHT", help="Thread engaged, outer ends.")
@click.option("--inner-engaged", nargs=2, metavar="LEFT RIGHT", help="Thread engaged, inner ends.")
@click.option("--smallest-turn", metavar="TURN", help="What can be set.  [default: 1/6, one flat]")
@click.option(
    "--string",
    "strings",
    nargs=3,
    multiple=True,
    metavar="WHEEL FRONT REAR",
    help="String to the front and rear edge of a rim; WHEEL is left_front, right_front, left_rear "
    "or right_rear.",
)
@click.option("--wheelbase", metavar="LENGTH", help="Front hub to rear hub; strings need it.")
@click.option("--rim", metavar="LENGTH", help="Between the two rim points; strings need it.")
@click.option(
    "--tape",
    nargs=2,
    metavar="FRONT REAR",
    help="Tape across the front wheels, at their front and rear edge: total toe is kept.",
)
@click.option("--across", metavar="LENGTH", help="How far apart those two edges are.")
@click.option("--mm", is_flag=True, help="Lengths without a unit are millimetres, not inches.")
@click.option("--json", "as_json", is_flag=True, help="Print the result as one JSON object.")
def command(as_json: bool, **given: Any) -> None:
    """Say how to centre a crooked steering wheel, without a job file.

    From a road test (--off), from strings (--string, four times), or from both. The steering gear
    comes first: with --turns-to-lock its middle is checked, and whether the wheel sits on the
    right spline. With --arm and --thread the tie rods' turns are told.

    \b
    Examples:
      toebox centre --off "6 left" --ratio 16.5
      toebox centre --off "6 left" --off "5 left" --ratio 16.5 --arm "5 1/4" --thread M14x1.5
      toebox centre --off "40 right" --ratio 15 --turns-to-lock "1 1/2" "1 3/4" --splines 36
      toebox centre --mm --wheelbase 2600 --rim 400 --ratio 16 \\
        --string left_front 101.5 100 --string right_front 98 101 \\
        --string left_rear 104 104 --string right_rear 103 103.5
    """
    if not given["off"] and not given["strings"]:
        raise click.UsageError('Give the road test (--off "6 left"), or strings (--string).')
    if given["off"] and given["ratio"] is None:
        raise click.UsageError("Give the steering ratio as well, such as --ratio 16.5.")
    from toebox.correct import correct
    from toebox.solve import solve

    job = _job(given)
    if not as_json:  # whose object is that of a job with the same readings
        job = _told(job, given)
    solution = solve(job)
    found = solution, correct(solution)
    _print(found, as_json=as_json)


def _print(found: Answer, *, as_json: bool) -> None:
    """Print the answer."""
    if as_json:
        from toebox.cli.answer import result_of

        output.write_json(result_of(found))
        return
    from toebox.report.view.centring import centring_view

    output.show(centring_view(*found))


def _job(given: dict[str, Any]) -> Job:
    """Return the job that the options make, read as every job is."""
    from toebox.errors import FaultyInput
    from toebox.job import loads

    try:
        return loads("\n".join(_lines(given)), NAME)
    except FaultyInput as error:
        raise _renamed(error) from None


def _told(job: Job, given: dict[str, Any]) -> Job:
    """Return the job as its words tell it: what was left to us, and a distance across the tape's.

    No tyre is asked for, so that toe has no other diameter to be given across.
    """
    if given["repeats"] is None:
        stated = job.instruments.stated - {"road_test"}
        job = job._replace(instruments=job.instruments._replace(stated=stated))
    tape = job.passes[0].tape.get("front")
    if tape is not None and tape.across is not None:
        job = job._replace(car=job.car._replace(tyre_diameter={"front": tape.across}))
    return job


def _lines(given: dict[str, Any]) -> Iterator[str]:
    """Yield the options as a job file."""
    yield f"title = {_text(TITLE)}"
    yield f'length_unit = "{"mm" if given["mm"] else "in"}"'
    for name, key in _KEYS.items():
        if given[name] is not None:
            yield f"{key} = {_text(given[name])}"
    if given["repeats"] is None:
        yield f"{_KEYS['repeats']} = {_text(ROAD_TEST)}"
    for name, key in _SIDES.items():
        for side, value in zip(("left", "right"), given[name] or (), strict=False):
            yield f"tie_rods.{side}.{key} = {_text(value)}"
    if given["ahead"]:
        yield 'tie_rods.steering_arm = "ahead"'
    yield "[[pass]]"
    yield 'label = "as found"'
    yield from _readings(given)


def _readings(given: dict[str, Any]) -> Iterator[str]:
    from toebox.job.model import WHEELS

    if given["off"]:
        yield f"steering_wheel_off = [{', '.join(map(_text, given['off']))}]"
    if given["turns_to_lock"]:
        left, right = map(_text, given["turns_to_lock"])
        yield f"turns_to_lock = {{ left = {left}, right = {right} }}"
    edges: dict[str, list[tuple[str, str]]] = {}
    for wheel, front, rear in given["strings"]:
        if wheel not in WHEELS:
            raise click.BadParameter(f"--string {wheel}: wanted {', '.join(WHEELS)}.")
        edges.setdefault(wheel, []).append((front, rear))
    for wheel, pairs in edges.items():
        for end, values in zip(("front", "rear"), zip(*pairs, strict=True), strict=True):
            yield f"string.{wheel}.{end} = [{', '.join(map(_text, values))}]"
    if given["tape"]:
        for end, value in zip(("front", "rear"), given["tape"], strict=True):
            yield f"tape.front.{end}_edge = {_text(value)}"
        if given["across"]:
            yield f"tape.front.across = {_text(given['across'])}"


def _text(value: str) -> str:
    """Return a text as TOML writes it."""
    import json

    return json.dumps(value).replace("\x7f", "\\u007f")


def _renamed(error: FaultyInput) -> FaultyInput:
    """Return the faults of the job with the names of the options, and no lines."""
    from toebox.errors import Fault, FaultyInput

    options = {key: f"--{name.replace('_', '-')}" for name, key in _KEYS.items()}
    options["pass[1].steering_wheel_off"] = "--off"
    for name, key in _SIDES.items():
        options |= {f"tie_rods.{s}.{key}": f"--{name.replace('_', '-')}" for s in ("left", "right")}

    def option(key: str) -> str:
        plain = _PLACE.sub("", key)
        if plain.startswith("pass[1].tape"):
            return "--across" if plain.endswith("across") else "--tape"
        if plain.startswith("pass[1].string"):
            return f"--string {plain.split('.')[2]}" if plain.count(".") > 1 else "--string"
        if plain.startswith("pass[1].turns_to_lock"):
            return "--turns-to-lock"
        return options.get(plain, key)

    faults = [
        Fault(option(fault.key), fault.given, fault.wanted.removesuffix(" (or car.tyre_diameter)"))
        for fault in error.faults
    ]
    return FaultyInput("centre", tuple(faults))
