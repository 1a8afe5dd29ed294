"""S5.7.1: stopping distances of Table II after a single failure in the service brake system."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, NotJudged, held_against, not_judged
from pneusim.rules.regulation import Procedure
from pneusim.rules.road.failures import BEFORE, Failure, broken_lines, failed_stops, lost_reservoirs, worst
from pneusim.rules.road.loads import laden, unladen
from pneusim.rules.road.stops import START, picture
from pneusim.rules.subject import POWERED
from pneusim.rules.us121.road import REMARK, course

UNLIMITED = "wheels may lock for any time"


def judge(bench: Bench) -> Iterator[Finding]:
    """Every line and service reservoir fails in turn: the worst of them, loaded (not a tractor) and unloaded."""
    failures = [*lost_reservoirs(bench.subject), *broken_lines(bench.subject), *_vented(bench)]
    tractor = bench.subject.vehicle.kind == "tractor"
    limit = bench.limits["stop.emergency.tractor" if tractor else "stop.emergency.others"]
    for loaded_as in (unladen,) if tractor else (laden, unladen):
        try:
            load = loaded_as(bench.subject)
        except NotJudged as reason:
            yield not_judged(limit.clause, f"60 mph, {loaded_as.__name__}", str(reason))
            continue
        made = course(bench, load, bench.value("stop.speed"), "Emergency stop from 60 mph")
        stops = failed_stops(bench, made, failures)
        first = worst(stops)
        title = f"Stop from 60 mph after a failure, {load.words}, S5.7.1"
        shown = picture(bench, f"emergency_stop_{loaded_as.__name__}", title, {first: stops[first]}, limit)
        tried = f"the worst of {len(failures)} failures, of which {len(stops)} that leave least were driven"
        why = f"{tried}; {BEFORE}; {stops[first].remark}; {UNLIMITED}; {REMARK}"
        yield held_against(limit, stops[first].distance, f"60 mph, {load.words}, {first}", why, shown)


def _vented(bench: Bench) -> Iterator[Failure]:
    """Both lines to a trailer are open to the atmosphere, S6.1.14."""
    heads = [head for head in bench.subject.all("coupling_head") if bench.subject.figure(head, "end") == "rear"]
    if heads:
        steps = tuple(Step("set", at=START, target=f"{head.name}.cock", to=1.0) for head in heads)
        yield Failure("both lines to a trailer open", steps)


PROCEDURE = Procedure("emergency_stop", "Emergency stopping distance", "S5.7.1", judge, POWERED, 105)
