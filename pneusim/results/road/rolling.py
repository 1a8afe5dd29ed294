"""What rolls in a run on a road, with its channels: units from the front, their axles, the wheels at their ends."""

from __future__ import annotations

from dataclasses import dataclass

from pneusim.circuit.braking import axle_name, vehicle_name
from pneusim.circuit.circuit import Vehicle
from pneusim.circuit.rolling import SIDES, wheel_name
from pneusim.results.run import Channel, Run

FAST = 15.0 / 3.6
"""Speed below which a locked wheel is no fault [m/s]; UN R13 Annex 13 (from memory, to be read against the text)."""

REST = 0.05
"""Speed up to which a vehicle counts as standing [m/s]."""


@dataclass(frozen=True)
class Site:
    """Where something that rolls is on the vehicle; ``axle`` and ``side`` are None for what is larger."""

    name: str
    unit: str
    axle: int | None = None
    side: str | None = None

    @property
    def title(self) -> str:
        """What people call it."""
        return self.name.replace(".", " ").replace("_", " ")


@dataclass(frozen=True)
class Wheel:
    """A wheel: speed of its tread, and slip."""

    site: Site
    speed: Channel
    slip: Channel


@dataclass(frozen=True)
class RollingAxle:
    """An axle: load, force of the road on both its ends, braking positive, and that over the load."""

    site: Site
    load: Channel
    force: Channel
    used: Channel
    wheels: tuple[Wheel, ...]


@dataclass(frozen=True)
class Unit:
    """A unit: speed, way since the start, axles; how it is hitched to the unit before it, None for the first."""

    site: Site
    speed: Channel
    distance: Channel
    axles: tuple[RollingAxle, ...]
    hitched: Channel | None = None
    pull: Channel | None = None

    @property
    def name(self) -> str:
        """Owner of its channels and measures."""
        return self.site.name

    @property
    def wheels(self) -> tuple[Wheel, ...]:
        """Its wheels, from the front."""
        return tuple(wheel for axle in self.axles for wheel in axle.wheels)


def units(run: Run) -> tuple[Unit, ...]:
    """The units of a run on a road, from the front; none without a road."""
    if run.scenario.road is None:
        return ()
    return tuple(_unit(run, place, vehicle) for place, vehicle in enumerate(run.circuit.vehicles))


def sites(run: Run) -> dict[str, Site]:
    """What rolls in a run, by name: units, axles, wheels, each from the front."""
    found = units(run)
    axles = [axle for unit in found for axle in unit.axles]
    wheels = [wheel for axle in axles for wheel in axle.wheels]
    all_sites = [*(u.site for u in found), *(a.site for a in axles), *(w.site for w in wheels)]
    return {site.name: site for site in all_sites}


def _unit(run: Run, place: int, vehicle: Vehicle) -> Unit:
    site = Site(vehicle_name(vehicle.name), vehicle.name)
    return Unit(
        site,
        run[f"{site.name}.speed"],
        run[f"{site.name}.distance"],
        tuple(_axle(run, vehicle.name, axle.number) for axle in vehicle.axles),
        run[f"{site.name}.hitched"] if place else None,
        run[f"{site.name}.hitch_force"] if place else None,
    )


def _axle(run: Run, unit: str, number: int) -> RollingAxle:
    site = Site(axle_name(unit, number), unit, number)
    load, force, used = (run[f"{site.name}.{quantity}"] for quantity in ("load", "road_force", "adhesion_used"))
    wheels = [Site(wheel_name(unit, number, side), unit, number, side) for side in SIDES]
    return RollingAxle(
        site, load, force, used, tuple(Wheel(w, run[f"{w.name}.speed"], run[f"{w.name}.slip"]) for w in wheels)
    )
