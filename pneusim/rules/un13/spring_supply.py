"""Annex 8, 2.3: a drop of pressure in the trailer's supply line must not apply the springs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pneusim.circuit.scenario import Step
from pneusim.results.run import Run
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, NotAddressed, NotJudged, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.un13.kinds import FRONT, KINDS, cut_in, in_front, ready, rigs
from pneusim.rules.un13.spring_level import acting_levels

BREAKS, END = 0.5, 30.5
"""When the supply line is opened to the atmosphere, and when the test ends [s]."""

BEHIND = "supply_broken_behind"


def judge(bench: Bench) -> Iterator[Finding]:
    """Springs of a trailer whose supply line is lost, and of the vehicle that feeds a broken one."""
    subject = bench.subject
    if not (subject.towed or subject.vehicle.tows):
        raise NotAddressed("it is for vehicles that tow or are towed")
    levels, run = acting_levels(bench), _broken(bench)
    holds = {name: named(run[f"{name}.spring_pressure"], subject.called(name))
             for name in levels}  # fmt: skip
    loose = [name for name, level in levels.items() if holds[name](0.0) <= level]
    if loose:
        raise NotJudged(f"the springs of {holds[loose[0]].label} are not held off before the supply line is lost")
    lowest = {name: float(hold.values.min()) for name, hold in holds.items()}
    worst = min(levels, key=lambda name: lowest[name] - levels[name])
    limit = replace(bench.limits["spring.supply"], value=levels[worst])
    head = subject.head("supply", "front" if subject.towed else "rear")
    line = named(run[f"{head.name}.outer_pressure"], "supply line at its coupling head")
    mark = Mark(f"springs act at {exactly(levels[worst])}", level=levels[worst])
    title, span = "Hold-off pressures, supply line lost, Annex 8, 2.3", (-BREAKS, END - BREAKS)
    picture = bench.show(Picture("spring_supply", title, (line, *holds.values()), BREAKS, span, (mark,)))
    why = "that the clause holds for the trailer's own springs is our reading" if subject.towed else ""
    yield held_against(limit, lowest[worst], f"{holds[worst].label}, lowest hold-off pressure", why, picture)


def _broken(bench: Bench) -> Run:
    """A towed vehicle loses what feeds its supply line; one that only tows has it broken behind it."""
    pressure, _ = cut_in(bench)
    if bench.subject.towed:
        step = Step("set", at=BREAKS, target=f"{FRONT}.supply.pressure", to=0.0, over=0.1)
        return bench.run("Supply line lost", (step,), END, in_front(bench, pressure, pressure), rigs(bench))
    begin = ready(bench, pressure) | {f"{BEHIND}.breach.position": 0.0}
    step = Step("set", at=BREAKS, target=f"{BEHIND}.breach.position", to=1.0)
    return bench.run("Supply line broken", (step,), END, begin, rigs(bench, behind=BEHIND))


PROCEDURE = Procedure("spring_supply", "Springs when the supply line is lost", "Annex 8, 2.3", judge, KINDS, 80)
