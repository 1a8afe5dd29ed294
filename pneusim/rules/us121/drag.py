"""S5.8.3: the parking brakes of a trailer must not drag while its supply line has pressure."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pneusim.circuit.scenario import Step
from pneusim.quantities import express
from pneusim.results.measures.crossing import first_crossing
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.readings import SLACK
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED
from pneusim.rules.us121.kinds import trailer_start

BEGIN, FALL = 1.0, 60.0
"""When the supply line begins to fall, and how long it takes to atmospheric pressure [s]: slowly."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Supply line pressure at which the first brake begins to push, as the line falls slowly from 100 psi."""
    subject, limit = bench.subject, bench.limits["drag"]
    behind = ("vessel_behind",) if subject.vehicle.tows else ()
    head, end = subject.head("supply", "front"), BEGIN + FALL
    step = Step("set", at=BEGIN, target="trailer_rig.shop_air.pressure", to=0.0, over=FALL)
    begin = trailer_start(bench, bench.value("drag.start"))
    run = bench.run("Parking brake drag", (step,), end, begin, ("trailer_rig", *behind))
    line = named(run[f"{head.name}.outer_pressure"], "supply line at the forward coupling")
    holds = [named(run[f"{brake.name}.spring_pressure"], f"{subject.title(brake)}, hold-off pressure")
             for brake in subject.spring_brakes]  # fmt: skip
    forces = [run[f"{brake.name}.pushrod_force"] for brake in subject.spring_brakes]
    starts = [BEGIN if force(BEGIN) > SLACK else first_crossing(force, SLACK, +1, BEGIN, end) for force in forces]
    begun = [time for time in starts if time is not None]
    first = min(begun, default=end)
    value = float(np.maximum(line(first), 0.0))
    name = subject.title(subject.spring_brakes[starts.index(first)]) if begun else "all brakes"
    why = f"a brake drags when its pushrod pushes with {express(SLACK, 'force')}: our reading" if begun else (
        "no brake drags down to an empty supply line"
    )  # fmt: skip
    mark = Mark(f"no drag above {exactly(limit.value)}", level=limit.value)
    marks = (mark, *([Mark(f"{name} begins to push", first - BEGIN)] if begun else ()))
    picture = bench.show(Picture("drag", "Parking brake drag, S5.8.3", (line, *holds), BEGIN, (-1.0, FALL), marks))
    yield held_against(limit, value, f"{name}, supply line falling slowly", why, picture)


PROCEDURE = Procedure("drag", "No automatic parking brake drag", "S5.8.3", judge, TOWED, 130)
