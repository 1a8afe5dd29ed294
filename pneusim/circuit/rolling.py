"""Channels that a run on a road offers: of units, of axles, and of their two ends, the wheels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pneusim.circuit.braking import axle_name, vehicle_name
from pneusim.circuit.circuit import Vehicle

SIDES = ("left", "right")
"""The ends of an axle."""

_UNIT = (
    ("speed", "speed", "speed"),
    ("distance", "distance", "way since the start"),
    ("acceleration", "acceleration", "acceleration, negative while braking"),
    ("front_load", "force", "load on the front support"),
    ("rear_load", "force", "load on the rear support"),
    ("brake_heat", "energy", "what the brakes have turned into heat"),
    ("tyre_heat", "energy", "what sliding tyres have turned into heat"),
    ("drag_heat", "energy", "what air drag and skidding have turned into heat"),
)
_TOWED = (
    ("hitch_force", "force", "pull at the front hitch, negative while pushing"),
    ("hitched", "fraction", "whether the unit is hitched"),
)
_AXLE = (
    ("load", "force", "load"),
    ("road_force", "force", "force of the road, braking positive"),
    ("adhesion_used", "fraction", "force of the road over load"),
)
_WHEEL = (
    ("speed", "speed", "speed of the tread"),
    ("slip", "fraction", "slip: 0 rolling, 1 locked"),
    ("road_force", "force", "force of the road, braking positive"),
    ("torque", "torque", "torque of the brake as it acts, at most what the pushrod gives"),
    ("load", "force", "load"),
    ("friction", "fraction", "force of the road over load"),
)

_WARM = (("temperature", "temperature", "temperature of the brake"),)


@dataclass(frozen=True)
class RoadChannel:
    """A channel ``<owner>.<quantity>`` of a run on a road."""

    owner: str
    quantity: str
    dimension: str
    words: str

    @property
    def name(self) -> str:
        """Full name of the channel."""
        return f"{self.owner}.{self.quantity}"


def wheel_name(unit: str, number: int, side: str) -> str:
    """Owner of the channels of one end of an axle.

    Examples
    --------
    >>> wheel_name("trailer", 2, "left"), wheel_name("", 1, "right")
    ('trailer.axle_2_left', 'axle_1_right')
    """
    return f"{axle_name(unit, number)}_{side}"


def road_channels(vehicles: Sequence[Vehicle]) -> list[RoadChannel]:
    """All channels that a run on a road adds, of a chain of units from the front.

    Examples
    --------
    >>> from pneusim.circuit.circuit import Axle
    >>> [channel.name for channel in road_channels([Vehicle(axles=(Axle(1),))])][:2]
    ['vehicle.speed', 'vehicle.distance']
    """
    found: list[RoadChannel] = []
    for place, vehicle in enumerate(vehicles):
        found += _of(vehicle_name(vehicle.name), (*_UNIT, *(_TOWED if place else ())))
        for axle in vehicle.axles:
            found += _of(axle_name(vehicle.name, axle.number), _AXLE)
            warms = axle.brake.get("thermal_mass") is not None
            for side in SIDES:
                found += _of(wheel_name(vehicle.name, axle.number, side), (*_WHEEL, *(_WARM if warms else ())))
    return found


def _of(owner: str, quantities: Sequence[tuple[str, str, str]]) -> list[RoadChannel]:
    return [RoadChannel(owner, *quantity) for quantity in quantities]
