"""Annex 6, 3: response time of a trailer, applied by the simulator."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.quantities import express
from pneusim.reading import load
from pneusim.rules.bench import RIGS, Bench, exactly, named, time_to
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED
from pneusim.rules.un13.kinds import fed, service_pressures, slowest
from pneusim.rules.un13.ramps import rounded
from pneusim.rules.un13.simulator import LINE, OPENS, SIMULATOR, applied, setting


def judge(bench: Bench) -> Iterator[Finding]:
    """From 65 kPa in the control line to 75 % in the least favourable brake."""
    limit, share, low = bench.limits["response.trailer"], bench.value("response.share"), bench.value("simulator.from")
    run = applied(bench)
    line = named(run[LINE], "control line behind the orifice")
    begun = time_to(line, low, +1, OPENS)
    if begun is None:
        raise NotJudged(f"the control line does not come to {exactly(low)}: it leaks")
    zero = OPENS + begun
    brakes = fed(service_pressures(bench.subject), lambda name: float(run[name].values[-1]))
    curves = {title: named(run[name], title) for title, name in brakes.items()}
    times = {title: time_to(curve, share * float(curve.values[-1]), +1, zero) for title, curve in curves.items()}
    last = slowest(times)
    time, final = times[last], float(curves[last].values[-1])
    words = express(share, "fraction")
    marks = (Mark(f"{last}: {words} within {express(limit.value, 'time')}", limit.value, share * final),
             Mark(f"timed from {exactly(low)}", 0.0, low))  # fmt: skip
    span = (-0.1, 3.0 * limit.value)
    title = "Response time on the simulator, Annex 6, 3"
    picture = bench.show(Picture("trailer_response", title, (line, *curves.values()), zero, span, marks))
    what = f"{last}, the least favourable, to {exactly(share * final)}"
    if time is None:
        yield held_against(limit, None, what, f"it never came to {words} of its asymptotic pressure", picture)
        return
    why = f"{time:.3f} s before rounding to 0.1 s (1.3); {_told(bench)}"
    yield held_against(limit, rounded(time), what, why, picture)


def _told(bench: Bench) -> str:
    """The simulator's setting in words."""
    small, large = setting(bench)
    hole = float(load(RIGS / f"{SIMULATOR}.yaml").components["orifice"].parameters["hole"])
    return (
        f"simulator with an orifice of {express(hole, 'length')}: 65 to 490 kPa in {small:.3f} s into 385 cm3 and in "
        f"{large:.3f} s into 1155 cm3, asked are 0.2 +/- 0.01 s and 0.38 +/- 0.02 s"
    )


PROCEDURE = Procedure("trailer_response", "Response time of a trailer", "Annex 6, 3.4", judge, TOWED)
