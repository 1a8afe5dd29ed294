"""Annex 4, 2.2 and 2.4: secondary braking with a reservoir lost, residual braking with a line broken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding
from pneusim.rules.regulation import Procedure
from pneusim.rules.road.failures import BEFORE, Failure, broken_lines, failed_stops, lost_reservoirs, worst
from pneusim.rules.road.loads import Load
from pneusim.rules.road.stops import picture
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.road import HELD, both_loads, class_of, course, held

LOCKING = "wheels may lock: our reading"


def secondary(bench: Bench) -> Iterator[Finding]:
    """Laden and unladen, each service reservoir lost in turn; the pedal works what is left of the service brakes."""
    row = f"secondary.{class_of(bench)}"
    for load in both_loads(bench, bench.limits[f"{row}.distance"].clause, "secondary braking"):
        if isinstance(load, Finding):
            yield load
        else:
            yield from _worst(bench, load, list(lost_reservoirs(bench.subject)), row, "secondary braking")


def residual(bench: Bench) -> Iterator[Finding]:
    """Laden and unladen, each line broken in turn."""
    row = f"residual.{class_of(bench)}"
    for load in both_loads(bench, bench.limits[f"{row}.laden.distance"].clause, "residual braking"):
        if isinstance(load, Finding):
            yield load
        else:
            state = load.words.partition(",")[0]
            yield from _worst(bench, load, list(broken_lines(bench.subject)), f"{row}.{state}", "residual braking")


def _worst(bench: Bench, load: Load, failures: Sequence[Failure], row: str, words: str) -> Iterator[Finding]:
    limit, speed = bench.limits[f"{row}.distance"], bench.value(f"{'.'.join(row.split('.')[:2])}.speed")
    stops = failed_stops(bench, course(bench, load, speed, words.capitalize()), failures)
    first = worst(stops)
    title = f"{words.capitalize()}, {load.words}, {limit.clause}"
    name = f"{words.partition(' ')[0]}_{load.words.partition(',')[0]}"
    shown = picture(bench, name, title, {first: stops[first]}, limit)
    what = f"{words}, {load.words}, {first}"
    remark = f"the worst of {len(failures)} failures; {BEFORE}; {LOCKING}; {HELD}"
    yield from held(bench, stops[first], row, what, remark, shown)


SECONDARY = Procedure("secondary", "Secondary braking", "Annex 4, 2.2.1", secondary, POWERED, 144)
RESIDUAL = Procedure("residual", "Residual braking", "Annex 4, 2.4", residual, POWERED, 146)
PROCEDURES = (SECONDARY, RESIDUAL)
