"""Words for what inclinometer and turn plates tell, and for what had to be assumed there."""

from __future__ import annotations

from toebox.job.model import Job, side_of
from toebox.report.view.words import own_unit
from toebox.solve.gauge import GIVEN_SAI_U, SHOWN_SWEEP
from toebox.solve.results import PassSolution
from toebox.units import write


def gauge_assumption(key: str, job: Job, solved: PassSolution) -> str:
    """Say what was assumed of gauge, floor or steering axis.

    Parameters
    ----------
    key : str
        As in `PassSolution.assumed`.
    job : Job
        Instruments and units.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    str
        A sentence; empty where the assumption is of another kind.
    """
    instruments = job.instruments
    stated = "" if key in instruments.stated else " (not stated: a cautious value)"
    if key == "floor_level_within":
        within = own_unit(instruments.floor_level_within, job)
        return (
            f"The floor is level within {within} {_floor_over(solved)}{stated}: its height was not "
            "read there (pass.floor). A slope across changes camber and cross-camber, a slope "
            "along changes caster on both sides alike."
        )
    if key == "gauge_zero_within":
        within = write.degrees(instruments.gauge_zero_within, 2)
        return (
            f"The inclinometer's zero is right within {within}{stated}, and it was held the same "
            "way round at every wheel, so that its error is the same at all of them: no wheel was "
            "read with the gauge turned end for end (camber_turned)."
        )
    if key == "steering_axis_inclination":
        return _inclination(job, solved)
    if key == "shown_caster":
        sweep = write.degrees(SHOWN_SWEEP, 0)
        return (
            f"The gauge that shows caster was swept {sweep} each way; its uncertainty follows from "
            "that of the inclinometer and the turn plates."
        )
    return ""


def _floor_over(solved: PassSolution) -> str:
    """Say where the floor was taken to be level."""
    where = [
        o.label.rpartition(".")[2]
        for o in solved.network.observations
        if o.assumed.startswith("floor_level_within")
    ]
    parts = []
    axles = " and ".join(key for key in where if key != "along")
    if axles:
        parts.append(f"from left to right under the {axles} axle{'s' * ('and' in axles)}")
    if "along" in where:
        parts.append("from front to rear over the wheelbase")
    return ", and ".join(parts)


def _inclination(job: Job, solved: PassSolution) -> str:
    """Say at which wheels the inclination is as given, and at which it was assumed."""
    given, sentences = job.car.steering_axis_inclination, []
    if given:
        axis = "axes lean" if len(given) > 1 else "axis leans"
        angles = " and ".join(f"{write.degrees(a, 1)} ({side})" for side, a in given.items())
        sentences.append(
            f"The steering {axis} inwards by {angles}, as the job gives it, within "
            f"{write.degrees(GIVEN_SAI_U, 1)} (standard deviation); this is weighed together with "
            "the sweeps."
        )
    entered = [o.assumed.partition(".") for o in solved.network.observations]
    sides = [side_of(wheel) for key, _, wheel in entered if key == "steering_axis_inclination"]
    assumed = [side for side in sides if side not in given]
    if assumed:
        where = f" on the {assumed[0]}" if given else ""
        sentences.append(
            f"The steering axis{where} leans inwards by 5 to 18° (common practice, no published "
            "source): two stops of a sweep cannot tell; the doubt is in the interval of caster."
        )
    return " ".join(sentences)
