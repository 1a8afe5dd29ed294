"""393.52: braking force, deceleration and stopping distance from 20 mph, by the service brakes and after a failure."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pneusim.quantities import STANDARD_GRAVITY
from pneusim.rules.bench import Bench, exactly
from pneusim.rules.finding import Finding, NotJudged, held_against, not_judged
from pneusim.rules.regulation import Procedure
from pneusim.rules.road.failures import BEFORE, failed_stops, lost_reservoirs, worst
from pneusim.rules.road.loads import Load, laden, rated_mass, sensed, unladen
from pneusim.rules.road.stops import Course, Stop, picture, stop
from pneusim.rules.road.surfaces import dry
from pneusim.rules.subject import POWERED, Subject
from pneusim.rules.us393.service import driven, full_pressure, pedal, ready

LIGHT = "vehicles of a rated mass of 10 000 lb or less have other figures, which this table does not hold"


def judge(bench: Bench) -> Iterator[Finding]:
    """Laden and unladen, full application on the shipped dry asphalt; then each of the driver's reservoirs is lost."""
    if rated_mass(driven(bench.subject)) <= bench.value("performance.light"):
        raise NotJudged(LIGHT)
    row = _row(bench.subject)
    for loaded_as in (laden, unladen):
        try:
            load = loaded_as(bench.subject)
        except NotJudged as reason:
            yield not_judged("393.52(d)", f"from 20 mph, {loaded_as.__name__}", str(reason))
            continue
        yield from _service(bench, row, load)
        yield from _emergency(bench, row, load)


def _service(bench: Bench, row: str, load: Load) -> Iterator[Finding]:
    limit = bench.limits[f"performance.{row}.distance"]
    made = stop(bench, _course(bench, load, "Stop from 20 mph"))
    title = f"Stop from 20 mph, {load.words}, 393.52"
    shown = picture(bench, f"performance_{load.words}", title, {load.words: made}, limit)
    what, why = f"from 20 mph, {load.words}", f"{made.remark}; {_from(bench)}; on dry asphalt"
    yield held_against(bench.limits["performance.force"], _highest_share(made), what, f"on the road; {why}", shown)
    yield held_against(bench.limits["performance.deceleration"], made.deceleration, what,
                       f"mean fully developed deceleration: our reading; {why}", shown)  # fmt: skip
    yield held_against(limit, made.distance, what, why, shown)


def _emergency(bench: Bench, row: str, load: Load) -> Iterator[Finding]:
    limit, unit = bench.limits[f"performance.{row}.emergency"], driven(bench.subject).name
    failures = [f for f in lost_reservoirs(bench.subject)
                if bench.subject.circuit.components[f.steps[0].target.rpartition(".")[0]].unit == unit]  # fmt: skip
    stops = failed_stops(bench, _course(bench, load, "Emergency stop from 20 mph"), failures)
    first = worst(stops)
    title = f"Stop from 20 mph with a reservoir lost, {load.words}, 393.52"
    shown = picture(bench, f"performance_emergency_{load.words}", title, {first: stops[first]}, limit)
    why = f"what is left of the service brakes is the emergency brake: our reading; {BEFORE}; {stops[first].remark}"
    yield held_against(limit, stops[first].distance, f"from 20 mph, {load.words}, {first}", why, shown)


def _course(bench: Bench, load: Load, title: str) -> Course:
    begin = ready(bench, full_pressure(bench.subject)[0]) | sensed(bench.subject, load)
    speed = bench.value("performance.speed")
    return Course(f"{title}, {load.words}", dry(), speed, load, begin, pedal(bench.subject))


def _row(subject: Subject) -> str:
    """Passenger vehicles and single-unit trucks, or tractors and combinations."""
    alone = len(subject.combination) == 1 and subject.vehicle.kind != "tractor"
    return "single" if alone else "combination"


def _from(bench: Bench) -> str:
    pressure, source = full_pressure(bench.subject)
    return f"reservoirs start at {exactly(pressure)}, {source}"


def _highest_share(made: Stop) -> float:
    """Largest force of the road on all axles over the weight of all units [-]."""
    force = np.sum([axle.force.values for unit in made.units for axle in unit.axles], axis=0)
    chain = made.run.circuit.vehicles
    loading = made.run.scenario.road.loading if made.run.scenario.road else {}
    masses = [unit.motion.loading(loading.get(unit.name, "laden")).mass for unit in chain if unit.motion]
    return float(force.max()) / (STANDARD_GRAVITY * sum(masses))


PROCEDURE = Procedure("performance", "Brake performance from 20 mph", "393.52", judge, POWERED, 28)
