"""S5.3.3: brake actuation time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pneusim.quantities import express
from pneusim.rules.bench import Bench, never, time_to
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.us121.kinds import KINDS, RIG_REMARK, limit_for
from pneusim.rules.us121.timed import HOLD, START, Timed, timed


def judge(bench: Bench) -> Iterator[Finding]:
    """Every chamber, and the vessel behind a vehicle that tows, reaches 60 psi in time."""
    test = timed(bench, bench.value("actuation.start"), bench.value("rig.actuation"))
    level = min(bench.value("actuation.level"), bench.value("actuation.share") * min(test.peaks))
    limit = limit_for(bench, "actuation")
    picture = bench.show(_picture(test, level, limit.value))
    remark = RIG_REMARK if bench.subject.towed else ""
    words = f"0 to {express(level, 'pressure')}"
    times = {}
    for title, channel in test.chambers.items():
        times[title] = time_to(channel, level, +1, START)
        why = remark if times[title] is not None else never(channel, express(level, "pressure"), START)
        yield held_against(limit, times[title], f"{title}, {words}", why, picture)
    if test.vessel is not None:
        own = limit_for(bench, "vessel")
        fastest = min((time for time in times.values() if time is not None), default=0.0)
        if fastest > own.value:
            own = replace(own, value=fastest)
            remark = "as soon as the fastest chamber is enough"
        time = time_to(test.vessel, level, +1, START)
        yield held_against(own, time, f"vessel of 50 in3 on the control line, {words}", remark, picture)


def _picture(test: Timed, level: float, limit: float) -> Picture:
    curves = (*test.chambers.values(), *([test.vessel] if test.vessel else ()))
    span = (-0.05, min(max(1.0, 2.0 * limit), HOLD - START))
    mark = Mark(f"{express(level, 'pressure')} within {express(limit, 'time')}", limit, level)
    return Picture("actuation", "Actuation, S5.3.3", curves, START, span, (mark,))


PROCEDURE = Procedure("actuation", "Brake actuation time", "S5.3.3.1", judge, KINDS)
