"""393.51(c) and driver's manual 5.3: the low-pressure warning."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pneusim.circuit.circuit import Component
from pneusim.rules.bench import Bench, exactly
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture, held_against
from pneusim.rules.limits import Limit
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us393.bleeding import BEGINS, bled
from pneusim.rules.us393.service import driven, gauged, of, tanks

ROOM = 1.2
"""How much longer than the run a picture is, to hold words."""

DOWN_TO = 0.5
"""Share of the limit to which a reservoir is bled."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Pressure in each gauged reservoir, leaking alone, at which the first switch closes."""
    if not of(driven(bench.subject), bench.subject.all("pressure_switch")):
        raise NotJudged("the circuit has no pressure switch")
    for tank in gauged(bench.subject):
        yield from _one(bench, tank)


def _one(bench: Bench, tank: Component) -> Iterator[Finding]:
    subject, limits = bench.subject, (_limit(bench), bench.limits["warning.manual"])
    run = bled(bench, [tank], DOWN_TO * limits[0].value)
    (curve,) = tanks(bench, run, [tank])
    switches = {switch.name for switch in subject.all("pressure_switch")}
    times = [event.time for event in run.events if event.kind == "closed" and event.component in switches]
    words = "; ".join(f"{exactly(limit.value)}, {limit.clause.partition(',')[0]}" for limit in limits)
    highest = max(limits, key=lambda limit: limit.value)
    marks = [Mark(words if limit == highest else "", level=limit.value) for limit in limits]
    marks += [Mark("warning", times[0] - BEGINS)] if times else []
    title = f"Low-pressure warning, {curve.label} leaks, 393.51(c)"
    name = f"warning_{tank.name.rpartition('.')[2]}"
    picture = bench.show(Picture(name, title, (curve,), BEGINS, (-BEGINS, ROOM * run.span[1]), tuple(marks)))
    what = f"{curve.label} leaks"
    for limit in limits:
        if times:
            yield held_against(limit, curve(times[0]), what, "", picture)
        else:
            yield held_against(limit, None, what, f"no warning came down to {exactly(curve.values[-1])}", picture)


def _limit(bench: Bench) -> Limit:
    """55 psi, or half of the governor's cut-out if that is less."""
    limit, share = bench.limits["warning"], bench.value("warning.share")
    halves = [share * float(bench.subject.figure(governor, "cut_out")) for governor in bench.subject.all("governor")]
    return replace(limit, value=min((limit.value, *halves)))


PROCEDURE = Procedure("warning", "Low-pressure warning", "393.51(c)", judge, POWERED, 80)
