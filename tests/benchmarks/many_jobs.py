"""A thousand jobs: over the floor of parsing their TOML, and over a general-purpose way.

The general-purpose way is what an engineer would write in an afternoon: tomllib, numbers by
`fractions`, scipy.optimize.least_squares for the same equations, its covariance handed to the
uncertainties package, results as expressions of correlated values.
"""

from __future__ import annotations

import contextlib
import math
import os
import statistics
import subprocess
import sys
import time
import tomllib
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
import uncertainties
from scipy.optimize import least_squares
from uncertainties import umath

from tests.benchmarks.ratios import ROOT, Ratio, process
from tests.simulate import Noise, SimulatedCar
from toebox.cli.batch import cores

WHAT = ("string", "hub", "bars", "tape", "road_test")
INCH = 0.0254
WHEELS = ("left_front", "right_front", "left_rear", "right_rear")
BLOCK = 50


def write_jobs(folder: Path, count: int) -> list[Path]:
    """Write job files of random cars, read to the fractions of a rule."""
    paths = []
    for number in range(count):
        rng = np.random.default_rng(number)
        noise = Noise(rng, rule=(INCH / 64, INCH / 64))
        text = SimulatedCar.random(rng).to_toml(noise=noise, what=WHAT, repeats=2)
        path = folder / f"{number:05d}.toml"
        path.write_text(text, "utf-8")
        paths.append(path)
    return paths


def inches(given: object) -> float:
    """Read a length in inches [m]."""
    return INCH * float(sum(Fraction(part) for part in str(given).split()))


def by_hand(path: Path) -> dict[str, Any]:
    """Work out one job the general-purpose way."""
    job = tomllib.loads(path.read_text("utf-8"))
    car, (found,) = job["car"], job["pass"]
    wheelbase, rim = inches(car["wheelbase"]), inches(car["rim_diameter"])
    strings, tapes, ratio = found["string"], found["tape"], car["steering_ratio"]
    spacing = inches(strings["bar_spacing"])
    u_rule = math.hypot(INCH / 64, INCH / 64 / math.sqrt(12.0))
    u_tape = math.hypot(INCH / 32, INCH / 32 / math.sqrt(12.0))
    u_road, u_rim = math.radians(2.0), INCH / 64 / math.sqrt(8.0)
    off = found["steering_wheel_off"]
    turned = math.radians(off["angle"]) * (1.0 if off["toward"] == "right" else -1.0)
    # Unknowns: 4 toes, 2 gaps, 2 shifts, 2 hubs, 2 tape widths, bars, taper, 4 wobbles.
    rows = []
    for n, wheel in enumerate(WHEELS):
        for end, key in ((1.0, "front"), (-1.0, "rear")):
            for turn, value in zip((1.0, -1.0), strings[wheel][key], strict=True):
                rows.append((n, end, turn, inches(value)))
    hubs = [inches(strings[wheel]["hub"]) for wheel in WHEELS]
    bars = [inches(strings[f"{end}_bar_width"]) for end in ("front", "rear")]
    edges = [
        (inches(tapes[axle]["front_edge"]), inches(tapes[axle]["rear_edge"]))
        for axle in ("front", "rear")
    ]
    across = [inches(tapes[axle].get("across", car["tyre_diameter"])) for axle in ("front", "rear")]

    def residuals(x: np.ndarray) -> list[float]:
        toe, gap, shift, hub, width, middle, taper, wobble = (
            x[0:4], x[4:6], x[6:8], x[8:10], x[10:12], x[12], x[13], x[14:18],
        )  # fmt: skip
        yaw = math.asin((shift[0] - shift[1]) / wheelbase)
        misfit = []
        for n, end, turn, value in rows:
            side, axle = (1.0 if n % 2 == 0 else -1.0), n // 2
            angle = toe[n] + taper - side * yaw
            model = gap[axle] - side * shift[axle] + end * rim / 2 * math.sin(angle)
            misfit.append((value - model - end * turn * wobble[n]) / u_rule)
        for n, value in enumerate(hubs):
            side, axle = (1.0 if n % 2 == 0 else -1.0), n // 2
            misfit.append((value - gap[axle] + side * shift[axle] - hub[axle]) / u_rule)
        for axle, (front, rear) in enumerate(edges):
            both = math.sin(toe[2 * axle]) + math.sin(toe[2 * axle + 1])
            misfit.append((front - width[axle] + across[axle] / 2 * both) / u_tape)
            misfit.append((rear - width[axle] - across[axle] / 2 * both) / u_tape)
        for end, value in zip((1.0, -1.0), bars, strict=True):
            misfit.append((value - middle - end * spacing * math.tan(taper)) / u_tape)
        thrust = (toe[2] - toe[3]) / 2
        misfit.append((turned - ratio * (thrust - (toe[0] - toe[1]) / 2)) / u_road)
        return [*misfit, *(wobble / u_rim)]

    fit = least_squares(residuals, np.zeros(18), x_scale="jac")
    covariance = np.linalg.inv(fit.jac.T @ fit.jac)
    values = uncertainties.correlated_values(fit.x, covariance)
    toe = dict(zip(WHEELS, values[:4], strict=True))
    thrust = (toe["left_rear"] - toe["right_rear"]) / 2
    results = {f"toe.{wheel}": angle for wheel, angle in toe.items()}
    results["total_toe.front"] = toe["left_front"] + toe["right_front"]
    results["total_toe.rear"] = toe["left_rear"] + toe["right_rear"]
    results["thrust_angle"] = thrust
    results["toe_to_thrust.left_front"] = toe["left_front"] - thrust
    results["toe_to_thrust.right_front"] = toe["right_front"] + thrust
    results["steering_wheel"] = ratio * (thrust - (toe["left_front"] - toe["right_front"]) / 2)
    results["box.yaw"] = umath.asin((values[6] - values[7]) / wheelbase)
    results["box.taper"] = values[13]
    return {
        name: (math.degrees(result.nominal_value), math.degrees(result.std_dev))
        for name, result in results.items()
    }


def check(path: Path) -> None:
    """Make sure that both ways give the same answer, else their times mean nothing."""
    from toebox.job import load
    from toebox.solve import solve

    (solved,) = solve(load(path)).passes
    for name, (value, u) in by_hand(path).items():
        assert abs(math.degrees(solved[name].value) - value) < 1e-3 * u + 1e-7, name
        assert abs(math.degrees(solved[name].u) / u - 1.0) < 1e-2, name


def taken(call: Any, paths: list[Path]) -> float:
    start = time.perf_counter()
    call(paths)
    return time.perf_counter() - start


def ratios(folder: Path, count: int) -> Iterator[Ratio]:
    """Yield the two ratios of `toebox solve` on many jobs, block by block in turns."""
    from toebox.cli import main

    paths = write_jobs(folder, count)
    for path in paths[:5]:
        check(path)

    def ours(block: list[Path], *options: str) -> None:
        with (
            Path(os.devnull).open("w", encoding="utf-8") as nowhere,
            contextlib.redirect_stdout(nowhere),
            contextlib.suppress(SystemExit),
        ):
            main(["solve", *options, *map(str, block)])

    def floor(block: list[Path]) -> None:
        for path in block:
            with path.open("rb") as file:
                tomllib.load(file)

    def general(block: list[Path]) -> None:
        for path in block:
            by_hand(path)

    ours(paths[:BLOCK], "--json")
    sums = dict.fromkeys(("json", "floor", "general"), 0.0)
    calls = {"json": lambda b: ours(b, "--json"), "floor": floor, "general": general}
    for start in range(0, count, BLOCK):
        for name, call in calls.items():
            sums[name] += 1e3 * taken(call, paths[start : start + BLOCK])
    yield from _both("one core", count, *(sums[name] for name in ("json", "floor", "general")))


def _both(where: str, count: int, ours: float, parsed: float, general: float) -> Iterator[Ratio]:
    """Yield what the general way takes over ours, and ours over the floor."""
    name = f"`toebox solve --json`, {where}"
    by_hand = f"{count} jobs by scipy and uncertainties"
    yield Ratio(by_hand, name, general / ours, general, ours, "10 at least")
    floor = f"parsing the TOML of {count} jobs"
    yield Ratio(name, floor, ours / parsed, ours, parsed, "4 at most")


def whole_runs(folder: Path, count: int, rounds: int = 3) -> Iterator[Ratio]:
    """Yield the same two ratios of whole processes: start-up counts, and every core may be used."""
    names = [path.name for path in write_jobs(folder, count)]
    floor = "import sys, tomllib\nfor n in sys.argv[1:]: tomllib.load(open(n, 'rb'))"
    general = (
        "import sys\nfrom pathlib import Path\nfrom tests.benchmarks.many_jobs import by_hand\n"
        "for n in sys.argv[1:]: by_hand(Path(n))"
    )
    calls = [
        process(["-m", "toebox", "solve", "--json", *names], folder),
        process(["-c", floor, *names], folder),
        process(["-c", general, *names], folder),
    ]
    times: list[list[float]] = [[], [], []]
    for _ in range(rounds):
        for call, of_call in zip(calls, times, strict=True):
            start = time.perf_counter()
            call()
            of_call.append(1e3 * (time.perf_counter() - start))
    where = f"whole run, {cores()} cores"
    yield from _both(where, count, *(statistics.median(of_call) for of_call in times))


def growth(folder: Path, few: int, many: int) -> Iterator[Ratio]:
    """Yield how time and memory grow from few jobs to many."""
    found = [_measured(write_jobs(folder, count)) for count in (few, many)]
    (time_few, size_few), (time_many, size_many) = found
    yield Ratio(
        f"time a job, {many} jobs in one run",
        f"time a job, {few} jobs",
        (time_many / many) / (time_few / few),
        1e3 * time_many / many,
        1e3 * time_few / few,
        "1, linear",
    )
    yield Ratio(
        f"largest memory (MiB), {many} jobs",
        f"{few} jobs",
        size_many / size_few,
        size_many / 1024,
        size_few / 1024,
        "1, constant",
    )


def _measured(paths: list[Path]) -> tuple[float, float]:
    """Return time [s] to solve all jobs and the memory [KiB] of the largest process that did."""
    code = (
        "import resource, sys\nfrom toebox.cli import main\n"
        "try:\n    main(sys.argv[1:])\n"
        "finally:\n"
        "    who = resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN\n"
        "    print(max(resource.getrusage(w).ru_maxrss for w in who), file=sys.stderr)\n"
    )
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", code, "solve", "--json", *(path.name for path in paths)],
        cwd=paths[0].parent,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        check=True,
    )
    return time.perf_counter() - start, float(done.stderr.split()[-1])
