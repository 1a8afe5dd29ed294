"""Annex 10, 3.1.1: the control line pressure at which a trailer begins to brake."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.readings import ACTS
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED
from pneusim.rules.un13.kinds import FRONT, begins, in_front, rigs

BEGIN, RISE, TO = 1.0, 60.0, 300e3
"""When the control line begins to rise, for how long it does [s], and to what [Pa]: slowly."""


def judge(bench: Bench) -> Iterator[Finding]:
    """The first brake at 20 kPa or more, the last at 100 kPa or less."""
    subject = bench.subject
    low, high = bench.limits["begins.low"], bench.limits["begins.high"]
    pressure = bench.value("service.supply")
    step = Step("set", at=BEGIN, target=f"{FRONT}.control.pressure", to=TO, over=RISE)
    run = bench.run("Control line rises", (step,), BEGIN + RISE, in_front(bench, pressure, pressure), rigs(bench))
    line = named(run[f"{subject.head('control', 'front').name}.outer_pressure"], "control line at its coupling head")
    times = begins(subject, run, BEGIN)
    levels = {name: None if time is None else line(time) for name, time in times.items()}
    curves = (line, *(named(run[f"{brake.name}.service_pressure"], subject.title(brake)) for brake in subject.brakes))
    marks = [Mark(limit.told(), level=limit.value) for limit in (low, high)]
    title, shown = "Control line rises slowly, Annex 10, 3.1.1", (-BEGIN, RISE)
    picture = bench.show(Picture("braking_begins", title, curves, BEGIN, shown, tuple(marks)))
    known = {name: level for name, level in levels.items() if level is not None}
    never = [name for name in levels if name not in known]
    first = min(known, key=lambda name: known[name], default=never[0] if never else "")
    last = never[0] if never else max(known, key=lambda name: known[name])
    yield held_against(low, known.get(first), f"{subject.called(first)}, the first to brake", ACTS, picture)
    remark = ACTS if last in known else f"it does not brake up to {exactly(TO)}; {ACTS}"
    yield held_against(high, known.get(last), f"{subject.called(last)}, the last to brake", remark, picture)


PROCEDURE = Procedure("braking_begins", "Control line pressure that begins to brake", "Annex 10, 3.1.1", judge, TOWED,
                      150)  # fmt: skip
