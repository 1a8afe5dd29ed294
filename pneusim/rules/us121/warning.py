"""S5.1.5: the low-pressure warning."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.circuit import Component
from pneusim.circuit.scenario import Step
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED

FAILURE, LEAK, LASTS = 0.5, 4e-3, 30.0
"""When a reservoir begins to leak [s], through which hole [m], and how long the test lasts [s]."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Pressure in each service reservoir, leaking alone, at which the first switch closes."""
    if not bench.subject.all("pressure_switch"):
        raise NotJudged("the circuit has no pressure switch")
    for tank in bench.subject.service_reservoirs:
        yield _one(bench, tank)


def _one(bench: Bench, tank: Component) -> Finding:
    subject, limit = bench.subject, bench.limits["warning"]
    step = Step("fault", at=FAILURE, target=f"{tank.name}.lost", to=LEAK)
    run = bench.run("Low-pressure warning", (step,), LASTS, bench.ready(bench.value("actuation.start")))
    pressure = named(run[f"{tank.name}.pressure"], subject.title(tank))
    switches = {switch.name for switch in subject.all("pressure_switch")}
    times = [event.time for event in run.events if event.kind == "closed" and event.component in switches]
    mark = Mark(f"warning at {exactly(limit.value)} or more", level=limit.value)
    marks = (mark, *([Mark("warning", times[0] - FAILURE)] if times else ()))
    name = f"warning_{tank.name.rpartition('.')[2]}"
    title = f"Low-pressure warning, {pressure.label} leaks, S5.1.5"
    picture = bench.show(Picture(name, title, (pressure,), FAILURE, (-FAILURE, LASTS - FAILURE), marks))
    what = f"{pressure.label} leaks"
    if not times:
        why = f"no warning came down to {exactly(pressure.values[-1])}"
        return held_against(limit, None, what, why, picture)
    return held_against(limit, pressure(times[0]), what, "", picture)


PROCEDURE = Procedure("warning", "Low-pressure warning", "S5.1.5", judge, POWERED)
