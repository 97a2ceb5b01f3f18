"""Cars between strings as rigid bodies, and the readings that they give.

Nothing here uses a formula of toebox. Wheels are placed by rotations, strings are vertical planes,
the two rim points are where the rim cuts the horizontal plane at hub height, and every reading is
a distance or an angle between such things. Metres and radians; x forward, y left, z up.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from tests.mechanisms import (
    FORWARD,
    LEFTWARD,
    UP,
    Knuckle,
    horizontal,
    lean_of,
    outward,
    upright_turn,
    wheel_rotation,
)

INCH = 0.0254
SIDES = ("left", "right")
AXLES = ("front", "rear")
WHEELS = ("left_front", "right_front", "left_rear", "right_rear")
EVERYTHING = ("string", "hub", "bars", "tape", "road_test", "wheelbases", "camber", "sweep")
SWEEP_STOPS = tuple(math.radians(d) for d in (20.0, 0.0, -20.0))


@dataclass(frozen=True)
class Noise:
    """How readings are spoilt: (resolution, repeatability) of each instrument, total run-out."""

    rng: np.random.Generator
    rule: tuple[float, float] = (INCH / 64, INCH / 64)
    tape: tuple[float, float] = (INCH / 32, INCH / 32)
    inclinometer: tuple[float, float] = (math.radians(0.1), math.radians(0.1))
    turn_plates: tuple[float, float] = (0.0, math.radians(0.5))
    road_test: tuple[float, float] = (0.0, math.radians(2.0))
    runout: float = INCH / 64

    def read(self, value: float, instrument: tuple[float, float]) -> float:
        """Return a value as read with an instrument."""
        resolution, repeatability = instrument
        value += self.rng.normal(0.0, repeatability)
        return round(value / resolution) * resolution if resolution else value

    def wobble(self) -> tuple[float, float]:
        """Return amplitude and phase of a rim's lateral run-out."""
        return self.runout / 2, self.rng.uniform(0.0, 2.0 * math.pi)


class Perfect(Noise):
    """No noise at all."""

    def __init__(self) -> None:
        pass

    def read(self, value: float, instrument: tuple[float, float]) -> float:
        return value

    def wobble(self) -> tuple[float, float]:
        return 0.0, 0.0


def _per_wheel(*values: float) -> Any:
    return field(default_factory=lambda: dict(zip(WHEELS, values, strict=True)))


@dataclass(frozen=True)
class SimulatedCar:
    """A car between two strings. The centreline runs through the midpoints of the axles."""

    toe: Mapping[str, float] = _per_wheel(0.0, 0.0, 0.0, 0.0)
    camber: Mapping[str, float] = _per_wheel(0.0, 0.0, 0.0, 0.0)
    caster: Mapping[str, float] = field(default_factory=lambda: dict.fromkeys(SIDES, 0.08))
    sai: Mapping[str, float] = field(default_factory=lambda: dict.fromkeys(SIDES, 0.2))
    wheelbase: float = 2.6
    track: Mapping[str, float] = field(default_factory=lambda: {"front": 1.50, "rear": 1.48})
    rim_diameter: float = 0.40
    tyre_diameter: float = 0.60
    tyre_width: float = 0.19
    hub_depth: Mapping[str, float] = field(default_factory=lambda: {"front": 0.03, "rear": 0.04})
    setback: float = 0.0  # right front wheel behind the left one
    steering_ratio: float = 16.0
    floor_roll: float = 0.0  # the floor rises to the left by this angle
    floor_pitch: float = 0.0  # the floor rises to the front by this angle
    gauge_zero: float = 0.0  # the inclinometer shows this much too much camber
    yaw: float = 0.0  # of the car in the box, to the left
    taper: float = 0.0  # each string turns outwards by this, going forwards
    shift: float = 0.0  # of the rear axle's midpoint from the middle of the box, to the left
    box_width: float = 1.80  # between the strings beside the rear axle
    front_bar: float = 0.9  # ahead of the front axle
    rear_bar: float = 0.8  # behind the rear axle

    @classmethod
    def random(cls, rng: np.random.Generator) -> SimulatedCar:
        """Return a car within the limits of ordinary cars."""

        def spread(degrees: float) -> float:
            return math.radians(rng.uniform(-degrees, degrees))

        return cls(
            toe={w: spread(1.0) for w in WHEELS},
            camber={w: math.radians(rng.uniform(-3.0, 2.0)) for w in WHEELS},
            caster={s: math.radians(rng.uniform(-1.0, 9.0)) for s in SIDES},
            sai={s: math.radians(rng.uniform(6.0, 15.0)) for s in SIDES},
            wheelbase=rng.uniform(2.3, 3.1),
            track={a: rng.uniform(1.40, 1.65) for a in AXLES},
            rim_diameter=rng.uniform(0.34, 0.48),
            tyre_diameter=rng.uniform(0.56, 0.72),
            hub_depth={a: rng.uniform(0.0, 0.06) for a in AXLES},
            setback=rng.uniform(-0.006, 0.006),
            steering_ratio=rng.uniform(12.0, 20.0),
            floor_roll=spread(0.4),
            floor_pitch=spread(0.4),
            yaw=spread(0.5),
            taper=spread(0.2),
            shift=rng.uniform(-0.02, 0.02),
            box_width=rng.uniform(1.85, 2.0),
        )

    def adjusted(self, **toe_changes: float) -> SimulatedCar:
        """Return the car with the toe of some wheels changed; the box stands as it stood."""
        toe = {w: t + toe_changes.get(w, 0.0) for w, t in self.toe.items()}
        return replace(self, toe=toe)

    # --- the body, in its own axes: the rear axle's midpoint is the origin ---

    def centre(self, wheel: str) -> np.ndarray:
        """Return the centre of the outer face of a rim."""
        side, axle = wheel.split("_")
        x = 0.0
        if axle == "front":
            x = self.wheelbase + (self.setback / 2 if side == "left" else -self.setback / 2)
        return x * FORWARD + self.track[axle] / 2 * outward(wheel)

    def normal(self, wheel: str) -> np.ndarray:
        """Return the outward normal of a wheel."""
        return wheel_rotation(wheel, self.toe[wheel], self.camber[wheel]).apply(outward(wheel))

    def rim_normal(self, wheel: str, valve: float, wobble: float) -> np.ndarray:
        """Return the outward normal of a wobbling rim with the wheel rolled round to `valve`."""
        tilt = Rotation.from_rotvec(wobble / (self.rim_diameter / 2) * UP)
        spin = Rotation.from_rotvec(valve * LEFTWARD)
        place = wheel_rotation(wheel, self.toe[wheel], self.camber[wheel])
        return (place * spin * tilt).apply(outward(wheel))

    def tread_points(self, wheel: str, across: float) -> tuple[np.ndarray, np.ndarray]:
        """Return the front and the rear point at hub height on the middle of the tread."""
        middle = self.centre(wheel) - self.tyre_width / 2 * self.normal(wheel)
        along = across / 2 * horizontal(self.normal(wheel))
        return middle + along, middle - along

    # --- the box ---

    def in_box(self, point: np.ndarray) -> np.ndarray:
        """Return a point of the car in the axes of the box."""
        return upright_turn(self.yaw).apply(point) + self.shift * LEFTWARD

    def string(self, wheel: str) -> tuple[np.ndarray, np.ndarray]:
        """Return a point on the string beside a wheel, and the string's direction."""
        turn = self.taper if wheel.startswith("left") else -self.taper
        return self.box_width / 2 * outward(wheel), upright_turn(turn).apply(FORWARD)

    def to_string(self, point: np.ndarray, wheel: str) -> float:
        """Return the distance from a point of the car to the string, square to it."""
        start, along = self.string(wheel)
        square = np.cross(UP, along)
        if square @ outward(wheel) < 0:
            square = -square
        return float((start - self.in_box(point)) @ square)

    def bar_width(self, x: float) -> float:
        """Return the distance between the strings at a bar `x` ahead of the rear axle."""
        ends = []
        for side in SIDES:
            start, along = self.string(side)
            ends.append(start + along * (x - start[0]) / along[0])
        return float(np.linalg.norm(ends[0] - ends[1]))

    # --- readings, keyed as in the job file ---

    def string_readings(self, noise: Noise, repeats: int, hub: bool) -> dict[str, Any]:
        """Return the readings from the strings to every wheel, rolled round in equal steps."""
        readings = {}
        for wheel in WHEELS:
            rows: dict[str, list[float]] = {"front": [], "rear": []}
            amplitude, phase = noise.wobble()
            for n in range(repeats):
                normal = self.rim_normal(wheel, phase + 2 * math.pi * n / repeats, amplitude)
                along = self.rim_diameter / 2 * horizontal(normal)
                for end, sign in (("front", 1), ("rear", -1)):
                    point = self.centre(wheel) + sign * along
                    rows[end].append(noise.read(self.to_string(point, wheel), noise.rule))
            if hub:
                inner = self.hub_depth[wheel.split("_")[1]] * self.normal(wheel)
                distance = self.to_string(self.centre(wheel) - inner, wheel)
                rows["hub"] = [noise.read(distance, noise.rule)]
            readings[wheel] = rows
        return readings

    def bar_readings(self, noise: Noise) -> dict[str, float]:
        """Return the widths of the box at its bars, and how far apart those are."""
        front, rear = self.wheelbase + self.front_bar, -self.rear_bar
        return {
            "front_bar_width": noise.read(self.bar_width(front), noise.tape),
            "rear_bar_width": noise.read(self.bar_width(rear), noise.tape),
            "bar_spacing": front - rear,
        }

    def tape_readings(
        self, noise: Noise, axle: str, repeats: int = 1, across: float | None = None
    ) -> dict[str, Any]:
        """Return tape readings across an axle at hub height, straight from point to point."""
        across = across or self.tyre_diameter
        pairs = [self.tread_points(f"{side}_{axle}", across) for side in SIDES]
        rows: dict[str, Any] = {"across": across}
        for number, name in enumerate(("front_edge", "rear_edge")):
            left, right = (points[number] for points in pairs)
            true = float(np.linalg.norm(left - right))
            rows[name] = [noise.read(true, noise.tape) for _ in range(repeats)]
        return rows

    def wheelbases(self) -> dict[str, float]:
        """Return the distance between the wheel centres of each side, along the car."""
        return {s: float((self.centre(f"{s}_front") - self.centre(f"{s}_rear"))[0]) for s in SIDES}

    def travel(self) -> np.ndarray:
        """Return the direction in which the rear wheels, slipping equally, let the car run."""
        both = horizontal(self.normal("left_rear")) + horizontal(self.normal("right_rear"))
        return both / np.linalg.norm(both)

    def steering_wheel_off(self) -> float:
        """Return the steering wheel's angle, clockwise, while the car runs straight."""
        headings = [horizontal(self.normal(f"{side}_front")) for side in SIDES]
        travel = self.travel()

        def sideways(turn: float) -> float:
            both = sum(upright_turn(-turn).apply(h) for h in headings)
            return float(np.cross(both, travel)[2])

        return self.steering_ratio * brentq(sideways, -0.3, 0.3, xtol=1e-14)

    def thrust(self) -> float:
        """Return the thrust angle, to the right."""
        travel = self.travel()
        return -math.atan2(travel[1], travel[0])

    def on_floor(self) -> Rotation:
        """Return the rotation that sets the car on its sloping floor."""
        lift = Rotation.from_rotvec(-self.floor_pitch * LEFTWARD)
        return Rotation.from_rotvec(self.floor_roll * FORWARD) * lift

    def gauge_camber(self, wheel: str, turned: bool = False, wobble: float = 0.0) -> float:
        """Return the lean of a rim against the plumb line, the car standing on its floor."""
        up, wobbled = self.on_floor(), Rotation.from_rotvec(wobble * np.cross(UP, outward(wheel)))
        lean = lean_of(up.apply(wobbled.apply(self.normal(wheel))))
        return lean - self.gauge_zero if turned else lean + self.gauge_zero

    def floor(self, axle: str) -> float:
        """Return how far the floor under the left wheel stands above that under the right."""
        left, right = (self.track[axle] / 2 * s * LEFTWARD for s in (1.0, -1.0))
        return float(self.on_floor().apply(left - right)[2])

    def floor_along(self) -> float:
        """Return how far the floor under the front wheels stands above that under the rear."""
        return float(self.on_floor().apply(self.wheelbase * FORWARD)[2])

    def sweep(self, side: str, stops: tuple[float, ...] = SWEEP_STOPS) -> list[dict[str, float]]:
        """Return camber as shown at each steer angle of a front wheel, the gauge's zero right."""
        wheel = f"{side}_front"
        knuckle = Knuckle(
            side, self.caster[side], self.sai[side], self.camber[wheel], self.toe[wheel]
        )
        up = self.on_floor()
        return [{"steer": d, "camber": lean_of(up.apply(knuckle.normal(d)))} for d in stops]

    def readings(
        self,
        noise: Noise | None = None,
        repeats: int = 2,
        what: tuple[str, ...] = EVERYTHING,
    ) -> dict[str, Any]:
        """Return one pass of readings as a job file keys them, in metres and radians."""
        noise = noise or Perfect()
        found: dict[str, Any] = {}
        if "road_test" in what:
            off = noise.read(self.steering_wheel_off(), noise.road_test)
            found["steering_wheel_off"] = off
        if "wheelbases" in what:
            for side, length in self.wheelbases().items():
                found[f"wheelbase_{side}"] = noise.read(length, noise.tape)
        if "string" in what:
            found["string"] = self.string_readings(noise, repeats, "hub" in what)
            if "bars" in what:
                found["string"].update(self.bar_readings(noise))
        if "tape" in what:
            found["tape"] = {a: self.tape_readings(noise, a) for a in AXLES}
        if gauge := self._gauge(noise, repeats, what):
            found["inclinometer"] = gauge
            found["floor"] = {a: noise.read(self.floor(a), noise.rule) for a in AXLES}
            found["floor"]["along"] = noise.read(self.floor_along(), noise.rule)
        return found

    def _gauge(self, noise: Noise, repeats: int, what: tuple[str, ...]) -> dict[str, Any]:
        """Return the inclinometer's readings by wheel."""
        gauge: dict[str, Any] = {}
        ways = [key for key in ("camber", "camber_turned") if key in what]
        for wheel in WHEELS if ways else ():
            gauge[wheel] = {}
            amplitude, phase = noise.wobble()
            for key in ways:
                rows = []
                for n in range(repeats):
                    swing = math.cos(phase + 2.0 * math.pi * n / repeats)
                    tilt = amplitude / (self.rim_diameter / 2) * swing
                    level = self.gauge_camber(wheel, key == "camber_turned", tilt)
                    rows.append(noise.read(level, noise.inclinometer))
                gauge[wheel][key] = rows
        for side in SIDES if "sweep" in what else ():
            stops = self.sweep(side)
            for stop in stops:
                stop["camber"] = noise.read(stop["camber"], noise.inclinometer)
                stop["steer"] = noise.read(stop["steer"], noise.turn_plates)
            gauge.setdefault(f"{side}_front", {})["sweep"] = stops
        return gauge

    def to_toml(self, **options: Any) -> str:
        """Return a whole job file; see `tests.job_text.to_toml`."""
        from tests.job_text import to_toml

        return to_toml(self, **options)

    def truth(self) -> dict[str, float]:
        """Return the true value of every result, by its name."""
        true = {f"toe.{w}": t for w, t in self.toe.items()}
        for axle in AXLES:
            true[f"total_toe.{axle}"] = self.toe[f"left_{axle}"] + self.toe[f"right_{axle}"]
        true |= {f"camber.{w}": g for w, g in self.camber.items()}
        true |= {f"caster.{s}_front": c for s, c in self.caster.items()}
        true |= {"thrust_angle": self.thrust(), "steering_wheel": self.steering_wheel_off()}
        return true | {"box.yaw": self.yaw, "box.taper": self.taper}

    def mirrored(self) -> SimulatedCar:
        """Return the car and its box as seen in a mirror: left and right change places."""

        def swap(by_name: Mapping[str, float]) -> dict[str, float]:
            other = {"left": "right", "right": "left"}
            names = {name: "_".join([other.get(p, p) for p in name.split("_")]) for name in by_name}
            return {name: by_name[names[name]] for name in by_name}

        return replace(
            self,
            toe=swap(self.toe),
            camber=swap(self.camber),
            caster=swap(self.caster),
            sai=swap(self.sai),
            setback=-self.setback,
            floor_roll=-self.floor_roll,
            yaw=-self.yaw,
            shift=-self.shift,
        )
