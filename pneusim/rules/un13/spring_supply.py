"""Annex 8, 2.3: a drop of pressure in the trailer's supply line must not apply the springs."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.run import Run
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import MET, MISSED, Finding, Mark, NotJudged, Picture
from pneusim.rules.regulation import Procedure
from pneusim.rules.un13.kinds import FRONT, KINDS, cut_in, in_front, ready, rigs

BREAKS, END = 0.5, 30.5
"""When the supply line is opened to the atmosphere, and when the test ends [s]."""

BEHIND = "supply_broken_behind"


def judge(bench: Bench) -> Iterator[Finding]:
    """Springs of a trailer whose supply line is lost, and of the vehicle that feeds a broken one."""
    if not (bench.subject.towed or bench.subject.vehicle.tows):
        return
    subject, run = bench.subject, _broken(bench)
    springs = {subject.title(brake): brake.name for brake in subject.spring_brakes}
    strokes = {title: float(subject.figure(subject.circuit.components[name], "free_stroke"))
               for title, name in springs.items()}  # fmt: skip
    for title, name in springs.items():
        if run[f"{name}.spring_travel"](0.0) >= strokes[title]:
            raise NotJudged(f"the springs of {title} are not held off before the supply line is lost")
    begun = {title: first_crossing(run[f"{name}.spring_travel"], strokes[title], +1, 0.0, END)
             for title, name in springs.items()}  # fmt: skip
    acting = {title: time for title, time in begun.items() if time is not None}
    end = "front" if subject.towed else "rear"
    line = named(run[f"{subject.head('supply', end).name}.outer_pressure"], "supply line at its coupling head")
    holds = [named(run[f"{name}.spring_pressure"], f"{title}, hold-off pressure") for title, name in springs.items()]
    marks = tuple(Mark(f"{title} acts", time - BREAKS) for title, time in list(acting.items())[:1])
    title = "Springs while the supply line is broken, Annex 8, 2.3"
    picture = bench.show(Picture("spring_supply", title, (line, *holds), BREAKS, (-BREAKS, END - BREAKS), marks))
    what = "no spring acts while the trailer's supply line is broken"
    lowest = min(float(hold.values.min()) for hold in holds)
    why = f"the lowest hold-off pressure is {exactly(lowest)} in {END - BREAKS:g} s"
    if subject.towed:
        why += "; that the clause holds for the trailer's own springs is our reading"
    if acting:
        first = min(acting, key=lambda name: acting[name])
        why = f"{first} acts {acting[first] - BREAKS:.2f} s after the line broke; {why}"
    yield Finding(PROCEDURE.clause, what, MISSED if acting else MET, why=why, picture=picture)


def _broken(bench: Bench) -> Run:
    """A towed vehicle loses what feeds its supply line; one that only tows has it broken behind it."""
    pressure, _ = cut_in(bench)
    if bench.subject.towed:
        step = Step("set", at=BREAKS, target=f"{FRONT}.supply.pressure", to=0.0, over=0.1)
        return bench.run("Supply line lost", (step,), END, in_front(bench, pressure, pressure), rigs(bench))
    begin = ready(bench, pressure) | {f"{BEHIND}.breach.position": 0.0}
    step = Step("set", at=BREAKS, target=f"{BEHIND}.breach.position", to=1.0)
    return bench.run("Supply line broken", (step,), END, begin, rigs(bench, behind=BEHIND))


PROCEDURE = Procedure("spring_supply", "Springs when the supply line is lost", "Annex 8, 2.3", judge, KINDS)
