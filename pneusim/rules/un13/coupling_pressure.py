"""Annex 10, 3.1: pressures at the coupling heads of a towing vehicle, fully applied."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, NotAddressed, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.kinds import cut_in, cut_out, pedal, ready, rigs
from pneusim.rules.un13.ramps import BEHIND

START, RAMP, END = 0.5, 0.2, 4.5
"""When the pedal begins to move, for how long it does, and when the pressures are read [s]."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Both heads, from the lowest normal pressure at least 650 kPa, from the highest at most 850 kPa."""
    subject = bench.subject
    if not subject.vehicle.tows:
        raise NotAddressed("it is for vehicles that tow")
    step = Step("set", at=START, target=pedal(subject), to=1.0, over=RAMP)
    for sense, words, pressure in (("low", "lowest", cut_in(bench)[0]), ("high", "highest", cut_out(subject))):
        limit = bench.limits[f"heads.{sense}"]
        run = bench.run(f"Coupling heads, {words}", (step,), END, ready(bench, pressure), rigs(bench, behind=BEHIND))
        curves = tuple(named(run[f"{subject.head(role, 'rear').name}.outer_pressure"], f"{role} coupling head")
                       for role in ("control", "supply"))  # fmt: skip
        why = f"reservoirs start at {exactly(pressure)}, without recharge: our reading of the clause"
        mark = Mark(limit.told(), level=limit.value)
        title = f"Coupling heads, from the {words} normal pressure, Annex 10, 3.1"
        span = (-START, END - START)
        picture = bench.show(Picture(f"coupling_pressure_{sense}", title, curves, START, span, (mark,)))
        for curve in curves:
            what = f"{curve.label}, full application from the {words} normal pressure"
            yield held_against(limit, float(curve.values[-1]), what, why, picture)


PROCEDURE = Procedure("coupling_pressure", "Pressures at the coupling heads", "Annex 10, 3.1", judge, POWERED, 140)
