"""S5.3.4: brake release time."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.quantities import express
from pneusim.rules.bench import Bench, exactly, time_to
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.us121.kinds import KINDS, limit_for, timing_remark
from pneusim.rules.us121.timed import HOLD, Timed, timed


def judge(bench: Bench) -> Iterator[Finding]:
    """Every chamber, and the vessel behind a vehicle that tows, falls to 5 psi in time.

    Chambers start at what a full application from reservoirs at 100 psi, of a trailer from a rig at 95 psi, gives:
    that is 95 psi or, as the letter on the clause has it, the highest if that is less.
    """
    test = timed(bench, bench.value("actuation.start"), bench.value("rig.release"))
    level, limit = bench.value("release.level"), limit_for(bench, "release")
    picture = bench.show(_picture(bench, test, level, limit.value))
    tests = [(channel, limit) for channel in test.chambers.values()]
    if test.vessel is not None:
        tests.append((test.vessel, limit_for(bench, "release_vessel")))
    for channel, own in tests:
        time = time_to(channel, level, -1, HOLD)
        why = timing_remark(bench.subject)
        if time is None:
            why = f"never fell to {exactly(level)}; it ended at {exactly(channel.values[-1])}"
        words = f"{exactly(channel(HOLD))} to {exactly(level)}"
        yield held_against(own, time, f"{channel.label}, {words}", why, picture)


def _picture(bench: Bench, test: Timed, level: float, limit: float) -> Picture:
    marks = [Mark(f"{exactly(level)} within {express(limit, 'time')}", limit, level)]
    if test.vessel is not None:
        own = limit_for(bench, "release_vessel").value
        marks.append(Mark(f"vessel within {express(own, 'time')}", own))
    return Picture("release", "Release, S5.3.4", test.curves, HOLD, (-0.05, 2.0 * limit), tuple(marks))


PROCEDURE = Procedure("release", "Brake release time", "S5.3.4.1", judge, KINDS, 60)
