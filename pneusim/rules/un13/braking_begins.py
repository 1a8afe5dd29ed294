"""Annex 10, 3.1.1: the control line pressure at which a trailer, and a vehicle that tows, begin to brake."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.results.run import Channel, Run
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, NotAddressed, Picture, held_against
from pneusim.rules.readings import ACTS
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED, TOWED
from pneusim.rules.un13.kinds import FRONT, begins, cut_in, in_front, pedal, ready, rigs

BEGIN, RISE, TO = 1.0, 60.0, 300e3
"""When the control line begins to rise, for how long it does [s], and to what [Pa]: slowly."""


def judge(bench: Bench) -> Iterator[Finding]:
    """The first brake at 20 kPa or more, the last at 100 kPa or less."""
    subject = bench.subject
    low, high = bench.limits["begins.low"], bench.limits["begins.high"]
    pressure = bench.value("service.supply")
    step = Step("set", at=BEGIN, target=f"{FRONT}.control.pressure", to=TO, over=RISE)
    begin = in_front(bench, pressure, pressure)
    run = bench.run("Control line rises", (step,), BEGIN + RISE, begin, rigs(bench))
    line = named(run[f"{subject.head('control', 'front').name}.outer_pressure"], "control line at its coupling head")
    times = begins(subject, run, BEGIN)
    levels = {name: None if time is None else line(time) for name, time in times.items()}
    curves = _curves(bench, run, line)
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


def _curves(bench: Bench, run: Run, line: Channel) -> tuple[Channel, ...]:
    """The control line and all service pressures."""
    brakes = bench.subject.brakes
    return line, *(named(run[f"{b.name}.service_pressure"], bench.subject.title(b)) for b in brakes)


def towing(bench: Bench) -> Iterator[Finding]:
    """The first brake of a vehicle that tows, its pedal pressed slowly, by the pressure at its control head."""
    subject = bench.subject
    if not subject.vehicle.tows:
        raise NotAddressed("it is for vehicles that tow")
    low, high = bench.limits["begins.low"], bench.limits["begins.high"]
    step = Step("set", at=BEGIN, target=pedal(subject), to=1.0, over=RISE)
    run = bench.run("Pedal pressed slowly", (step,), BEGIN + RISE, ready(bench, cut_in(bench)[0]), rigs(bench))
    line = named(run[f"{subject.head('control', 'rear').name}.pressure"], "control line at its coupling head")
    times = {name: time for name, time in begins(subject, run, BEGIN).items() if time is not None}
    curves = _curves(bench, run, line)
    marks = tuple(Mark(limit.told(), level=limit.value) for limit in (low, high))
    title, shown = "Pedal pressed slowly, Annex 10, 3.1.1", (-BEGIN, RISE)
    picture = bench.show(Picture("braking_begins_towing", title, curves, BEGIN, shown, marks))
    first = min(times, key=lambda name: times[name], default="")
    what = f"{subject.called(first)}, the first to brake" if first else "no brake acts"
    for limit in (low, high):
        yield held_against(limit, line(times[first]) if first else None, what, ACTS, picture)


CLAUSE = "Annex 10, 3.1.1"
PROCEDURES = (
    Procedure("braking_begins", "Control line pressure that begins to brake", CLAUSE, judge, TOWED, 150),
    Procedure("braking_begins_towing", "Control line pressure that begins to brake, towing vehicles", CLAUSE, towing,
              POWERED, 152),
)  # fmt: skip
