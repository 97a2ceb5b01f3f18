"""One wheel's sweep in words, and as data for JSON."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from toebox.geometry.sweep import ASSUMED_SAI_RANGE, Sweep, count_distinct, sweep_factor
from toebox.job.model import SweepStop
from toebox.report.blocks import Block, Paragraph, Points, Section, Table, View
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.units import write

SCHEMA = "toebox.sweep/1"
EQUATION = (
    "tan(caster) sin(steer) cos(camber) - tan(inclination) cos(steer) cos(camber) - k = "
    "sin(camber)"
)
_EVEN = math.radians(0.01)  # stops that differ by less count as equal angles out and in


def camber_straight(sweep: Sweep) -> tuple[float, float]:
    """Return camber straight ahead as a sweep tells it.

    Parameters
    ----------
    sweep : Sweep
        A solved sweep.

    Returns
    -------
    camber : float
        Top out positive [rad].
    u : float
        Its standard uncertainty [rad].
    """
    camber, tan_sai = sweep.camber(0.0), math.tan(sweep.sai_used)
    across = math.cos(camber) - tan_sai * math.sin(camber)
    by_sai = -math.cos(camber) * (1.0 + tan_sai**2) / across
    gradient = (0.0, by_sai, -1.0 / across)
    table = sweep.covariance.tolist()
    variance = sum(
        gradient[i] * table[i][j] * gradient[j] for i in range(3) for j in range(3)
    )
    return camber, math.sqrt(max(variance, 0.0))


def sweep_data(sweep: Sweep, stops: Sequence[SweepStop]) -> dict[str, Any]:
    """Return a sweep as plain data for JSON.

    Parameters
    ----------
    sweep : Sweep
        A solved sweep.
    stops : sequence of SweepStop
        As read.

    Returns
    -------
    dict
        Schema ``toebox.sweep/1``; an inclination that was not measured is None.
    """
    camber, u_camber = camber_straight(sweep)
    tells = _tells_sai(sweep, stops)
    return {
        "schema": SCHEMA,
        "caster": _angle(sweep.caster, sweep.u_caster),
        "steering_axis_inclination": _angle(sweep.sai_used, _u_sai(sweep)) if tells else None,
        "camber_straight_ahead": _angle(camber, u_camber),
        "stops": [
            {
                "steer_deg": math.degrees(stop.steer),
                "camber_deg": math.degrees(stop.camber),
                "residual_deg": math.degrees(rest),
            }
            for stop, rest in zip(stops, sweep.residuals, strict=True)
        ],
        "inclination_assumed": sweep.sai is None,
    }


def _angle(value: float, u: float) -> dict[str, float]:
    return {"angle_deg": math.degrees(value), "u_deg": math.degrees(u)}


def _u_sai(sweep: Sweep) -> float:
    return math.sqrt(float(sweep.covariance[1, 1]))


def _tells_sai(sweep: Sweep, stops: Sequence[SweepStop]) -> bool:
    return sweep.sai is not None and count_distinct([stop.steer for stop in stops]) > 2


def sweep_view(
    sweep: Sweep, stops: Sequence[SweepStop], u: float, u_steer: float, sai: float | None
) -> View:
    """Put a sweep into words.

    Parameters
    ----------
    sweep : Sweep
        A solved sweep.
    stops : sequence of SweepStop
        As read.
    u, u_steer : float
        Standard uncertainty of each camber and of each steer angle [rad].
    sai : float or None
        Inclination as given [rad]; None where it was not.

    Returns
    -------
    View
        The results, what they rest on, and how they were worked out.
    """
    return View(
        title="Caster from a sweep of one wheel",
        subtitle=(),
        sections=(_found(sweep, stops), _basis(sweep, u, u_steer, sai), _working(sweep, stops)),
    )


def _found(sweep: Sweep, stops: Sequence[SweepStop]) -> Section:
    camber, u_camber = camber_straight(sweep)
    rows = [("Caster", write.caster_words(sweep.caster, 2), _half(sweep.u_caster))]
    if _tells_sai(sweep, stops):
        rows.append(
            ("Steering-axis inclination", write.degrees(sweep.sai_used), _half(_u_sai(sweep)))
        )
    rows.append(("Camber straight ahead", write.camber_words(camber), _half(u_camber)))
    blocks: list[Block] = [Table(("Setting", "Found", "95 %"), tuple(rows), "llr")]
    if len(stops) > 3:
        fits = tuple(
            (
                steer_words(stop.steer),
                write.camber_words(stop.camber),
                write.camber_words(stop.camber - rest),
            )
            for stop, rest in zip(stops, sweep.residuals, strict=True)
        )
        blocks.append(Table(("Stop", "Camber read", "Camber fitted"), fits, "lll"))
    return Section("What was found", tuple(blocks), summary=True)


def _half(u: float) -> str:
    return f"± {write.degrees(COVERAGE_FACTOR * u)}"


def steer_words(steer: float) -> str:
    """Return a steer angle with the word for its sign.

    Parameters
    ----------
    steer : float
        Outwards positive [rad].

    Returns
    -------
    str
        Such as ``20.0° out``.
    """
    size = write.degrees(abs(steer), 1)
    if size == write.degrees(0.0, 1):
        return f"{size} (straight ahead)"
    return f"{size} {'out' if steer > 0.0 else 'in'}"


def _basis(sweep: Sweep, u: float, u_steer: float, sai: float | None) -> Section:
    points = [
        f"Each camber is good to {write.degrees(u)} and each steer angle to "
        f"{write.degrees(u_steer)} (standard uncertainties; --u and --u-steer change them).",
        "The floor is level along the car, or its slope is the same in the maker's figure: a slope "
        "adds itself to caster.",
    ]
    if sai is not None:
        points.append(
            f"The steering axis leans inwards by {write.degrees(sai, 1)}, as given, within 1.0° "
            "(standard uncertainty)."
        )
    elif sweep.sai is None:
        low, high = (write.degrees(end, 0) for end in ASSUMED_SAI_RANGE)
        points.append(
            f"The steering axis leans inwards by {low} to {high} (common practice, no published "
            "source): these stops cannot tell, and --sai was not given. The doubt is in the "
            "interval of caster."
        )
    elif _u_sai(sweep) > math.radians(3.0):
        points.append(
            "Steering-axis inclination shows only in how camber bends near full lock: these stops "
            "tell it weakly, as its interval shows. Caster does not suffer from that."
        )
    return Section("What it rests on", (Points(tuple(points)),), summary=True)


def _working(sweep: Sweep, stops: Sequence[SweepStop]) -> Section:
    if _tells_sai(sweep, stops):
        given = "the stops give tan(caster), tan(inclination) and k."
    else:
        given = "the stops give tan(caster) and k, with the inclination as above."
    blocks: list[Block] = [
        Paragraph(
            f"The wheel keeps its angle to the steering axis, so at every stop {EQUATION} (exact "
            f"in three dimensions); {given}"
        )
    ]
    if len(stops) == 2 and abs(stops[0].steer + stops[1].steer) < _EVEN:
        out, inn = sorted(stops, key=lambda stop: -stop.steer)
        factor, difference = sweep_factor(out.steer), out.camber - inn.camber
        blocks.append(
            Paragraph(
                f"By rule of thumb: camber out minus camber in, {write.degrees(difference)}, times "
                f"1 / (2 sin {write.degrees(out.steer, 1)}) = {write.signed(factor, 4)}, gives "
                f"{write.degrees(factor * difference)}."
            )
        )
    return Section("How it was worked out", tuple(blocks), summary=True)
