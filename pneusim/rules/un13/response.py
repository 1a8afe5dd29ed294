"""Annex 6, 2.4: response time of a motor vehicle's service brake."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.quantities import express
from pneusim.rules.bench import Bench, named
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.kinds import fed, service_pressures, slowest
from pneusim.rules.un13.ramps import START, rounded, series


def judge(bench: Bench) -> Iterator[Finding]:
    """The least favourable brake, by interpolation at an actuation of 0.2 s."""
    test, limit, share = series(bench), bench.limits["response.motor"], bench.value("response.share")
    brakes = fed(service_pressures(bench.subject), lambda name: float(test.direct[name].values[-1]))
    times = {brake: test.response(channel, share) for brake, channel in brakes.items()}
    last = slowest(times)
    time, called = times[last], bench.subject.called(last)
    mark = Mark(f"{called}: {express(share, 'fraction')} within {express(limit.value, 'time')}", limit.value,
                share * float(test.direct[brakes[last]].values[-1]))  # fmt: skip
    curves = tuple(named(test.direct[name], bench.subject.called(brake)) for brake, name in brakes.items())
    title = "Response time, pedal pressed in 0.2 s, Annex 6, 2.4"
    picture = bench.show(Picture("response", title, curves, START, (-0.05, 2.0 * limit.value), (mark,)))
    what, value = f"{called}, the least favourable", None if time is None else rounded(time)
    yield held_against(limit, value, what, test.told(brakes[last], share), picture)


PROCEDURE = Procedure("response", "Response time of the service brake", "Annex 6, 2.4", judge, POWERED, 10)
