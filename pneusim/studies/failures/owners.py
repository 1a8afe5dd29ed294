"""Whose forces are summed up: axles, vehicles, the combination."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from pneusim.circuit.braking import ACTUATORS, COMBINATION, axle_name, vehicle_name
from pneusim.circuit.circuit import Circuit


@dataclass(frozen=True)
class Owners:
    """Brakes by axle, by vehicle, and all of them, under the names of their channels; and what each vehicle is called.

    ``whole`` is the owner of all brakes: the combination, or the only vehicle.
    """

    axles: Mapping[str, tuple[str, ...]]
    vehicles: Mapping[str, tuple[str, ...]]
    units: Mapping[str, str]
    sides: Mapping[str, str]
    whole: str

    @property
    def brakes(self) -> tuple[str, ...]:
        """All brakes, from the front."""
        return tuple(name for names in self.vehicles.values() for name in names)

    def axles_without(self, away: Collection[str]) -> tuple[str, ...]:
        """Axles of vehicles that are still there when some, by their names in the file, came away."""
        gone = {wheel for owner, unit in self.units.items() if unit in away for wheel in self.vehicles[owner]}
        return tuple(axle for axle, wheels in self.axles.items() if not gone & set(wheels))


def owners_of(circuit: Circuit) -> Owners:
    """Owners of the brakes of a circuit, from the front."""
    actuators = [c for c in circuit.components.values() if c.type in ACTUATORS]
    units = list(dict.fromkeys([vehicle.name for vehicle in circuit.vehicles] + [c.unit for c in actuators]))
    axles: dict[str, tuple[str, ...]] = {}
    vehicles: dict[str, tuple[str, ...]] = {}
    named = {}
    for unit in units:
        own = sorted((c for c in actuators if c.unit == unit), key=lambda c: (c.axle or 0, c.side or "", c.name))
        for brake in own:
            if brake.axle is not None:
                name = axle_name(unit, brake.axle)
                axles[name] = (*axles.get(name, ()), brake.name)
        if own:
            named[vehicle_name(unit)] = unit
            vehicles[vehicle_name(unit)] = tuple(c.name for c in own)
    whole = COMBINATION if len(vehicles) > 1 else next(iter(vehicles), COMBINATION)
    return Owners(axles, vehicles, named, {c.name: c.side for c in actuators if c.side}, whole)


def total(values: Mapping[str, float], names: Collection[str]) -> float:
    """Sum over some brakes."""
    return sum(values[name] for name in names)
