"""Annex 8, 2.4: the springs can be applied and released three times without recharge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pneusim.circuit.circuit import Component
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, NotJudged, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.un13.kinds import FRONT, KINDS, cut_out, in_front, ready, rigs
from pneusim.simulate.stepper import Stepper

THREE = 3
SETTLES, DRIFT, AT_MOST = 1.5, 1e3, 13.5
"""How long at least the control is held [s], the drift at which springs stand still [Pa/s], and how much longer [s]."""


@dataclass(frozen=True)
class Wrong:
    """What went wrong in a cycle, and whether the springs still moved then."""

    why: str
    moves: bool


def judge(bench: Bench) -> Iterator[Finding]:
    """Cycles in which all springs come on and go off again; a trailer's after its lines are uncoupled."""
    subject, limit = bench.subject, bench.limits["spring.cycles"]
    springs = subject.spring_brakes
    control, parked = subject.parking_control()
    stepper, remark = _stepper(bench)
    released = stepper.value(control)
    good, wrong = 0, None
    while good < THREE and wrong is None:
        wrong = _cycle(bench, stepper, springs, (control, parked, released))
        good += wrong is None
    run = stepper.run()
    curves = tuple(named(run[f"{brake.name}.spring_pressure"], subject.title(brake)) for brake in springs)
    title = "Springs applied and released without recharge, Annex 8, 2.4"
    picture = bench.show(Picture("spring_cycles", title, curves, 0.0, (0.0, run.span[1])))
    if wrong is not None:
        remark = f"cycle {good + 1}: {wrong.why}"
        if wrong.moves:
            raise NotJudged(f"{remark} and still moves after {SETTLES + AT_MOST:g} s")
    yield held_against(limit, float(good), f"applications and releases of all springs, {THREE} tried", remark, picture)


def _stepper(bench: Bench) -> tuple[Stepper, str]:
    """The vehicle ready to be parked, and from which pressure."""
    if bench.subject.powered:
        pressure = cut_out(bench.subject)
        remark = f"from {exactly(pressure)}, the highest normal pressure"
        return bench.stepper(ready(bench, pressure), rigs(bench)), remark
    pressure = bench.value("spring.uncoupled")
    stepper = bench.stepper(in_front(bench, pressure, pressure), rigs(bench))
    for line in ("supply", "control"):
        stepper.set(f"{FRONT}.{line}.pressure", 0.0, 0.1)
    stepper.advance(2.0)
    return stepper, f"uncoupled from {exactly(pressure)}"


def _cycle(
    bench: Bench, stepper: Stepper, springs: list[Component], control: tuple[str, float, float]
) -> Wrong | None:
    """Apply and release once; tells what went wrong, None if nothing."""
    name, parked, released = control
    channels = tuple(f"{brake.name}.spring_pressure" for brake in springs)
    for to, acting, words in ((parked, True, "does not come on"), (released, False, "does not let go")):
        stepper.set(name, to)
        stepper.advance(SETTLES)
        rests = stepper.rest(channels, DRIFT, AT_MOST)
        for brake in springs:
            if _acts(bench, stepper, brake) != acting:
                held = exactly(stepper.value(f"{brake.name}.spring_pressure"))
                return Wrong(f"{bench.subject.title(brake)} {words}, its hold-off pressure is {held}", not rests)
    return None


def _acts(bench: Bench, stepper: Stepper, brake: Component) -> bool:
    """Whether the spring piston has come so far that it pushes the linings on."""
    return stepper.value(f"{brake.name}.spring_travel") >= float(bench.subject.figure(brake, "free_stroke"))


PROCEDURE = Procedure("spring_cycles", "Springs applied and released without recharge", "Annex 8, 2.4", judge, KINDS,
                      90)  # fmt: skip
