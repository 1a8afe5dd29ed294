"""Annex 4, 2.3 and 3.2: the gradient that the parked vehicle holds, by its forces at rest and standing on it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from pneusim.circuit.braking import load_of
from pneusim.circuit.scenario import Step
from pneusim.quantities import STANDARD_GRAVITY, express
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, NotJudged, held_against, not_judged
from pneusim.rules.quotient import NO_ADHESION, STATIC, braking_quotient, gradient
from pneusim.rules.regulation import Procedure
from pneusim.rules.road.parked import LASTS, rolled
from pneusim.rules.un13.kinds import KINDS, cut_in, in_front, ready, rigs

PARK, END = 0.5, 10.5
"""When the brake is parked, and when the forces are read [s]."""


def judge(bench: Bench) -> Iterator[Finding]:
    """The vehicle by itself; for one that tows, the mass of a combination that it would hold."""
    subject, limit = bench.subject, bench.limits["parking"]
    control, parked = subject.parking_control()
    pressure, _ = cut_in(bench)
    begin = in_front(bench, pressure, pressure) if subject.towed else ready(bench, pressure)
    step = Step("set", at=PARK, target=control, to=parked)
    run = bench.run("Parked", (step,), END, begin, rigs(bench))
    quotient = float(braking_quotient(subject, run).values[-1])
    remark = f"{STATIC}; {NO_ADHESION}"
    yield held_against(limit, gradient(quotient), "the vehicle by itself, parked", remark)
    yield _on_a_grade(bench, begin | {control: parked})
    load = load_of([subject.vehicle])
    if subject.powered and subject.vehicle.tows and load:
        combination = bench.limits["parking.combination"]
        mass = quotient * load / math.sin(math.atan(combination.value)) / STANDARD_GRAVITY
        why = f"the mass of the combination is not known; the motor vehicle's brakes hold {express(mass, 'mass')} there"
        what = f"{combination.words}, {express(combination.value, 'fraction')}"
        yield not_judged(combination.clause, what, f"{why}; {STATIC}")


def _on_a_grade(bench: Bench, begin: Mapping[str, float]) -> Finding:
    """The vehicle as it stands on the gradient, its tyres and loads considered."""
    grade, limit = bench.limits["parking"].value, bench.limits["parking.rolled"]
    what = f"the vehicle by itself, parked on {express(grade, 'fraction')}, uphill and downhill"
    try:
        way = rolled(bench, grade, begin, rigs(bench))
    except NotJudged as reason:
        return not_judged(limit.clause, what, str(reason))
    return held_against(limit, way, what, f"laden, on dry asphalt, for {LASTS:g} s; less is rocking on its tyres")


PROCEDURE = Procedure("parking", "Parking on a gradient", "Annex 4, 2.3", judge, KINDS, 180)
