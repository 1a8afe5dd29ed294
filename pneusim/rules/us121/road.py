"""Stops as 49 CFR 571.121 asks for them: loads, pavement, which wheels may lock, pressures at the start."""

from __future__ import annotations

from itertools import pairwise

from pneusim.circuit.circuit import Axle, Vehicle
from pneusim.quantities import express
from pneusim.rules.bench import Bench
from pneusim.rules.road.loads import Load, laden, rated_mass, sensed, unladen, with_trailer
from pneusim.rules.road.locking import longest_lock
from pneusim.rules.road.stops import Course, Stop
from pneusim.rules.road.surfaces import REFERENCE, reference

BALLAST = 0.61
"""Height of the control trailer's centre of mass above the coupling [m]: as high as S6.1.10.2 allows that of its load,
24 in, from memory."""

TANDEM = 2.0
"""Axles that are no farther apart stand in a tandem [m]: our reading."""

REMARK = (
    f"truck tyres have {express(REFERENCE, 'fraction')} of the peak friction of the reference tyre: our assumption; "
    "whether it stays in its 12-ft lane is not computed"
)


def course(bench: Bench, load: Load, speed: float, title: str) -> Course:
    """A stop from a speed [m/s]; the brakes are burnished and cold, the engine is still, rear heads are shut."""
    subject = bench.subject
    heads = [head for head in subject.all("coupling_head") if subject.figure(head, "end") == "rear"]
    begin = bench.ready(bench.value("actuation.start")) | {f"{head.name}.cock": 0.0 for head in heads}
    begin |= sensed(subject, load)
    pedal = f"{subject.one('foot_valve').name}.travel"
    return Course(f"{title}, {load.words}", reference(bench.value("stop.friction")), speed, load, begin, pedal)


def loaded(bench: Bench) -> Load:
    """Laden; a tractor with the unbraked control trailer."""
    if bench.subject.vehicle.kind != "tractor":
        return laden(bench.subject)
    axle, length = bench.value("control_trailer.axle"), bench.value("control_trailer.length")
    return with_trailer(bench.subject, axle, length, BALLAST)


def unloaded(bench: Bench) -> Load:
    """Unladen; a tractor without a trailer."""
    return unladen(bench.subject)


def row(bench: Bench, *, laden: bool) -> str:
    """Column of Table II by class of vehicle and load."""
    kind = bench.subject.vehicle.kind
    if kind == "bus":
        return "bus"
    if kind == "truck":
        return "truck.loaded" if laden else "truck.unloaded"
    if not laden:
        return "tractor.unloaded"
    return "tractor.heavy" if _heavy(bench) else "tractor.loaded"


def locks_too_long(bench: Bench, stop: Stop) -> list[str]:
    """Wheels that lock longer than S5.3.1 (a) to (c) allows above 20 mph, by title.

    One wheel of an axle, or two of a tandem, may lock for any time; so may all of an axle that is neither steered nor
    one of the two rearmost.
    """
    unit, above, longest = stop.unit, bench.value("stop.lock.above"), bench.value("stop.lock.longest")
    axles = {axle.number: axle for axle in bench.subject.vehicle.axles}
    found: list[str] = []
    for group in _groups(list(axles.values())):
        wheels = [w for axle in unit.axles if axle.site.axle in group for w in axle.wheels]
        locked = [w.site.title for w in wheels if longest_lock(unit, w, above, stop.start) > longest]
        if len(locked) > len(group):
            found += locked
    return found


def _groups(axles: list[Axle]) -> list[tuple[int, ...]]:
    """The axles that count: the steered first one, and the two rearmost, together where they stand in a tandem."""
    rear = [axle.number for axle in axles[1:]][-2:]
    places = {axle.number: axle.rolling.at for axle in axles if axle.rolling}
    tandem = all(places[b] - places[a] <= TANDEM for a, b in pairwise(rear))
    return [(axles[0].number,), *([tuple(rear)] if tandem and rear else [(number,) for number in rear])]


def _heavy(bench: Bench) -> bool:
    """Whether a tractor is above the ratings of the ordinary row."""
    vehicle: Vehicle = bench.subject.vehicle
    axles = len(vehicle.axles)
    if axles < 3:
        return False
    return rated_mass(vehicle) > bench.value("stop.heavy.3" if axles == 3 else "stop.heavy.4")
