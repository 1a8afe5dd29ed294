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
    told = _setting(bench)
    run = applied(bench)
    line = named(run[LINE], "control line behind the orifice")
    begun = time_to(line, low, +1, OPENS)
    if begun is None:
        raise NotJudged(f"the control line does not come to {exactly(low)}: it leaks")
    zero = OPENS + begun
    brakes = fed(service_pressures(bench.subject), lambda name: float(run[name].values[-1]))
    curves = {brake: named(run[name], bench.subject.called(brake)) for brake, name in brakes.items()}
    times = {brake: time_to(curve, share * float(curve.values[-1]), +1, zero) for brake, curve in curves.items()}
    last = slowest(times)
    time, final, called = times[last], float(curves[last].values[-1]), curves[last].label
    words = express(share, "fraction")
    marks = (Mark(f"{called}: {words} within {express(limit.value, 'time')}", limit.value, share * final),
             Mark(f"timed from {exactly(low)}", 0.0, low))  # fmt: skip
    span = (-0.1, 3.0 * limit.value)
    title = "Response time on the simulator, Annex 6, 3"
    picture = bench.show(Picture("trailer_response", title, (line, *curves.values()), zero, span, marks))
    what = f"{called}, the least favourable, to {exactly(share * final)}"
    if time is None:
        yield held_against(limit, None, what, f"it never came to {words} of its asymptotic pressure", picture)
        return
    why = f"{time:.3f} s before rounding to 0.1 s (1.3); {told}"
    yield held_against(limit, rounded(time), what, why, picture)


def _setting(bench: Bench) -> str:
    """The simulator's setting in words; it must be as the text asks."""
    hole = float(load(RIGS / f"{SIMULATOR}.yaml").components["orifice"].parameters["hole"])
    found, asked, good = [], [], True
    for size, time in zip(("small", "large"), setting(bench), strict=True):
        vessel, due, tolerance = (bench.value(f"simulator.{size}{figure}") for figure in ("", ".time", ".tolerance"))
        found.append(f"{time:.3f} s into {express(vessel, 'volume')}")
        asked.append(f"{due:g} +/- {tolerance:g} s")
        good &= abs(time - due) <= tolerance
    low, high = (exactly(bench.value(f"simulator.{end}")) for end in ("from", "to"))
    told = (
        f"simulator with an orifice of {express(hole, 'length')}: {low} to {high} in {' and in '.join(found)}, "
        f"asked are {' and '.join(asked)}"
    )
    if not good:
        raise NotJudged(f"the setting is not that of the text: {told}")
    return told


PROCEDURE = Procedure("trailer_response", "Response time of a trailer", "Annex 6, 3.4", judge, TOWED, 30)
