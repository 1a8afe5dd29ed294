"""Annex 8, 2.6: the warning comes before parts of the spring brakes begin to move."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from pneusim.circuit.scenario import Step
from pneusim.results.measures.crossing import first_crossing
from pneusim.rules.bench import Bench, named
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.kinds import cut_in, ready, rigs

FAILS, END = 0.5, 300.5
"""When the line of the springs begins to leak, and when the test ends [s]."""

HOLE, PER = 1.5e-3, 60e-3
"""Diameter of the leak [m] for so much of reservoirs [m3]: the reservoirs that feed the springs can follow it."""

MOVED = 0.5e-3
"""Travel of a spring piston that counts as moving [m]: our reading."""


def judge(bench: Bench) -> Iterator[Finding]:
    """The line of the springs leaks: hold-off pressure at the warning against that at the first movement."""
    subject, limit = bench.subject, bench.limits["spring.warning"]
    springs = subject.spring_brakes
    switches = {switch.name for switch in subject.all("pressure_switch")}
    if not switches:
        raise NotJudged("the circuit has no pressure switch")
    volume = sum(float(subject.figure(tank, "volume")) for tank in subject.reservoirs)
    leak = Step("leak", at=FAILS, target=f"{springs[0].name}.12", to=HOLE * math.sqrt(volume / PER))
    run = bench.run("Leak in the springs' line", (leak,), END, ready(bench, cut_in(bench)[0]), rigs(bench))
    holds = {brake.name: named(run[f"{brake.name}.spring_pressure"], subject.title(brake)) for brake in springs}
    moves = {name: first_crossing(run[f"{name}.spring_travel"], MOVED, +1, 0.0, END) for name in holds}
    moved = {name: time for name, time in moves.items() if time is not None}
    if not moved:
        raise NotJudged("no spring moves although the line of the springs leaks")
    first = min(moved, key=lambda name: moved[name])
    moving = holds[first](moved[first])
    closed = [event.time for event in run.events if event.kind == "closed" and event.component in switches]
    marks = [Mark(f"{holds[first].label} moves", moved[first] - FAILS, moving)]
    marks += [Mark("warning", closed[0] - FAILS)] if closed else []
    title, latest = "Hold-off pressures, their line leaks, Annex 8, 2.6", max([moved[first], *closed[:1]]) - FAILS
    picture = Picture("spring_warning", title, tuple(holds.values()), FAILS, (-FAILS, 1.5 * latest), tuple(marks))
    what = f"{holds[first].label}, hold-off pressure at the warning, and where it begins to move"
    value = holds[first](closed[0]) if closed else None
    why = "" if closed else "no warning came"
    yield held_against(replace(limit, value=moving), value, what, why, bench.show(picture))


PROCEDURE = Procedure("spring_warning", "Warning before springs move", "Annex 8, 2.6", judge, POWERED, 110)
