"""Braking ratio of every unit against the pressure at the coupling head, from a slow application.

The units of a combination are compatible where their ratios are near to each other at all pressures; UN R13 Annex 10
draws bands for them (see `corridor`).  Slow means that all chambers follow the head: ten seconds or more to the top.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pneusim.circuit.braking import vehicle_name
from pneusim.circuit.circuit import Component
from pneusim.circuit.figures import usual
from pneusim.errors import UsageError
from pneusim.results.measures.brakes import vehicle_order
from pneusim.results.road.agreement import braking_ratio
from pneusim.results.road.ramp import Array, rising
from pneusim.results.road.rolling import units
from pneusim.results.run import Run

ROLLING = usual("rolling_resistance")
"""Braking ratio of wheels that only roll [-]."""

ONSET = 0.002
"""Braking ratio from which on a unit brakes [-]."""


@dataclass(frozen=True)
class UnitCurve:
    """A unit's braking ratio over pressure.

    Attributes
    ----------
    unit : str
        Owner of its channels: ``trailer.vehicle``.
    pressure, ratio : ndarray, shape (n,)
        Pressure at the head, rising [Pa gauge], and braking force over load of its own axles [-].
    onset : float or None
        Pressure at which braking begins [Pa gauge]; None if it never does.
    """

    unit: str
    pressure: Array
    ratio: Array
    onset: float | None


@dataclass(frozen=True)
class Compatibility:
    """The curves of all units, from the front.

    Attributes
    ----------
    head : str
        The coupling head whose pressure counts.
    curves : tuple of UnitCurve
    largest_difference : float or None
        Largest difference of ratios among units at one pressure [-]; None for a single unit.
    at : float or None
        That pressure [Pa gauge].
    """

    head: str
    curves: tuple[UnitCurve, ...]
    largest_difference: float | None
    at: float | None


def compatibility(run: Run, head: str | None = None) -> Compatibility:
    """Braking ratios of all units over the pressure at a coupling head, up to its highest.

    The ratio is the channel ``<unit>.braking_ratio``, brake force over static load, where the run has it, tyre adhesion
    aside; else, on a road, the force of the road over the load of the unit's own axles without what rolling takes.

    Parameters
    ----------
    run : Run
        Of a slow application.
    head : str, optional
        Name of a coupling head; by default that of the control line behind the first unit.

    Raises
    ------
    UsageError
        If there is no such head, or a unit's braking ratio is not known.
    """
    chosen = head or _head(run)
    if f"{chosen}.pressure" not in run.channels:
        raise UsageError(f"the run has no pressure of a coupling head {chosen!r}")
    pressure = run[f"{chosen}.pressure"].values
    curves = tuple(_curve(name, *rising(pressure, ratio)) for name, ratio in _ratios(run).items())
    if len(curves) < 2:
        return Compatibility(chosen, curves, None, None)
    spread = np.ptp([curve.ratio for curve in curves], axis=0)
    worst = int(spread.argmax())
    return Compatibility(chosen, curves, float(spread[worst]), float(curves[0].pressure[worst]))


def _head(run: Run) -> str:
    heads = [c for c in run.circuit.components.values() if c.type == "coupling_head" and _role(c) == "control"]
    heads = [c for c in heads if f"{c.name}.pressure" in run.channels]
    heads.sort(key=lambda c: (vehicle_order(run, c)[0], c.parameters.get("end") == "front"))
    if not heads:
        raise UsageError("the circuit has no coupling head of a control line, at whose pressure units could be laid")
    return heads[0].name


def _role(head: Component) -> str:
    return str(head.parameters.get("role"))


def _ratios(run: Run) -> dict[str, Array]:
    rolling = {unit.name: braking_ratio(unit) - ROLLING for unit in units(run)}
    found: dict[str, Array] = {}
    for vehicle in run.circuit.vehicles:
        name = vehicle_name(vehicle.name)
        static = run.channels.get(f"{name}.braking_ratio")
        if static is None and name not in rolling:
            raise UsageError(
                f"the braking ratio of {vehicle.name or 'the vehicle'} is not known: give its axles brake, tyre_radius "
                "and load"
            )
        found[name] = rolling[name] if static is None else static.values
    return found


def _curve(name: str, pressure: Array, ratio: Array) -> UnitCurve:
    brakes = np.flatnonzero((ratio[1:] > ONSET) & (ratio[:-1] <= ONSET))
    if not len(brakes):
        return UnitCurve(name, pressure, ratio, None)
    k = int(brakes[0])
    share = (ONSET - ratio[k]) / (ratio[k + 1] - ratio[k])
    return UnitCurve(name, pressure, ratio, float(pressure[k] + share * (pressure[k + 1] - pressure[k])))
