"""5.2.1.18.4.2: a trailer brakes by itself before its supply line has fallen to 200 kPa."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.results.run import Run
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.readings import ACTS
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED
from pneusim.rules.un13.kinds import FRONT, begins, in_front, rigs

BEGIN, STAYS = 1.0, 8.0
"""When the supply line begins to fall, and how long the test goes on once it is empty [s]."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Supply line pressure at its coupling head as the first brake begins to push."""
    subject, limit = bench.subject, bench.limits["supply_lost.level"]
    run = emptied(bench)
    line = named(run[f"{subject.head('supply', 'front').name}.outer_pressure"], "supply line at its coupling head")
    end = float(line.times[-1])
    starts = {name: time for name, time in begins(subject, run, BEGIN).items() if time is not None}
    first = min(starts, key=lambda name: starts[name], default=None)
    marks = [Mark(f"braking by {exactly(limit.value)}", level=limit.value)]
    marks += [Mark(f"{subject.called(first)} begins to brake", starts[first] - BEGIN)] if first else []
    curves = (line, *(named(run[f"{brake.name}.service_pressure"], subject.title(brake)) for brake in subject.brakes))
    title = "Supply line emptied, 5.2.1.18.4.2"
    picture = bench.show(Picture("supply_line", title, curves, BEGIN, (-BEGIN, end - BEGIN), tuple(marks)))
    if first is None:
        yield held_against(limit, None, "the trailer does not brake by itself", ACTS, picture)
        return
    what = f"{subject.called(first)}, the first to brake by itself"
    yield held_against(limit, line(starts[first]), what, ACTS, picture)


def emptied(bench: Bench) -> Run:
    """The supply line of a trailer is emptied at the rate of the text and stays empty."""
    start, rate = bench.value("supply_lost.start"), bench.value("supply_lost.rate")
    step = Step("set", at=BEGIN, target=f"{FRONT}.supply.pressure", to=0.0, over=start / rate)
    lasts = BEGIN + start / rate + STAYS
    return bench.run("Supply line emptied", (step,), lasts, in_front(bench, start, start), rigs(bench))


PROCEDURE = Procedure("supply_line", "Supply line lost", "5.2.1.18.4.2", judge, TOWED, 130)
