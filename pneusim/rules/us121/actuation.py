"""S5.3.3: brake actuation time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pneusim.quantities import express
from pneusim.results.measures.crossing import highest
from pneusim.results.run import Channel
from pneusim.rules.bench import Bench, exactly, never, time_to
from pneusim.rules.finding import Finding, Mark, Picture, held_against, not_judged
from pneusim.rules.limits import Limit
from pneusim.rules.regulation import Procedure
from pneusim.rules.us121.kinds import KINDS, limit_for, timing_remark
from pneusim.rules.us121.timed import HOLD, START, Timed, timed


def judge(bench: Bench) -> Iterator[Finding]:
    """Every chamber, and the vessel behind a vehicle that tows, reaches 60 psi in time."""
    test = timed(bench, bench.value("actuation.start"), bench.value("rig.actuation"))
    limit = limit_for(bench, "actuation")
    picture = bench.show(_picture(bench, test, limit))
    times = {name: time_to(channel, _level(bench, channel), +1, START) for name, channel in test.chambers.items()}
    for name, channel in test.chambers.items():
        yield _finding(bench, limit, channel, times[name], picture)
    for name in test.unfed:
        yield not_judged(limit.clause, bench.subject.called(name), "it gets no pressure from a full application")
    if test.vessel is not None:
        own = limit_for(bench, "vessel")
        fastest = min((time for time in times.values() if time is not None), default=0.0)
        if fastest > own.value:
            own = replace(own, value=fastest, note="as soon as the fastest chamber is enough")
        time = time_to(test.vessel, _level(bench, test.vessel), +1, START)
        yield _finding(bench, own, test.vessel, time, picture)


def _level(bench: Bench, channel: Channel) -> float:
    """60 psi, or 70 % of what the chamber comes to if that is less [Pa]."""
    share = bench.value("actuation.share") * highest(channel, START, HOLD)
    return min(bench.value("actuation.level"), share)


def _finding(bench: Bench, limit: Limit, channel: Channel, time: float | None, picture: str) -> Finding:
    level = _level(bench, channel)
    words = exactly(level)
    remarks = [timing_remark(bench.subject)]
    if level < bench.value("actuation.level"):
        remarks.append("70 % of the highest chamber pressure is less than 60 psi and counts")
    why = "; ".join(remarks) if time is not None else never(channel, words, START)
    return held_against(limit, time, f"{channel.label}, 0 to {words}", why, picture)


def _picture(bench: Bench, test: Timed, limit: Limit) -> Picture:
    level = min(_level(bench, channel) for channel in test.chambers.values())
    marks = [Mark(f"{exactly(level)} within {express(limit.value, 'time')}", limit.value, level)]
    if test.vessel is not None:
        own = limit_for(bench, "vessel").value
        marks.append(Mark(f"vessel within {express(own, 'time')}", own))
    span = (-0.05, min(max(1.0, 2.0 * limit.value), HOLD - START))
    return Picture("actuation", "Actuation, S5.3.3", test.curves, START, span, tuple(marks))


PROCEDURE = Procedure("actuation", "Brake actuation time", "S5.3.3.1", judge, KINDS, 50)
