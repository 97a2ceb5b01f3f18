"""Caster and steering-axis inclination from camber at several steer angles.

A wheel turned about a fixed axis keeps its angle to that axis. With steer angle ``d`` (outwards
positive) and camber ``g``, the outward normal of a left wheel is
``(-sin d cos g, cos d cos g, -sin g)`` and the axis lies along
``(-tan(caster), -tan(sai), 1)``. Their product does not change during the sweep::

    tan(caster) sin(d) cos(g) - tan(sai) cos(d) cos(g) - k = sin(g)

This is exact in three dimensions and linear in ``tan(caster)``, ``tan(sai)`` and ``k``. The right
wheel is its mirror image and obeys the same equation.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# Steering-axis inclination where it was neither given nor measured: common practice, no
# published source. Rectangular between the two (GUM 4.3.7).
ASSUMED_SAI_RANGE = (math.radians(5.0), math.radians(18.0))

# Stops nearer together than this count as one when it is asked whether inclination was measured.
DISTINCT_STOPS = math.radians(1.0)


@dataclass(frozen=True, slots=True, eq=False)
class Sweep:
    """What a sweep tells about the steering axis of one wheel.

    Parameters
    ----------
    caster : float
        Caster [rad], top of the axis rearwards positive.
    sai : float or None
        Steering-axis inclination [rad], top inwards positive: fitted, or as given (improved by the
        fit); None where it had to be assumed.
    sai_used : float
        The inclination that `caster` and `k` belong to [rad]; equal to `sai` unless that is None.
    k : float
        Constant of the sweep equation [-].
    covariance : ndarray
        Covariance of caster [rad], inclination used [rad] and k [-], shape (3, 3).
    residuals : tuple of float
        Camber as read minus camber as fitted at each stop [rad]; zero with two stops.
    """

    caster: float
    sai: float | None
    sai_used: float
    k: float
    covariance: NDArray[np.float64]
    residuals: tuple[float, ...]

    @property
    def u_caster(self) -> float:
        """Standard uncertainty of caster [rad]."""
        return math.sqrt(self.covariance[0, 0])

    @property
    def u_sai(self) -> float | None:
        """Standard uncertainty of the inclination [rad]; None where it was assumed."""
        return None if self.sai is None else math.sqrt(self.covariance[1, 1])

    def camber(self, steer: float) -> float:
        """Return the fitted camber at a steer angle; straight ahead at 0.

        Parameters
        ----------
        steer : float
            Steer angle [rad], outwards positive.

        Returns
        -------
        float
            Camber [rad], top out positive.
        """
        return _camber(math.tan(self.caster), math.tan(self.sai_used), self.k, steer)


def camber_at(caster: float, sai: float, camber_straight: float, steer: float) -> float:
    """Return the camber of a steered wheel.

    Parameters
    ----------
    caster : float
        Caster [rad], top of the axis rearwards positive, within +/-pi/2.
    sai : float
        Steering-axis inclination [rad], top inwards positive, within +/-pi/2.
    camber_straight : float
        Camber with the wheel straight ahead [rad], top out positive, within +/-pi/2.
    steer : float
        Steer angle [rad], outwards positive, within +/-pi/2.

    Returns
    -------
    float
        Camber at that steer angle [rad], top out positive.

    Raises
    ------
    ValueError
        If no rotation about this axis steers the wheel that far.

    Notes
    -----
    Solves the sweep equation for camber: with ``A = tan(caster) sin d - tan(sai) cos d`` it reads
    ``A cos g - sin g = k``, hence ``g = atan(A) - asin(k / sqrt(1 + A**2))``.

    Examples
    --------
    >>> from math import degrees, radians
    >>> round(degrees(camber_at(radians(5), radians(12), radians(-0.5), radians(20))), 6)
    1.954496
    >>> round(degrees(camber_at(radians(5), radians(12), radians(-0.5), radians(-20))), 6)
    -1.476249
    """
    tan_sai = math.tan(sai)
    k = -tan_sai * math.cos(camber_straight) - math.sin(camber_straight)
    return _camber(math.tan(caster), tan_sai, k, steer)


def camber_slopes(
    caster: float, sai: float, camber_straight: float, steer: float
) -> tuple[float, tuple[float, float, float, float]]:
    """Return the camber of a steered wheel, and how it follows what it depends on.

    Parameters
    ----------
    caster : float
        Caster [rad], top of the axis rearwards positive, within +/-pi/2.
    sai : float
        Steering-axis inclination [rad], top inwards positive, within +/-pi/2.
    camber_straight : float
        Camber with the wheel straight ahead [rad], top out positive, within +/-pi/2.
    steer : float
        Steer angle [rad], outwards positive, within +/-pi/2.

    Returns
    -------
    camber : float
        As `camber_at` gives it [rad]; where no rotation reaches that steer angle, the camber at
        the nearest edge of what one reaches.
    derivatives : tuple of float
        Of that camber by caster, inclination, camber straight ahead and steer [-].

    Notes
    -----
    With ``A = tan(caster) sin d - tan(sai) cos d`` the sweep equation ``A cos g - sin g = k``
    gives ``dg = (cos g dA - dk) / (cos g + A sin g)``.

    Examples
    --------
    >>> from math import degrees, radians
    >>> camber, slopes = camber_slopes(radians(5), radians(12), radians(-0.5), radians(20))
    >>> round(degrees(camber), 6), round(slopes[0], 2)
    (1.954496, 0.35)
    """
    tan_caster, tan_sai = math.tan(caster), math.tan(sai)
    sin_d, cos_d = math.sin(steer), math.cos(steer)
    a = tan_caster * sin_d - tan_sai * cos_d
    k = -tan_sai * math.cos(camber_straight) - math.sin(camber_straight)
    camber = math.atan(a) - math.asin(max(-1.0, min(1.0, k / math.hypot(1.0, a))))
    cos_g = math.cos(camber)
    across = cos_g + a * math.sin(camber)
    across = math.copysign(max(abs(across), 1e-6), across)
    by_sai_k = -math.cos(camber_straight) * (1.0 + tan_sai * tan_sai)
    by_straight_k = tan_sai * math.sin(camber_straight) - math.cos(camber_straight)
    return camber, (
        cos_g * sin_d * (1.0 + tan_caster * tan_caster) / across,
        (-cos_g * cos_d * (1.0 + tan_sai * tan_sai) - by_sai_k) / across,
        -by_straight_k / across,
        cos_g * (tan_caster * cos_d + tan_sai * sin_d) / across,
    )


def sweep_factor(steer: float) -> float:
    """Return the factor that turns a camber difference between two equal steer angles into caster.

    Parameters
    ----------
    steer : float
        Steer angle of both stops [rad], one outwards and one inwards, above 0, up to pi/2.

    Returns
    -------
    float
        ``1 / (2 sin(steer))`` [-].

    Raises
    ------
    ValueError
        If the steer angle is not above 0 and at most pi/2.

    Notes
    -----
    To first order caster is this times (camber steered out minus camber steered in). `solve_sweep`
    needs no such approximation. 1.4619 at 20 degrees; many know it as 1.5 (common practice, no
    published source).

    Examples
    --------
    >>> from math import radians
    >>> round(sweep_factor(radians(20.0)), 6)
    1.461902
    """
    if not 0.0 < steer <= math.pi / 2.0:
        raise ValueError(f"steer {steer} rad: wanted an angle above 0, at most a right angle")
    return 1.0 / (2.0 * math.sin(steer))


def solve_sweep(
    steer: Sequence[float],
    camber: Sequence[float],
    u_camber: float,
    u_steer: float = 0.0,
    sai: float | None = None,
    u_sai: float = math.radians(1.0),
) -> Sweep:
    """Return caster and steering-axis inclination from camber at two or more steer angles.

    Parameters
    ----------
    steer : sequence of float
        Steer angle at each stop [rad], outwards positive, in any order, equal or not.
    camber : sequence of float
        Camber at each stop [rad], top out positive.
    u_camber : float
        Standard uncertainty of each camber [rad], positive.
    u_steer : float, optional
        Standard uncertainty of each steer angle [rad].
    sai : float, optional
        Steering-axis inclination [rad], top inwards positive, where it is known. It enters as one
        more observation.
    u_sai : float, optional
        Standard uncertainty of `sai` [rad], positive.

    Returns
    -------
    Sweep
        Caster, inclination, constant, their covariance and the residuals.

    Raises
    ------
    ValueError
        If there are fewer than two stops more than a degree apart, the numbers of angles differ, an
        angle is not within a right angle of zero, an uncertainty is not as stated above, or the
        stops fit no steering axis.

    Notes
    -----
    With three or more distinct stops: least squares weighted by the variance of the equation's
    residual, by first-order propagation of `u_camber` and `u_steer` (errors are taken as
    independent from stop to stop). With two, caster and ``k`` follow exactly for any
    inclination; where none was given it is taken as 11.5 degrees, rectangular between 5 and 18
    (`ASSUMED_SAI_RANGE`), and that doubt is carried into the covariance. For stops at equal
    angles in and out it nearly vanishes. From stops within 20 degrees either way inclination is
    weakly determined; its uncertainty shows it. Stops at 20 degrees in, zero and 20 degrees
    out: NAVEDTRA 14273.

    Examples
    --------
    >>> from math import degrees, radians
    >>> steer = [radians(d) for d in (20, -20)]
    >>> camber = [radians(g) for g in (1.954496, -1.476249)]
    >>> sweep = solve_sweep(steer, camber, u_camber=radians(0.1), sai=radians(12))
    >>> round(degrees(sweep.caster), 4), round(degrees(sweep.u_caster), 3)
    (5.0, 0.205)
    """
    import numpy as np

    d, g = np.asarray(steer, dtype=float), np.asarray(camber, dtype=float)
    _check(d, g, u_camber, u_steer, u_sai)
    measured = sai is not None or count_distinct(d.tolist()) > 2
    known = (sai, u_sai) if sai is not None else None if measured else assumed_sai()
    solution, covariance = _fit(d, g, u_camber, u_steer, known)
    tan_caster, tan_sai, k = (float(x) for x in solution)
    caster, sai_used = math.atan(tan_caster), math.atan(tan_sai)
    to_angles = np.array([math.cos(caster) ** 2, math.cos(sai_used) ** 2, 1.0])
    try:
        fitted = [_camber(tan_caster, tan_sai, k, each) for each in d.tolist()]
    except ValueError:
        raise ValueError("no steering axis has such cambers: read them again") from None
    return Sweep(
        caster=caster,
        sai=sai_used if measured else None,
        sai_used=sai_used,
        k=k,
        covariance=covariance * np.outer(to_angles, to_angles),
        residuals=tuple((g - np.array(fitted)).tolist()),
    )


def count_distinct(steer: Sequence[float]) -> int:
    """Return how many stops of a sweep are far enough apart to count.

    Parameters
    ----------
    steer : sequence of float
        Steer angles [rad], in any order.

    Returns
    -------
    int
        Stops more than `DISTINCT_STOPS` from each other [-].

    Examples
    --------
    >>> count_distinct([0.35, 0.0, -0.35, -0.351])
    3
    """
    count, last = 0, -math.inf
    for each in sorted(steer):
        if each - last > DISTINCT_STOPS:
            count, last = count + 1, each
    return count


def assumed_sai() -> tuple[float, float]:
    """Return the inclination that is assumed where it was neither given nor measured.

    Returns
    -------
    middle : float
        Middle of `ASSUMED_SAI_RANGE` [rad].
    u : float
        Standard uncertainty of a rectangular distribution over that range [rad] (GUM 4.3.7).

    Examples
    --------
    >>> from math import degrees
    >>> [round(degrees(angle), 2) for angle in assumed_sai()]
    [11.5, 3.75]
    """
    low, high = ASSUMED_SAI_RANGE
    return (low + high) / 2.0, (high - low) / math.sqrt(12.0)


def _camber(tan_caster: float, tan_sai: float, k: float, steer: float) -> float:
    """Solve the sweep equation for camber."""
    a = tan_caster * math.sin(steer) - tan_sai * math.cos(steer)
    sine = k / math.hypot(1.0, a)
    if not abs(sine) <= 1.0:
        raise ValueError("no rotation about this axis steers the wheel that far")
    return math.atan(a) - math.asin(sine)


def _check(
    d: NDArray[np.float64], g: NDArray[np.float64], u_camber: float, u_steer: float, u_sai: float
) -> None:
    """Refuse what cannot be solved."""
    if d.shape != g.shape or d.ndim != 1:
        raise ValueError(f"{d.size} steer angles and {g.size} cambers: wanted one camber per stop")
    if not all(abs(angle) < math.pi / 2.0 for angle in (*d, *g)):
        raise ValueError("wanted steer angles and cambers within a right angle of zero")
    if not (u_camber > 0.0 and u_steer >= 0.0 and u_sai > 0.0):
        raise ValueError("wanted u_camber and u_sai above zero, and u_steer not below zero")
    if count_distinct(d.tolist()) < 2:
        raise ValueError("wanted at least two stops, more than a degree of steer apart")


def _fit(
    d: NDArray[np.float64],
    g: NDArray[np.float64],
    u_camber: float,
    u_steer: float,
    known: tuple[float, float] | None,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return tan(caster), tan(sai), k and their covariance, from stops and a known inclination."""
    import numpy as np

    lever, across, one = np.sin(d) * np.cos(g), np.cos(d) * np.cos(g), np.ones_like(d)
    design, wanted = np.column_stack([lever, -across, -one]), np.sin(g)
    u_known = np.empty(0)
    if known is not None:
        sai, u_sai = known
        design = np.vstack([design, [0.0, 1.0, 0.0]])
        wanted = np.append(wanted, math.tan(sai))
        u_known = np.array([u_sai / math.cos(sai) ** 2])
    solution: NDArray[np.float64] = np.zeros(3)
    covariance: NDArray[np.float64] = np.zeros((3, 3))
    for _ in range(4):  # the weights depend, weakly, on the solution
        by_camber = -solution[0] * np.sin(d) * np.sin(g) + solution[1] * np.cos(d) * np.sin(g)
        by_steer = solution[0] * across + solution[1] * lever
        u = np.hypot((by_camber - np.cos(g)) * u_camber, by_steer * u_steer)
        weight = 1.0 / np.append(u, u_known)
        q, r = np.linalg.qr(design * weight[:, None])
        solution = np.linalg.solve(r, q.T @ (wanted * weight))
        root = np.linalg.inv(r)
        covariance = root @ root.T
    return solution, covariance
