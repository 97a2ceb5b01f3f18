"""What results are made of: sums of the toes, cambers and casters of single wheels."""

from __future__ import annotations

from toebox.job.model import SIDES


def parts_of(name: str) -> dict[str, float]:
    """Return a result as factors of the settings of single wheels.

    Parameters
    ----------
    name : str
        Name of the result.

    Returns
    -------
    dict of str to float
        By toe, camber or caster [-]; a difference is left minus right. The steering wheel,
        ``thrust - (t_left_front - t_right_front) / 2``, is that of a steering ratio of 1. What is
        no such sum stands for itself.

    Examples
    --------
    >>> parts_of("cross_caster.front")
    {'caster.left_front': 1.0, 'caster.right_front': -1.0}
    """
    kind, _, where = name.partition(".")
    if kind == "total_toe":
        return {f"toe.{side}_{where}": 1.0 for side in SIDES}
    if kind.startswith("cross_"):
        kind = kind.removeprefix("cross_")
        return {f"{kind}.left_{where}": 1.0, f"{kind}.right_{where}": -1.0}
    if kind == "thrust_angle":
        return {"toe.left_rear": 0.5, "toe.right_rear": -0.5}
    if kind == "toe_to_thrust":
        sign = -1.0 if where == "left_front" else 1.0
        return {f"toe.{where}": 1.0, "toe.left_rear": sign * 0.5, "toe.right_rear": sign * -0.5}
    if kind == "steering_wheel":
        return {"toe.left_front": -0.5, "toe.right_front": 0.5, **parts_of("thrust_angle")}
    return {name: 1.0}
