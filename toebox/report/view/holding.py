"""How to hold the gauge and which way is positive, in drawings."""

from __future__ import annotations

from toebox.report.blocks import Block, Figure, Section
from toebox.solve.results import Solution


def holding(solution: Solution) -> Section | None:
    """Show how camber and caster are read.

    Parameters
    ----------
    solution : Solution
        A solved job.

    Returns
    -------
    Section or None
        None for a job without a reading of, or a goal for, camber or caster.
    """
    names = {*solution.job.goals, *(name for solved in solution.passes for name in solved.results)}
    kinds = {name.partition(".")[0].removeprefix("cross_") for name in names}
    blocks: list[Block] = []
    if "camber" in kinds:
        caption = "Camber: positive with the top of the wheel outwards; leans are drawn large."
        blocks.append(Figure("camber", None, caption))
    if "caster" in kinds:
        caption = "Caster and steering-axis inclination, and the sweep that tells them."
        blocks.append(Figure("caster", None, caption))
    if not blocks:
        return None
    return Section("How camber and caster are read", tuple(blocks))
