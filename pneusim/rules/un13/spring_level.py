"""Annex 8, 2.5: the pressure at which springs begin to act."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pneusim.circuit.circuit import Circuit, Component, Joint, Port
from pneusim.circuit.scenario import Step
from pneusim.quantities import express
from pneusim.results.measures.crossing import first_crossing
from pneusim.rules.bench import Bench, exactly
from pneusim.rules.finding import Finding, held_against
from pneusim.rules.limits import Limit
from pneusim.rules.readings import SLACK
from pneusim.rules.regulation import Procedure
from pneusim.rules.un13.kinds import KINDS, cut_in, in_front, rigs
from pneusim.rules.un13.strokes import by_control_line

FROM, BEGIN, FALL = 1000e3, 1.0, 100.0
"""Hold-off pressure at the start [Pa]; when it begins to fall and for how long it does [s]: slowly."""

FOUR, WIDE = 4, 5e-8
"""Full strokes before a trailer's reservoirs are read, and the conductance to the actuator by itself [m3/(s Pa)]."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Each kind of spring brake by itself, with the free stroke of the file."""
    levels = acting_levels(bench)
    limit, remark = _limit(bench)
    for level, name in _distinct(levels).items():
        what = f"{bench.subject.called(name)}, the springs begin to act at {exactly(level)}"
        value = level / cut_in(bench)[0] if bench.subject.powered else level
        yield held_against(limit, value, what, remark)


def _limit(bench: Bench) -> tuple[Limit, str]:
    """The limit and how it came about."""
    reading = f"it acts when the pushrod pushes with {express(SLACK, 'force')}: our reading; free stroke of the file"
    if bench.subject.powered:
        pressure, source = cut_in(bench)
        return bench.limits["spring.level.share"], f"share of {exactly(pressure)}, {source}; {reading}"
    start = bench.value("spring.level.start")
    test = by_control_line(bench, FOUR, in_front(bench, start, start), rigs(bench))
    left = {tank.name: test.run[f"{tank.name}.pressure"](test.rests[-1]) for tank in bench.subject.service_reservoirs}
    lowest = min(left, key=lambda name: left[name])
    remark = f"four full strokes from {exactly(start)} leave {exactly(left[lowest])}{test.remark}"
    return replace(bench.limits["spring.level.left"], value=left[lowest], note=remark), f"{remark}; {reading}"


def acting_levels(bench: Bench) -> dict[str, float]:
    """Hold-off pressure [Pa] at which the springs of each actuator begin to act, by its name."""
    kinds: dict[str, float] = {}
    found = {}
    for brake in bench.subject.spring_brakes:
        kind = repr(sorted(brake.parameters.items()))
        if kind not in kinds:
            kinds[kind] = _acts(bench, brake)
        found[brake.name] = kinds[kind]
    return found


def _distinct(levels: dict[str, float]) -> dict[float, str]:
    """The first actuator of each level, by that."""
    return {level: name for name, level in reversed(levels.items())}


def _acts(bench: Bench, brake: Component) -> float:
    """The hold-off pressure of one actuator by itself, falling slowly, as its pushrod begins to push [Pa]."""
    hold, air = Component("hold", "supply", {"pressure": FROM}), Component("open_air", "atmosphere")
    pipe = Component("pipe", "restriction", {"conductance": WIDE})
    pairs = (("hold.1", "pipe.1"), ("pipe.2", f"{brake.name}.12"), ("open_air.1", f"{brake.name}.11"))
    joints = tuple(Joint(tuple(Port(*end.rsplit(".", 1)) for end in pair)) for pair in pairs)
    components = {part.name: part for part in (hold, pipe, air, brake)}
    ambient = bench.subject.circuit.ambient
    circuit = Circuit("A spring-brake actuator by itself", components, {}, joints, ambient=ambient)
    alone = Bench(replace(bench.subject, circuit=circuit), bench.limits)
    step = Step("set", at=BEGIN, target="hold.pressure", to=0.0, over=FALL)
    run = alone.run("Springs alone", (step,), BEGIN + FALL)
    time = first_crossing(run[f"{brake.name}.pushrod_force"], SLACK, +1, 0.0, BEGIN + FALL)
    return 0.0 if time is None else run[f"{brake.name}.spring_pressure"](time)


PROCEDURE = Procedure("spring_level", "Pressure at which springs act", "Annex 8, 2.5", judge, KINDS, 100)
