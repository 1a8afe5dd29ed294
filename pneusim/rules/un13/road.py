"""Stops as UN R13 asks for them: classes of vehicle by mass, speeds, locked wheels, the vehicle's anti-lock control."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from pneusim.circuit.road import Surface
from pneusim.rules.bench import Bench, exactly
from pneusim.rules.finding import Finding, NotJudged, held_against, not_judged
from pneusim.rules.road.loads import Load, laden, rated_mass, sensed, unladen
from pneusim.rules.road.locking import locked_wheels
from pneusim.rules.road.stops import Course, Stop
from pneusim.rules.road.surfaces import dry
from pneusim.rules.un13.kinds import cut_in, pedal, ready, rigs

BRIEF = 0.2
"""Longest lock above 15 km/h that counts as brief [s]: our reading, the text has no figure."""

HELD = "the pedal is held still, its force is not computed; engine disconnected"


def class_of(bench: Bench) -> str:
    """``m``, ``n2`` or ``n3``: buses, goods vehicles up to 12 t, and heavier ones."""
    vehicle = bench.subject.vehicle
    if vehicle.kind == "bus":
        return "m"
    mass = rated_mass(vehicle)
    if mass <= bench.value("class.n2"):
        raise NotJudged("goods vehicles of a largest mass of 3.5 t or less have other figures")
    return "n3" if mass > bench.value("class.n3") else "n2"


def both_loads(bench: Bench, clause: str, what: str) -> Iterator[Load | Finding]:
    """The vehicle laden, then unladen; a finding in place of what the file does not describe."""
    for loaded_as in (laden, unladen):
        try:
            yield loaded_as(bench.subject)
        except NotJudged as reason:
            yield not_judged(clause, f"{what}, {loaded_as.__name__}", str(reason))


def course(
    bench: Bench, load: Load, speed: float, title: str, surface: Surface | None = None, pressure: float | None = None
) -> Course:
    """A stop from a speed [m/s], reservoirs at cut-in [Pa gauge] where nothing else is said."""
    start = cut_in(bench)[0] if pressure is None else pressure
    begin = ready(bench, start) | sensed(bench.subject, load)
    named = f"{title}, {load.words}"
    return Course(named, surface or dry(), speed, load, begin, pedal(bench.subject), rigs(bench))


def locks(stop: Stop, bench: Bench) -> dict[str, float]:
    """Wheels that lock above 15 km/h for longer than briefly, with the time [s]."""
    return locked_wheels(stop.unit, bench.value("lock.above"), BRIEF, stop.start)


def without_lock(bench: Bench) -> Callable[[Stop], bool]:
    """Whether no wheel locks above 15 km/h for longer than briefly."""
    return lambda made: not locks(made, bench)


def held(bench: Bench, made: Stop, row: str, what: str, remark: str, shown: str) -> Iterator[Finding]:
    """A stop against the longest way and the least mean deceleration of a row."""
    why = f"{made.remark}; {remark}; reservoirs start at {exactly(cut_in(bench)[0])}"
    yield held_against(bench.limits[f"{row}.distance"], made.distance, what, why, shown)
    yield held_against(bench.limits[f"{row}.deceleration"], made.deceleration, what, why, shown)


