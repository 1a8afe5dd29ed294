"""What happened on the road: wheels that locked, axles that lifted, units that stopped or rolled away."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pneusim.results.mechanic import Mechanic
from pneusim.results.road.beginning import beginning
from pneusim.results.road.lifting import lifts
from pneusim.results.road.locking import locks
from pneusim.results.road.moving import rest_after, rolls, stops
from pneusim.results.road.rolling import Unit, units
from pneusim.results.run import Run


def happened(run: Run, known: Mapping[str, float | None]) -> list[Mechanic]:
    """All of it, unit by unit; ``known`` are the values of the run's measures [SI]."""
    return [event for unit in units(run) for event in (*_wheels(unit), *_axles(unit), *_whole(run, unit, known))]


def _wheels(unit: Unit) -> Iterator[Mechanic]:
    for wheel in unit.wheels:
        name = wheel.site.name
        for lock in locks(unit, wheel):
            start = lock.spell.start
            yield Mechanic(start, "locks", name, abs(unit.speed(start)), "speed")
            if lock.turns is not None:
                yield Mechanic(lock.turns, "turns_again", name)


def _axles(unit: Unit) -> Iterator[Mechanic]:
    for axle in unit.axles:
        for time in lifts(axle):
            yield Mechanic(time, "lifts", axle.site.name)


def _whole(run: Run, unit: Unit, known: Mapping[str, float | None]) -> Iterator[Mechanic]:
    begins = beginning(run, unit)
    rest = None if begins is None else rest_after(unit, begins.time)
    for time in stops(unit):
        distance = known.get(f"{unit.name}.stopping_distance") if time == rest else None
        yield Mechanic(time, "stops", unit.name, distance, "distance")
    for time in rolls(unit):
        yield Mechanic(time, "rolls_away", unit.name)
