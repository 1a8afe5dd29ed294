"""Annex 13, 5.3.2 to 5.3.5: surfaces that change along the road, or from side to side."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.road import Road
from pneusim.circuit.scenario import Step
from pneusim.quantities import STANDARD_GRAVITY
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.road.moving import rest_after
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, held_against, not_judged
from pneusim.rules.regulation import Procedure
from pneusim.rules.road.loads import Load, laden
from pneusim.rules.road.stops import PRESS, START, Course, Stop, on_road
from pneusim.rules.road.surfaces import jump, split
from pneusim.rules.road.wiring import Controlled
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.road import both_loads, course
from pneusim.rules.un13.slipping import (
    GENERIC,
    KMH,
    adhesion,
    anti_lock,
    high_surface,
    longest,
    low_surface,
    rate,
    speeds,
)

BEHIND = 25.0
"""How far behind the place where the pedal begins to move the surface changes [m]: our choice."""

LASTS = 25.0
RISEN = 0.75
"""Share of the adhesion of the high surface at which the deceleration has risen [-]: our choice, told only."""


def split_adhesion(bench: Bench) -> Iterator[Finding]:
    """Laden, one side on each surface from 50 km/h: z >= 0.75 (4 k_L + k_H)/5, z >= k_L, no lock."""
    control, load = anti_lock(bench), laden(bench.subject)
    slippery, firm = low_surface(bench), high_surface(bench)
    plan = course(bench, load, bench.value("anti_lock.split.speed"), "Split adhesion", firm)
    made = _driven(bench, plan, split(slippery, firm, plan.speed, load.loading))
    least, most = adhesion(made, slippery), adhesion(made, firm)
    limit, floor = bench.limits["anti_lock.split"], bench.limits["anti_lock.split.low"]
    z = rate(made, 40.0 * KMH, 20.0 * KMH)
    wanted = (4.0 * least + most) / 5.0
    why = f"k_L {least:.2f}, k_H {most:.2f}; {GENERIC}"
    level = bench.value("lock.above")
    picture = speeds(bench, made, "anti_lock_split", "Split adhesion, laden")
    if z is None:
        yield held_against(limit, None, "split adhesion, laden", "it does not slow from 40 to 20 km/h", picture)
    else:
        why = f"z {z:.3f}, {why}"
        yield held_against(limit, z / wanted, "split adhesion, laden: z over (4 k_L + k_H)/5", why, picture)
        yield held_against(floor, z / least, "split adhesion, laden: z over k_L", why, picture)
    lasts, wheel = longest(made, control, level)
    yield held_against(bench.limits["anti_lock.lock"], lasts, "split adhesion, laden",
                       f"{wheel if lasts else 'no wheel locks'}; {GENERIC}", picture)  # fmt: skip


def jumps(bench: Bench) -> Iterator[Finding]:
    """Laden and unladen: from high to low no lock; from low to high the deceleration rises."""
    control = anti_lock(bench)
    for load in both_loads(bench, bench.limits["anti_lock.lock"].clause, "jump of adhesion"):
        if isinstance(load, Finding):
            yield load
            continue
        yield from _to_low(bench, load, control)
        yield _to_high(bench, load)


def _to_low(bench: Bench, load: Load, control: Controlled) -> Iterator[Finding]:
    for speed in (bench.value("anti_lock.slow"), bench.value("anti_lock.fast")):
        behind = BEHIND if speed > bench.value("anti_lock.slow") else 0.2 * BEHIND
        plan = course(bench, load, speed, "From high to low adhesion", high_surface(bench))
        road = jump(high_surface(bench), low_surface(bench), speed * START + behind, speed, load.loading)
        made = _driven(bench, plan, road)
        lasts, wheel = longest(made, control, bench.value("lock.above"))
        what = f"from high to low adhesion, {load.words}, pedal at {speed / KMH:.0f} km/h"
        name = f"anti_lock_jump_{load.words.partition(',')[0]}_{speed / KMH:.0f}"
        shown = speeds(bench, made, name, f"Full application, {what}")
        why = f"{wheel if lasts else 'no wheel locks'}; {GENERIC}"
        yield held_against(bench.limits["anti_lock.lock"], lasts, what, why, shown)


def _to_high(bench: Bench, load: Load) -> Finding:
    """How soon the deceleration has risen after the edge; the text has no figure."""
    speed = bench.value("anti_lock.split.speed")
    plan = course(bench, load, speed, "From low to high adhesion", low_surface(bench))
    edge = speed * START + 0.6 * BEHIND
    made = _driven(bench, plan, jump(low_surface(bench), high_surface(bench), edge, speed, load.loading))
    unit, end = made.unit, _until(made)
    reached = first_crossing(unit.distance, edge, +1, made.start, end)
    what, clause = f"from low to high adhesion, {load.words}", "Annex 13, 5.3.3"
    if reached is None:
        return not_judged(clause, what, "it stops before the surface changes")
    slowing = made.run[f"{unit.name}.acceleration"]
    level = -RISEN * adhesion(made, high_surface(bench)) * STANDARD_GRAVITY
    risen = first_crossing(slowing, level, -1, reached, end)
    told = "it does not rise so far before it stops" if risen is None else f"after {risen - reached:.2f} s"
    return not_judged(clause, what, f"'a reasonable time' has no figure; three quarters of the adhesion is used {told}")


def _driven(bench: Bench, plan: Course, road: Road) -> Stop:
    press = Step("set", at=START, target=plan.pedal, to=1.0, over=PRESS)
    run = on_road(bench, plan, road, (press,), LASTS)
    return Stop(run, START, plan.speed)


def _until(made: Stop) -> float:
    rest = rest_after(made.unit, made.start)
    return made.run.span[1] if rest is None else rest


SPLIT = Procedure("anti_lock_split", "Split adhesion", "Annex 13, 5.3.4", split_adhesion, POWERED, 204)
JUMPS = Procedure("anti_lock_jumps", "Jumps of adhesion", "Annex 13, 5.3.2", jumps, POWERED, 206)
PROCEDURES = (SPLIT, JUMPS)
