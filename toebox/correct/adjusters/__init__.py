"""What to turn at the adjusters of caster, camber and rear toe, before the tie rods."""

from toebox.correct.adjusters.effects import Effects, effects
from toebox.correct.adjusters.plan import plan_adjusters
from toebox.correct.adjusters.results import AdjusterPlan, Effect, Move, Outcome
from toebox.correct.adjusters.worthwhile import least_part

__all__ = [
    "AdjusterPlan",
    "Effect",
    "Effects",
    "Move",
    "Outcome",
    "effects",
    "least_part",
    "plan_adjusters",
]
