"""Annex 13, 5.1: what is left in the reservoirs after a long application under anti-lock control."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from pneusim.circuit.braking import vehicle_name
from pneusim.circuit.scenario import Step
from pneusim.quantities import STANDARD_GRAVITY
from pneusim.results.measures.crossing import first_crossing
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture, held_against
from pneusim.rules.quotient import STATIC, braking_quotient
from pneusim.rules.regulation import Procedure
from pneusim.rules.road.loads import laden
from pneusim.rules.road.stops import PRESS, START, on_road
from pneusim.rules.road.surfaces import uniform
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.kinds import cut_in, pedal, ready, rigs
from pneusim.rules.un13.road import course
from pneusim.rules.un13.slipping import GENERIC, anti_lock, low_surface
from pneusim.rules.un13.storage import RIG
from pneusim.rules.un13.strokes import strokes

PHASES = 4
"""In so many phases the text lets the application be made where one stop does not last (from memory)."""

FIFTH = 5


def judge(bench: Bench) -> Iterator[Finding]:
    """15 s of full application on low adhesion in phases, then at rest four strokes and a fifth."""
    anti_lock(bench)
    start = cut_in(bench)[0]
    left, lasted, phases = _controlled(bench, start)
    caged = {f"{brake.name}.caged": 1.0 for brake in bench.subject.all("spring_brake_actuator")}
    begin = ready(bench, start) | left | caged
    test = strokes(bench, FIFTH, begin, _rigs(bench), (pedal(bench.subject), 1.0))
    deceleration = STANDARD_GRAVITY * braking_quotient(bench.subject, test.run)(test.times[-1])
    limit = bench.limits["secondary.bus" if bench.subject.vehicle.kind == "bus" else "secondary.goods"]
    tanks = {tank.name: bench.subject.title(tank) for tank in bench.subject.reservoirs}
    curves = tuple(named(test.run[f"{name}.pressure"], words) for name, words in tanks.items())
    mark = Mark("fifth", test.times[-1])
    title = "Reservoirs, strokes after 15 s of anti-lock control, Annex 13, 5.1"
    picture = bench.show(Picture("anti_lock_energy", title, curves, 0.0, (0.0, 1.3 * test.run.span[1]), (mark,)))
    told = ", ".join(f"{words} {exactly(left[f'{name}.pressure'])}" for name, words in tanks.items())
    why = f"{lasted:.1f} s in {phases} phases from {exactly(start)} left {told}; {STATIC}, springs caged; {GENERIC}"
    yield held_against(replace(limit, clause="Annex 13, 5.1.1.5", note=f"limit of {limit.clause}"), deceleration,
                       "fifth application after the anti-lock stops", why + test.remark, picture)  # fmt: skip


def _controlled(bench: Bench, start: float) -> tuple[dict[str, float], float, int]:
    """Reservoirs' pressures after the phases [Pa], how long they lasted together [s], their number."""
    speed, wanted = bench.value("anti_lock.fast"), bench.value("anti_lock.energy.time")
    load, slowest = laden(bench.subject), bench.value("lock.above")
    plan = course(bench, load, speed, "Anti-lock phase", low_surface(bench), start)
    pressures: dict[str, float] = {}
    lasted = 0.0
    for phase in range(1, PHASES + 1):
        begin: Mapping[str, float] = {**plan.begin, **pressures}
        press = Step("set", at=START, target=plan.pedal, to=1.0, over=PRESS)
        road = uniform(low_surface(bench), speed, load.loading)
        run = on_road(bench, replace(plan, begin=begin, rigs=_rigs(bench)), road, (press,), START + wanted - lasted)
        slow = first_crossing(run[f"{vehicle_name(bench.subject.name)}.speed"], slowest, -1, START, run.span[1])
        end = run.span[1] if slow is None else slow
        lasted += end - START
        pressures = {f"{t.name}.pressure": run[f"{t.name}.pressure"](end) for t in bench.subject.reservoirs}
        if lasted >= wanted - 0.01:
            return pressures, lasted, phase
    raise NotJudged(f"{PHASES} phases on low adhesion last only {lasted:.1f} s together")


def _rigs(bench: Bench) -> tuple[str, ...]:
    """Behind a vehicle that tows 0.5 L on the control line, the supply line blocked (5.1.1.6)."""
    return rigs(bench, behind=RIG)


PROCEDURE = Procedure("anti_lock_energy", "Energy after anti-lock control", "Annex 13, 5.1", judge, POWERED, 208)
