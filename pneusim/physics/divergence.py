"""Does a braked road train that is nudged come back or diverge: linear yaw stability at a speed.

Plain Python: nothing here runs inside a step.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

CORNERING = 5.5  # cornering stiffness over load, about 0.1 per degree [1/rad]; truck tyres, from memory

Matrix = NDArray[np.float64]


@dataclass(frozen=True)
class YawAxle:
    """An axle on the road: place rearward from its unit's datum [m], load [N], braking force over load [-].

    ``locked``: its wheels slide, and ``braking`` is the friction with which they do.
    """

    at: float
    load: float
    braking: float = 0.0
    locked: bool = False


@dataclass(frozen=True)
class YawUnit:
    """A unit: mass [kg], moment of inertia about its vertical axis [kg m2], place of its centre of mass, its axles.

    ``datum`` of a unit behind another is the hitch between them; ``hitch`` is where the next one is hitched, all
    rearward from the datum [m].
    """

    mass: float
    inertia: float
    centre: float
    axles: tuple[YawAxle, ...]
    hitch: float | None = None


def divergence_rate(units: Sequence[YawUnit], V: float, cornering: float = CORNERING) -> float:
    """Growth rate of the fastest way in which a nudged road train swings at a speed.

    Parameters
    ----------
    units : sequence of YawUnit
        From the front; each but the last with a hitch.
    V : float
        Speed [m/s]; the rate means something while the vehicle takes longer to stop than the swing to grow, above about
        8 m/s.
    cornering : float
        Side force of a rolling axle over load and slip angle [1/rad].

    Returns
    -------
    float
        Real part of the fastest eigenvalue [1/s]: positive diverges, doubling in ln 2 over it; negative comes back.

    Raises
    ------
    ValueError
        If a unit that tows has no hitch.

    Notes
    -----
    Coordinates: lateral place y of the first centre of mass and headings theta_i. An axle that rolls pushes sideways by
    C (theta - y'/V) and brakes along its heading; one that is locked pushes against its velocity. Braking forces, and
    the masses that push, act on the headings through the second-order shortening of the chain. With beta = y'/V as
    state the equations hold for the whole train turned by any angle, of which the eigenvalue 0 is left out. A linear
    indicator at a frozen speed, not a path: report rates, never angles. Lagrange's equations, derived here; that a
    vehicle is stable with locked front and divergent with locked rear wheels: Gillespie, Fundamentals of Vehicle
    Dynamics, and Limpert, Brake Design and Safety (from memory).

    Examples
    --------
    A two-axle vehicle at 20 m/s, front wheels locked, then rear wheels:

    >>> def car(*locked): return YawUnit(8e3, 22e3, 1.3, tuple(
    ...     YawAxle(at, 4e4, 0.5 * (n in locked), n in locked) for n, at in enumerate((0.0, 3.8))))
    >>> [divergence_rate([car(axle)], 20.0) > 0.0 for axle in (0, 1)]
    [False, True]
    """
    rates = np.linalg.eigvals(_dynamics(units, V, cornering))
    turned = int(np.argmin(np.abs(rates)))
    return float(np.delete(rates, turned).real.max())


def _dynamics(units: Sequence[YawUnit], V: float, cornering: float) -> Matrix:
    """Matrix of the states (beta, headings, turning speeds); M q'' + D q' + K q = 0, q = (y, headings)."""
    n = len(units)
    mass, damping, stiffness = (np.zeros((n + 1, n + 1)) for _ in range(3))
    total = sum(unit.mass for unit in units)
    slowing = sum(axle.braking * axle.load for unit in units for axle in unit.axles) / total
    arms = np.zeros(n)
    for i, unit in enumerate(units):
        ahead = unit.centre if i == 0 else 0.0
        arms[i] = unit.centre - ahead
        row = _row(arms)
        mass += unit.mass * np.outer(row, row)
        mass[i + 1, i + 1] += unit.inertia
        stiffness[1:, 1:] -= unit.mass * slowing * np.diag(arms)
        for axle in unit.axles:
            arms[i] = axle.at - ahead
            row, force = _row(arms), axle.braking * axle.load
            stiffness[1:, 1:] += force * np.diag(arms)
            if axle.locked:
                damping += force / V * np.outer(row, row)
            else:
                damping += cornering * axle.load / V * np.outer(row, row)
                stiffness[:, i + 1] += (force - cornering * axle.load) * row
        arms[i] = _hitch(units, i) - ahead
    # y' = V beta and V' = -slowing, so y'' = V beta' - slowing beta.
    scale = np.diag([V, *np.ones(n)])
    right = np.column_stack([mass[:, 0] * slowing - damping[:, 0] * V, -stiffness[:, 1:], -damping[:, 1:]])
    solved = np.linalg.solve(mass @ scale, right)
    turning = np.hstack([np.zeros((n, n + 1)), np.eye(n)])
    return np.vstack([solved[:1], turning, solved[1:]])


def _row(arms: Matrix) -> Matrix:
    """Lateral speed of a point by the speeds of the coordinates."""
    return np.concatenate([[1.0], -arms])


def _hitch(units: Sequence[YawUnit], i: int) -> float:
    hitch = units[i].hitch
    if hitch is None and i + 1 < len(units):
        raise ValueError(f"unit {i + 1} of {len(units)} tows but has no hitch")
    return hitch or 0.0
