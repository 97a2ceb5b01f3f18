"""`toebox sweep`: caster of one wheel from a few camber readings, without a job file."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import click

from toebox.cli import output
from toebox.errors import FaultyInput, NoResult

if TYPE_CHECKING:
    from toebox.geometry.sweep import Sweep
    from toebox.job.model import SweepStop

_WANTED = 'steer angle and camber with a colon between, such as "20 out: 1.95 top out"'


@click.command("sweep")
@click.option(
    "--stop",
    "stops",
    metavar='"STEER: CAMBER"',
    multiple=True,
    required=True,
    help="One stop, for two or more: how far the wheel is steered, out or in, and its camber "
    "there; in degrees, positive with the top outwards.",
)
@click.option("--sai", metavar="ANGLE", help="Steering-axis inclination, where it is known.")
@click.option(
    "--u",
    metavar="ANGLE",
    default="0.1",
    show_default=True,
    help="Standard uncertainty of each camber, in degrees.",
)
@click.option(
    "--u-steer",
    metavar="ANGLE",
    default="0.5",
    show_default=True,
    help="Standard uncertainty of each steer angle, in degrees.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object.")
def command(stops: tuple[str, ...], sai: str | None, u: str, u_steer: str, as_json: bool) -> None:
    """Give caster from camber at two or more steer angles of one front wheel.

    Steer the wheel on a turn plate, outwards (a left wheel to the left) and inwards, and read
    its camber at each stop, the rear wheels on blocks as high as the plates. The stops may be any,
    equal or not; 20 degrees each way is usual. Three or more also give the steering-axis
    inclination.

    \b
    Examples:
      toebox sweep --stop "20 out: 1.95" --stop "20 in: -1.48"
      toebox sweep --stop "20 out: 1.95" --stop "20 in: 1.48 top in" --sai 12 --u 0.05
      toebox sweep --stop "20 out: 2.0" --stop "0: 0.5 top in" --stop "20 in: -1.5"
    """
    read, inclination, u_camber, u_plates = _read(stops, sai, u, u_steer)
    found = _solved(read, inclination, u_camber, u_plates)
    from toebox.job.model import WheelGauge
    from toebox.job.sweeps import TOO_NEAR, of_axis, too_near
    from toebox.report.view.sweep import sweep_data, sweep_view

    if as_json:
        output.write_json(sweep_data(found, read))
    else:
        output.show(sweep_view(found, read, u_camber, u_plates, inclination))
    doubts = [TOO_NEAR] if too_near(read) else of_axis(WheelGauge(sweep=read))
    for doubt in doubts:
        output.say(f"sweep: {doubt}")


def _read(
    stops: tuple[str, ...], sai: str | None, u: str, u_steer: str
) -> tuple[tuple[SweepStop, ...], float | None, float, float]:
    """Read all that was given, or raise with every fault."""
    from toebox.job.model import SweepStop
    from toebox.job.notes import Notes
    from toebox.job.schema import CAMBER_SIGNS
    from toebox.job.values import Angle

    notes = Notes()
    steer, camber = Angle(-60, 60, ("out", "in")), Angle(-25, 25, CAMBER_SIGNS)
    read = []
    for number, text in enumerate(stops):
        path = ("--stop", number)
        first, colon, second = text.partition(":")
        if not colon:
            notes.fault(path, text, _WANTED)
            continue
        angles = steer(notes, first.strip(), path), camber(notes, second.strip(), path)
        if angles[0] is not None and angles[1] is not None:
            read.append(SweepStop(angles[0], angles[1]))
    inclination = None if sai is None else Angle(0, 30)(notes, sai, ("--sai",))
    u_camber = Angle(0.001, 5)(notes, u, ("--u",))
    u_plates = Angle(0, 10)(notes, u_steer, ("--u-steer",))
    if notes or u_camber is None or u_plates is None:
        raise FaultyInput("sweep", notes.faults(""))
    return tuple(read), inclination, u_camber, u_plates


def _solved(
    stops: tuple[SweepStop, ...], sai: float | None, u: float, u_steer: float
) -> Sweep:
    """Solve the sweep, or say why it has no single result."""
    from dataclasses import replace

    from toebox.geometry.sweep import assumed_sai, solve_sweep
    from toebox.solve.gauge import UNTELLABLE_SAI_U, of_no_car

    columns = [stop.steer for stop in stops], [stop.camber for stop in stops]
    try:
        found = solve_sweep(*columns, u, u_steer, sai)
        if sai is None and (found.u_sai or 0.0) >= UNTELLABLE_SAI_U:  # as a job takes it too
            found = replace(solve_sweep(*columns, u, u_steer, *assumed_sai()), sai=None)
    except ValueError as error:
        raise NoResult(f"sweep: {error}") from None
    if found.u_caster > math.radians(45.0):
        raise NoResult("sweep: the stops lie too near together to tell caster")
    if of_no_car(found):
        raise NoResult("sweep: no steering axis of a car has such cambers: read them again")
    return found
