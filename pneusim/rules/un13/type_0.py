"""Annex 4, 1.4.2 and 2.1.1: the Type-0 test of the service brake, engine disconnected."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.road.stops import hardest, picture
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.road import HELD, both_loads, class_of, course, held, locks, without_lock


def judge(bench: Bench) -> Iterator[Finding]:
    """Laden and unladen, the hardest stop at which no wheel locks above 15 km/h."""
    class_of(bench)
    limit = bench.limits["type_0.distance"]
    for load in both_loads(bench, limit.clause, "Type-0 service stop"):
        if isinstance(load, Finding):
            yield load
            continue
        made = hardest(bench, course(bench, load, bench.value("type_0.speed"), "Type-0 stop"), without_lock(bench))
        title = f"Type-0 service stop, {load.words}, Annex 4, 2.1.1"
        shown = picture(bench, f"type_0_{load.words.partition(',')[0]}", title, {load.words: made}, limit)
        what = f"service stop, {load.words}"
        if locked := locks(made, bench):
            yield held_against(limit, None, what, f"{', '.join(locked)} locks at any travel of the pedal", shown)
            continue
        yield from held(bench, made, "type_0", what, f"{HELD}; on dry asphalt", shown)


PROCEDURE = Procedure("type_0", "Type-0 service braking", "Annex 4, 2.1.1", judge, POWERED, 142)
