"""What follows from the torques of foundation brakes: forces at the tyres, of axles and vehicles, and over their loads.

All of it is linear in the torques, and all of it is a channel of a run.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from pneusim.circuit.circuit import Axle, Component, Vehicle

ACTUATORS = ("brake_chamber", "spring_brake_actuator")
"""Types of parts that work a foundation brake."""

COMBINATION = "combination"
"""Owner of the channels of all vehicles together."""


@dataclass(frozen=True)
class BrakeChannel:
    """A channel ``<owner>.<quantity>`` that is a sum of weights times other channels, all SI."""

    owner: str
    quantity: str
    dimension: str
    words: str
    terms: tuple[tuple[float, str], ...]

    @property
    def name(self) -> str:
        """Full name of the channel."""
        return f"{self.owner}.{self.quantity}"


@dataclass(frozen=True)
class BrakedAxle:
    """An axle whose brake is described: its full name (``trailer.axle_2``), and the actuators on it."""

    name: str
    unit: str
    axle: Axle
    actuators: tuple[str, ...]


def axle_name(unit: str, number: int) -> str:
    """Full name of an axle: ``trailer.axle_2``, or ``axle_2`` in a circuit of one unit."""
    return ".".join(filter(None, (unit, f"axle_{number}")))


def vehicle_name(unit: str) -> str:
    """Owner of the channels of a whole vehicle: ``trailer.vehicle``, or ``vehicle`` in a circuit of one unit."""
    return ".".join(filter(None, (unit, "vehicle")))


def braked_axles(vehicles: Iterable[Vehicle], components: Mapping[str, Component]) -> list[BrakedAxle]:
    """Axles with a brake and at least one actuator, from the front."""
    found = []
    for vehicle in vehicles:
        for axle in vehicle.axles:
            on_it = [c.name for c in _actuators(vehicle, components) if c.axle == axle.number]
            if axle.brake and on_it:
                found.append(BrakedAxle(axle_name(vehicle.name, axle.number), vehicle.name, axle, tuple(on_it)))
    return found


def brake_channels(vehicles: Sequence[Vehicle], components: Mapping[str, Component]) -> list[BrakeChannel]:
    """All channels that follow from torques, each after those that it sums up.

    A force needs the ``tyre_radius`` of its axle; that of a vehicle needs all its actuators to work brakes whose force
    is known. A ratio needs the loads of all axles concerned.
    """
    axles = braked_axles(vehicles, components)
    found = [channel for axle in axles if axle.axle.tyre_radius for channel in _of_axle(axle, axle.axle.tyre_radius)]
    whole = [vehicle for vehicle in vehicles if _is_whole(vehicle, components)]
    for vehicle in whole:
        forces = [f"{axle.name}.brake_force" for axle in axles if axle.unit == vehicle.name]
        if forces:
            found += _sum(vehicle_name(vehicle.name), forces, load_of([vehicle]))
    known = {channel.name for channel in found}
    forces = [f"{vehicle_name(vehicle.name)}.brake_force" for vehicle in vehicles]
    forces = [force for force in forces if force in known]
    if len(vehicles) > 1 and len(whole) == len(vehicles) and forces:
        found += _sum(COMBINATION, forces, load_of(vehicles))
    return found


def load_of(vehicles: Iterable[Vehicle]) -> float | None:
    """Static load of all axles [N]; None if a vehicle has no axles, or an axle no load."""
    axles = [vehicle.axles for vehicle in vehicles]
    loads = [axle.load for those in axles for axle in those]
    known = [load for load in loads if load]
    return sum(known) if all(axles) and known and len(known) == len(loads) else None


def _of_axle(axle: BrakedAxle, radius: float) -> list[BrakeChannel]:
    words, weight = "braking force at the tyre", 1.0 / radius
    found = [
        BrakeChannel(name, "brake_force", "force", words, ((weight, f"{name}.brake_torque"),))
        for name in axle.actuators
    ]
    return found + _sum(axle.name, [channel.name for channel in found], axle.axle.load)


def _sum(owner: str, forces: Sequence[str], load: float | None) -> list[BrakeChannel]:
    """Sum of forces of an owner, and that over its load [N] where this is known."""
    terms = tuple((1.0, name) for name in forces)
    force = BrakeChannel(owner, "brake_force", "force", "braking force at the tyres", terms)
    if not load:
        return [force]
    terms = ((1.0 / load, force.name),)
    return [force, BrakeChannel(owner, "braking_ratio", "fraction", "braking force over static axle load", terms)]


def _actuators(vehicle: Vehicle, components: Mapping[str, Component]) -> list[Component]:
    return [c for c in components.values() if c.unit == vehicle.name and c.type in ACTUATORS]


def _is_whole(vehicle: Vehicle, components: Mapping[str, Component]) -> bool:
    """Whether the force of every actuator of a vehicle is known."""
    known = {axle.number for axle in vehicle.axles if axle.brake and axle.tyre_radius}
    return all(component.axle in known for component in _actuators(vehicle, components))
