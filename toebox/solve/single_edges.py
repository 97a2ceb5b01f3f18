"""Rims of which one edge alone was read, where they seem to tell what they hardly can.

One edge tells how far a wheel stands out and how it is turned, in one number. Where front and rear
rims differ in diameter, several such numbers seem to tell the two apart, by no more than that
difference: toes come out known to tens of degrees, and a fit runs off.
"""

from __future__ import annotations

import math

import numpy as np

from toebox.estimate import fit
from toebox.job.model import Job, Pass
from toebox.solve.network import Network
from toebox.solve.parts import parts_of
from toebox.solve.quantities import sums
from toebox.solve.results import TOE_RESULTS

# No toe that is known less surely is told: no car that drives has more (common practice, no
# published source) [rad].
LARGEST_U = math.radians(3.0)
_ANGLES = {name: parts_of(name) for name in TOE_RESULTS if "toe" in name or "thrust" in name}


def hardly_tell(job: Job, readings: Pass, network: Network) -> bool:
    """Return whether rims read at one edge tell toes that are known hardly at all.

    Parameters
    ----------
    job : Job
        Its rim diameters.
    readings : Pass
        A pass.
    network : Network
        That pass as a network.

    Returns
    -------
    bool
        Whether the standard uncertainty of a toe, about a straight car, is beyond 3 degrees;
        False where both edges were read of every rim, or all rims are alike.
    """
    alike = len(set(job.car.rim_diameter.values())) < 2
    if alike or all(bool(one.front) == bool(one.rear) for one in readings.string.values()):
        return False
    _, jacobian = network.model(network.first_guess())
    u = np.array([observation.u for observation in network.observations])
    nothing = np.zeros(len(network.unknowns))
    straight = fit(lambda x: (jacobian @ x, jacobian), np.zeros(len(u)), u, nothing)
    return any(one > LARGEST_U for _, one, _ in sums(network, straight, _ANGLES).values())


def without_them(readings: Pass) -> Pass:
    """Return a pass without the edges of rims of which the other edge was not read.

    Parameters
    ----------
    readings : Pass
        A pass.

    Returns
    -------
    Pass
        The same; what was read at hubs stays.
    """
    string = {
        wheel: one if readings.both_edges(wheel) else one._replace(front=(), rear=())
        for wheel, one in readings.string.items()
    }
    return readings._replace(string=string)
