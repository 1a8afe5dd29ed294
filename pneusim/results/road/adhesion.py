"""How much adhesion every axle uses against the braking ratio of its unit, and in which order axles lock.

An axle that brakes with the force T_i under the load N_i uses f_i = T_i/N_i; where all axles use the same, f_i = z. The
axle whose f_i first reaches the peak friction of the road locks first. UN R13 Annex 10 (from memory, to be read against
the official text).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pneusim.circuit.braking import axle_name
from pneusim.circuit.circuit import Vehicle
from pneusim.circuit.road import Road
from pneusim.circuit.statics import stand
from pneusim.errors import UsageError
from pneusim.results.road.agreement import braking_ratio
from pneusim.results.road.ramp import Array, rising
from pneusim.results.road.rolling import units
from pneusim.results.run import Run

POINTS = 200
"""A ramp of more samples is thinned to so many: loads are computed for each."""


@dataclass(frozen=True)
class AxleCurve:
    """Adhesion used by an axle [-] over the braking ratio, rising [-]; shape (n,) each."""

    axle: str
    ratio: Array
    used: Array


@dataclass(frozen=True)
class Locks:
    """An axle that locks, and the braking ratio at which it does [-]."""

    axle: str
    ratio: float


def used_on_the_road(run: Run) -> tuple[AxleCurve, ...]:
    """Curves from a run on a road: every axle over the braking ratio of its unit, up to the highest."""
    return tuple(
        AxleCurve(axle.site.name, *rising(braking_ratio(unit), axle.used.values))
        for unit in units(run)
        for axle in unit.axles
    )


def used_by_brakes(run: Run, loading: Mapping[str, str] | None = None) -> tuple[AxleCurve, ...]:
    """Curves from the braking forces of a slow application, on a road or not, and the statics of the vehicles.

    Parameters
    ----------
    run : Run
        Its axles have the channel ``brake_force``.
    loading : Mapping, optional
        ``laden`` or ``empty`` by unit, laden by default.

    Raises
    ------
    UsageError
        If no axle's braking force is known.
    """
    names = [axle_name(vehicle.name, axle.number) for vehicle in run.circuit.vehicles for axle in vehicle.axles]
    forces = {name: run[f"{name}.brake_force"].values for name in names if f"{name}.brake_force" in run.channels}
    if not forces:
        raise UsageError("no axle's braking force is known: give axles brake and tyre_radius")
    total, *each = rising(np.sum(list(forces.values()), axis=0), *forces.values())
    kept = np.unique(np.linspace(0, len(total) - 1, POINTS).astype(int))
    return used(run.circuit.vehicles, {name: values[kept] for name, values in zip(forces, each)}, loading)


def used(
    vehicles: Sequence[Vehicle], forces: Mapping[str, Array], loading: Mapping[str, str] | None = None
) -> tuple[AxleCurve, ...]:
    """Curves from braking forces of axles.

    Loads are those of `circuit.statics.stand` at the braking ratio of the whole chain: forces at hitches are those of
    units that all brake alike, so that for a vehicle alone the curves are exact.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        From the front, with all that rolling needs.
    forces : Mapping of str to ndarray, shape (n,)
        Braking forces by axle [N], rising together; axles that are left out do not brake.
    loading : Mapping, optional
        ``laden`` or ``empty`` by unit, laden by default.

    Raises
    ------
    ValueError
        If the centre of mass of a unit is not known.
    """
    road = Road(speed=1.0, loading=loading or {})  # rolls: no brake holds it at rest
    weight = sum(axle.load for unit in stand(vehicles, road) for axle in unit.axles)
    ratio: Array = np.sum(list(forces.values()), axis=0) / weight
    loads: dict[str, list[float]] = {}
    for z in ratio:
        for unit in stand(vehicles, road, float(z)):
            for one in unit.axles:
                loads.setdefault(axle_name(unit.vehicle.name, one.axle.number), []).append(one.load)
    return tuple(
        AxleCurve(name, ratio, np.divide(forces.get(name, np.zeros_like(ratio)), np.maximum(load, 1.0)))
        for name, load in loads.items()
    )


def lock_order(curves: Sequence[AxleCurve], peak: float) -> tuple[Locks, ...]:
    """Which axles lock on a road of a peak friction, the first one first; axles that do not are left out.

    Parameters
    ----------
    curves : sequence of AxleCurve
    peak : float
        Peak friction of the road [-], positive.
    """
    found = []
    for curve in curves:
        reached = np.flatnonzero(curve.used >= peak)
        if len(reached):
            k = int(reached[0])
            ratio = np.interp(peak, curve.used[max(k - 1, 0) : k + 1], curve.ratio[max(k - 1, 0) : k + 1])
            found.append(Locks(curve.axle, float(ratio)))
    return tuple(sorted(found, key=lambda lock: lock.ratio))
