"""Annex 6, 2.5 and 2.6: response time at the coupling head of a towing vehicle's control line."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.quantities import express
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, NotAddressed, Picture, held_against
from pneusim.rules.readings import FED
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.ramps import BEHIND, START, rounded, series

GAUGE = f"{BEHIND}.gauge.pressure"
SHARES = ((10, 0.10), (75, 0.75))


def judge(bench: Bench) -> Iterator[Finding]:
    """10 % and 75 % of the asymptotic pressure at the end of the pipe."""
    if not bench.subject.vehicle.tows:
        raise NotAddressed("it is for vehicles that tow")
    test = series(bench)
    curve = named(test.direct[GAUGE], "end of the pipe on the control line")
    final, latest = float(curve.values[-1]), bench.value("coupling.75")
    limits = {percent: bench.limits[f"coupling.{percent}"] for percent, _ in SHARES}
    marks = tuple(
        Mark(f"{percent} % within {express(limits[percent].value, 'time')}", limits[percent].value, share * final)
        for percent, share in SHARES
    )
    title = "Control line, pedal pressed in 0.2 s, Annex 6, 2.6"
    picture = bench.show(Picture("coupling_response", title, (curve,), START, (-0.05, 3.0 * latest), marks))
    if final < FED:
        yield held_against(bench.limits["coupling.75"], None, curve.label, "it gets no pressure", picture)
        return
    for percent, share in SHARES:
        time = test.response(GAUGE, share)
        what = f"{curve.label}, {percent} % of {exactly(final)}"
        value = None if time is None else rounded(time)
        yield held_against(limits[percent], value, what, test.told(GAUGE, share), picture)


PROCEDURE = Procedure("coupling_response", "Response time at the coupling head", "Annex 6, 2.6", judge, POWERED, 20)
