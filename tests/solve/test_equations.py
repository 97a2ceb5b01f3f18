"""Measurement equations: their derivatives, and readings no car can give."""

from pathlib import Path

import numpy as np
import pytest

from toebox.errors import NoResult
from toebox.job import load
from toebox.job.model import WHEELS, WheelStrings
from toebox.solve import solve
from toebox.solve.network import network_of

SAMPLES = Path(__file__).parents[2] / "samples"


@pytest.mark.parametrize("name", ["string-box", "metric", "tape-and-road-test", "crooked-box"])
def test_derivatives_equal_differences(name):
    job = load(SAMPLES / f"{name}.toml")
    network = network_of(job, job.passes[0])
    x = np.random.default_rng(5).uniform(-0.02, 0.02, len(network.unknowns))
    _, jacobian = network.model(x)
    step = 1e-6
    for column in range(len(x)):
        ahead, behind = x.copy(), x.copy()
        ahead[column] += step
        behind[column] -= step
        difference = (network.model(ahead)[0] - network.model(behind)[0]) / (2.0 * step)
        np.testing.assert_allclose(jacobian[:, column], difference, atol=1e-9)


def test_readings_that_put_the_car_across_the_box_are_no_result():
    job = load(SAMPLES / "metric.toml")
    far = {"left_front": 9.0, "right_front": 0.1, "left_rear": 0.1, "right_rear": 9.0}
    strings = {wheel: WheelStrings((far[wheel],), (far[wheel],)) for wheel in WHEELS}
    readings = job.passes[0]._replace(string=strings)
    with pytest.raises(NoResult, match="would put the car across its own box"):
        solve(job._replace(passes=(readings,)))
