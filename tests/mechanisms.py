"""Rigid-body mechanisms for tests: a steering knuckle, a screw thread, a tie rod.

As in `tests.simulate` no formula of toebox is used: bodies are rotated, and where an angle or a
distance is sought a root finder moves them until it is right.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

FORWARD, LEFTWARD, UP = np.eye(3)


def outward(name: str) -> np.ndarray:
    """Return the direction from the car's middle towards the side of a wheel."""
    return LEFTWARD if name.startswith("left") else -LEFTWARD


def upright_turn(angle: float) -> Rotation:
    """Return a rotation about the vertical, to the left."""
    return Rotation.from_rotvec(angle * UP)


def wheel_rotation(name: str, toe: float, camber: float) -> Rotation:
    """Return the rotation that leans an upright wheel outwards and then turns it inwards."""
    out = outward(name)
    lean = Rotation.from_rotvec(camber * np.cross(UP, out))  # takes up towards out
    turn = Rotation.from_rotvec(toe * np.cross(FORWARD, -out))  # takes forward towards in
    return turn * lean


def horizontal(normal: np.ndarray) -> np.ndarray:
    """Return the horizontal direction, pointing forwards, in the plane with this normal."""
    along = np.cross(normal, UP)
    along = along / np.linalg.norm(along)
    return along if along[0] > 0 else -along


def lean_of(outward_normal: np.ndarray) -> float:
    """Return the angle of a wheel's plane to the plumb line, top out positive."""
    steepest = UP - (UP @ outward_normal) * outward_normal  # the line in the plane nearest to up
    lean = math.atan2(float(np.linalg.norm(np.cross(steepest, UP))), float(steepest @ UP))
    return lean if outward_normal @ UP <= 0 else -lean


@dataclass(frozen=True)
class Knuckle:
    """A front wheel that turns about an inclined steering axis."""

    side: str
    caster: float
    sai: float
    camber_straight: float
    toe: float = 0.0

    def axis(self) -> np.ndarray:
        """Return the steering axis: a point one up lies back by caster and in by inclination."""
        back, inwards = math.tan(self.caster), math.tan(self.sai)
        axis = UP - back * FORWARD - inwards * outward(self.side)
        return axis / np.linalg.norm(axis)

    def turned(self, angle: float) -> np.ndarray:
        """Return the wheel's outward normal after turning about the axis, to the left."""
        start = wheel_rotation(self.side, self.toe, self.camber_straight)
        return Rotation.from_rotvec(angle * self.axis()).apply(start.apply(outward(self.side)))

    def steer(self, angle: float) -> float:
        """Return the steer angle, outwards, after turning about the axis."""
        heading = horizontal(self.turned(angle))
        return math.atan2(float(heading @ outward(self.side)), heading[0])

    def normal(self, steer: float) -> np.ndarray:
        """Return the wheel's outward normal where the steer angle is `steer`, outwards."""
        angle = brentq(lambda a: self.steer(a) - steer, -1.2, 1.2, xtol=1e-15, rtol=1e-15)
        return self.turned(angle)

    def camber(self, steer: float) -> float:
        """Return the camber where the steer angle is `steer`, outwards."""
        return lean_of(self.normal(steer))


def clockwise(looking: np.ndarray, turns: float) -> Rotation:
    """Return the rotation that a viewer looking in this direction sees as clockwise."""
    to_viewers_right = np.cross(looking, UP)
    quarter = Rotation.align_vectors([to_viewers_right, looking], [UP, looking])[0]
    return Rotation.from_rotvec(quarter.as_rotvec() * 4.0 * turns)


@dataclass(frozen=True)
class Screw:
    """A bolt in a nut that is held, both with the same helix about the y axis of the car."""

    pitch: float
    left_hand: bool

    def helix(self, angle: np.ndarray) -> np.ndarray:
        """Return points of the helix; a right-handed one climbs as it turns to the left of it."""
        rise = -angle if self.left_hand else angle
        # Seen against its direction of climb a right-hand helix turns anticlockwise.
        return np.column_stack([np.sin(angle), rise * self.pitch / (2.0 * math.pi), np.cos(angle)])

    def travel(self, looking: np.ndarray, turns: float, steps: int = 36) -> float:
        """Return how far a bolt turned clockwise travels in the direction of looking."""
        if self.pitch == 0.0:
            return 0.0
        here = self.helix(np.linspace(-6.0, 6.0, 61))
        step, moved = clockwise(looking, turns / steps), 0.0
        for _ in range(steps):
            here = step.apply(here)
            along = self._slip(here)
            here = here + along * LEFTWARD
            moved += along
        return moved * float(looking @ LEFTWARD)

    def _slip(self, bolt: np.ndarray) -> float:
        """Return the smallest shift along the axis that puts the bolt back into the nut."""
        nut = self.helix(np.arctan2(bolt[:, 0], bolt[:, 2]))
        shifts = np.remainder(nut[:, 1] - bolt[:, 1] + self.pitch / 2, self.pitch) - self.pitch / 2
        assert np.ptp(shifts) < 1e-9
        return float(shifts.mean())


@dataclass(frozen=True)
class TieRod:
    """A tie rod between a joint on the gear and a joint on the steering arm of one wheel."""

    side: str
    outer: Screw
    inner: Screw
    arm_behind: bool
    arm_length: float = 0.13
    length: float = 0.4

    def lengthening(self, turns_clockwise: float) -> float:
        """Return the change in length by turning the rod, seen from the car's middle outwards."""
        looking = outward(self.side)
        # The inner joint stays. The rod travels out of it; the outer joint stays behind the rod.
        rod = self.inner.travel(looking, turns_clockwise)
        return rod - self.outer.travel(looking, turns_clockwise)

    def toe_after(self, lengthening: float) -> float:
        """Return the change in toe when the rod, at first square to the arm, gets longer."""
        arm = self.arm_length * (-FORWARD if self.arm_behind else FORWARD)
        inner = arm - self.length * outward(self.side)

        def too_long(turn: float) -> float:
            joint = upright_turn(turn).apply(arm)
            return float(np.linalg.norm(joint - inner)) - self.length - lengthening

        turn = brentq(too_long, -0.3, 0.3, xtol=1e-15)
        heading = upright_turn(turn).apply(FORWARD)
        return math.asin(-float(heading @ outward(self.side)))
