"""S5.1.5: the low-pressure warning."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.circuit import Component
from pneusim.results.run import Run
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture, held_against, not_judged
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED

FAILURE, LEAK = 0.5, 4e-3
"""When a reservoir begins to leak [s], and through which hole [m]."""

DOWN_TO, LOOK_EVERY, LONGEST = 0.5, 5.0, 900.0
"""Share of the limit to which the reservoir leaks; how often that is looked at, and how long it may take [s]."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Pressure in each service reservoir, leaking alone, at which the first switch closes."""
    if not bench.subject.all("pressure_switch"):
        raise NotJudged("the circuit has no pressure switch")
    for tank in bench.subject.service_reservoirs:
        yield _one(bench, tank)


def _one(bench: Bench, tank: Component) -> Finding:
    subject, limit = bench.subject, bench.limits["warning"]
    run = _leaking(bench, tank, DOWN_TO * limit.value)
    pressure = named(run[f"{tank.name}.pressure"], subject.title(tank))
    switches = {switch.name for switch in subject.all("pressure_switch")}
    times = [event.time for event in run.events if event.kind == "closed" and event.component in switches]
    mark = Mark(f"warning at {exactly(limit.value)} or more", level=limit.value)
    marks = (mark, *([Mark("warning", times[0] - FAILURE)] if times else ()))
    name = f"warning_{tank.name.rpartition('.')[2]}"
    title = f"Low-pressure warning, {pressure.label} leaks, S5.1.5"
    picture = bench.show(Picture(name, title, (pressure,), FAILURE, (-FAILURE, run.span[1] - FAILURE), marks))
    what = f"{pressure.label} leaks"
    if not times and pressure.values[-1] > limit.value:
        left = exactly(pressure.values[-1])
        return not_judged(limit.clause, what, f"it still has {left} after {run.span[1]:g} s, so no warning is due")
    if not times:
        why = f"no warning came down to {exactly(pressure.values[-1])}"
        return held_against(limit, None, what, why, picture)
    return held_against(limit, pressure(times[0]), what, "", picture)


def _leaking(bench: Bench, tank: Component, level: float) -> Run:
    """A service reservoir leaks until its pressure is down to a level."""
    stepper = bench.stepper(bench.ready(bench.value("actuation.start")))
    stepper.advance(FAILURE)
    stepper.fault(f"{tank.name}.lost", LEAK)
    while stepper.value(f"{tank.name}.pressure") > level and stepper.time < LONGEST:
        stepper.advance(LOOK_EVERY)
    return stepper.run()


PROCEDURE = Procedure("warning", "Low-pressure warning", "S5.1.5", judge, POWERED, 40)
