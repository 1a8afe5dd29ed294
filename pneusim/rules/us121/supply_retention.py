"""S5.8.2: a failure in the trailer's service system must leave pressure in the supply line."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.quantities import express
from pneusim.reading import load
from pneusim.results.measures.crossing import lowest
from pneusim.rules.bench import RIGS, Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED
from pneusim.rules.us121.kinds import losses, trailer_start

FAILURE, END = 1.0, 41.0
"""When the failure happens, and when the test ends [s]."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Lowest pressure at the forward supply coupling after each service reservoir is lost, shop air flowing."""
    subject, limit = bench.subject, bench.limits["retention"]
    behind = ("vessel_behind",) if subject.vehicle.tows else ()
    head, remark = subject.head("supply", "front"), _remark()
    for lost in losses(bench):
        step = Step("fault", at=FAILURE, target=f"{lost.name}.lost", to=0.012)
        begin = trailer_start(bench, bench.value("retention.start"))
        run = bench.run("Supply line retention", (step,), END, begin, ("trailer_rig", *behind))
        line = named(run[f"{head.name}.outer_pressure"], "supply line at the forward coupling")
        tank = named(run[f"{lost.name}.pressure"], subject.title(lost))
        mark = Mark(f"at least {exactly(limit.value)}", level=limit.value)
        name = f"retention_{lost.name.rpartition('.')[2]}_lost"
        title = f"Supply line retention, {subject.title(lost)} lost, S5.8.2"
        picture = bench.show(Picture(name, title, (line, tank), FAILURE, (-1.0, END - FAILURE), (mark,)))
        value = lowest(line, FAILURE, END)
        yield held_against(limit, value, f"{subject.title(lost)} lost: supply line", remark, picture)


def _remark() -> str:
    throat = load(RIGS / "trailer_rig.yaml").components["supply_throat"].parameters["conductance"]
    return (
        "how much air the rig lets flow decides: its bores are not known to us, its throat of "
        f"{express(float(throat), 'conductance')} is an assumption"
    )


PROCEDURE = Procedure("supply_retention", "Supply line pressure retention", "S5.8.2", judge, TOWED, 120)
