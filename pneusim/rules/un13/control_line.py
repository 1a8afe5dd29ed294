"""5.2.1.18.4.1: a towing vehicle's control line is broken while the service brake is fully applied."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.quantities import express
from pneusim.results.run import Channel, Run
from pneusim.rules.bench import Bench, exactly, named, never, time_to
from pneusim.rules.finding import MET, MISSED, Finding, Mark, NotAddressed, Picture, held_against, not_judged
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.kinds import cut_in, pedal, ready, rigs, stores

START, RELEASE, END = 0.5, 5.5, 15.5
"""When the pedal begins to move, when it is let go, and when the test ends [s]."""

RIG = "broken_control_line"
RECHARGED = 0.9
"""Share of the pressure of the lowest reservoir that the supply line must regain to count as recharged: our reading."""


def judge(bench: Bench) -> Iterator[Finding]:
    """The supply line falls to 150 kPa in time, and is fed again on release."""
    subject = bench.subject
    if not subject.vehicle.tows:
        raise NotAddressed("it is for vehicles that tow")
    limit, level, ramp = (bench.limits["control_broken.time"], bench.value("control_broken.level"),
                          bench.value("control_broken.actuation"))  # fmt: skip
    pressure, source = cut_in(bench)
    foot = pedal(subject)
    steps = tuple(Step("set", at=at, target=foot, to=to, over=ramp) for at, to in ((START, 1.0), (RELEASE, 0.0)))
    run = bench.run("Control line broken", steps, END, ready(bench, pressure), rigs(bench, behind=RIG))
    line = named(run[f"{subject.head('supply', 'rear').name}.outer_pressure"], "supply line at its coupling head")
    end = named(run[f"{RIG}.gauge.pressure"], "end of the pipe on the supply line")
    zero = START + ramp
    mark = Mark(f"{exactly(level)} within {express(limit.value, 'time')}", limit.value, level)
    title = "Supply line, control line broken, 5.2.1.18.4.1"
    picture = bench.show(Picture("control_line", title, (line, end), zero, (-zero, END - zero), (mark,)))
    time = time_to(line, level, -1, zero)
    time = None if time is None or zero + time > RELEASE else time
    why = f"timed from the full application: our reading; reservoirs start at {exactly(pressure)}, {source}"
    if time is None:
        why = f"it stood at {exactly(line(RELEASE))} when the pedal was let go; {why}"
    yield held_against(limit, time, f"{line.label}, to {exactly(level)}", why, picture)
    if time is None:
        what = "the supply line is recharged on release"
        yield not_judged(limit.clause, what, "it was not lost before, so there is nothing to recharge")
    else:
        yield _recharge(bench, run, line)


def _recharge(bench: Bench, run: Run, line: Channel) -> Finding:
    """Whether the supply line regains the pressure of the reservoirs that are left."""
    lowest = min(float(run[f"{tank.name}.pressure"].values[-1]) for tank in stores(bench.subject))
    level = RECHARGED * lowest
    again = time_to(line, level, +1, RELEASE)
    why = never(line, exactly(level), RELEASE) if again is None else f"{again:.2f} s after the pedal was let go"
    share = express(RECHARGED, "fraction")
    reading = f"recharged is {share} of the lowest reservoir then: our reading, the text has no figure"
    clause = bench.limits["control_broken.time"].clause
    what, verdict = "the supply line is recharged on release", MISSED if again is None else MET
    return Finding(clause, what, verdict, why=f"{why}; {reading}")


PROCEDURE = Procedure("control_line", "Control line broken", "5.2.1.18.4.1", judge, POWERED, 120)
