"""S5.3.1: stopping distances of Table II, by the service brakes."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from pneusim.quantities import express
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, NotJudged, held_against, not_judged
from pneusim.rules.regulation import Procedure
from pneusim.rules.road.loads import Load
from pneusim.rules.road.stops import Stop, hardest, picture, stop
from pneusim.rules.subject import POWERED
from pneusim.rules.us121.road import REMARK, course, loaded, locks_too_long, row, unloaded

ATTAINS = "it is for vehicles that do not attain 60 mph, of which a file says nothing"


def judge(bench: Bench) -> Iterator[Finding]:
    """From 60 mph loaded and unloaded; the row of 20 mph is told, but held against nothing."""
    for laden, load in ((True, loaded), (False, unloaded)):
        yield from _stops(bench, load, laden)


def _stops(bench: Bench, loaded_as: Callable[[Bench], Load], laden: bool) -> Iterator[Finding]:
    limit = bench.limits[f"stop.60.{row(bench, laden=laden)}"]
    try:
        load = loaded_as(bench)
    except NotJudged as reason:
        yield not_judged(limit.clause, f"60 mph, {'loaded' if laden else 'unloaded'}", str(reason))
        return
    made = hardest(bench, course(bench, load, bench.value("stop.speed"), "Stop from 60 mph"), _allowed(bench))
    title = f"Stop from 60 mph, {load.words}, S5.3.1"
    shown = picture(bench, f"stopping_{'loaded' if laden else 'unloaded'}", title, {load.words: made}, limit)
    locked = locks_too_long(bench, made)
    what = f"60 mph, {load.words}"
    if locked:
        yield held_against(limit, None, what, f"{', '.join(locked)} lock too long at any travel of the pedal", shown)
        return
    yield held_against(limit, made.distance, what, f"{made.remark}; {REMARK}", shown)
    slow = bench.limits[f"stop.20.{row(bench, laden=laden)}"]
    from_20 = stop(bench, course(bench, load, bench.value("stop.slow"), "Stop from 20 mph"), made.travel)
    told = "no rest" if from_20.distance is None else express(from_20.distance, "distance")
    yield not_judged(slow.clause, f"20 mph, {load.words}", f"{told}, {slow.told()}; {ATTAINS}")


def _allowed(bench: Bench) -> Callable[[Stop], bool]:
    return lambda made: not locks_too_long(bench, made)


PROCEDURE = Procedure("stopping", "Stopping distance", "S5.3.1", judge, POWERED, 74)
