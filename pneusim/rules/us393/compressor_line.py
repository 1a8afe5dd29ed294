"""393.50: a leak in the compressor's line must not empty the reservoirs."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.quantities import express
from pneusim.rules.bench import Bench, exactly
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us393.service import full_pressure, gauged, judged, ready, tanks

LEAK, END, HOLE = 0.5, 120.5, 12e-3
"""When the compressor's delivery breaks open [s], the end [s], and the hole [m]."""

KEPT = 0.95
"""Share of its pressure that a guarded reservoir keeps: our reading, the text has no figure."""


def judge(bench: Bench) -> Iterator[Finding]:
    """What each gauged reservoir keeps when the compressor's delivery is open to the atmosphere."""
    subject = bench.subject
    compressors = subject.all("compressor")
    if not compressors:
        raise NotJudged("the circuit has no compressor")
    pressure, source = full_pressure(subject)
    steps = tuple(Step("leak", at=LEAK, target=f"{compressor.name}.2", to=HOLE) for compressor in compressors)
    run = bench.run("Compressor line leaks", steps, END, ready(bench, pressure))
    curves = tanks(bench, run, gauged(subject))
    mark = Mark("kept by a guarded reservoir: our reading", level=KEPT * pressure)
    title = "Reservoirs, compressor's line broken open, 393.50"
    picture = bench.show(Picture("compressor_line", title, curves, LEAK, (-LEAK, END - LEAK), (mark,)))
    for curve in curves:
        share = float(curve.values[-1]) / curve(LEAK)
        why = (
            f"it keeps {express(share, 'fraction')} of {exactly(curve(LEAK))}, {source}; guarded is "
            f"{express(KEPT, 'fraction')} after {END - LEAK:g} s: our reading, the text has no figure"
        )
        yield judged("393.50", f"{curve.label}, compressor's line broken open", share >= KEPT, why, picture)


PROCEDURE = Procedure("compressor_line", "Reservoir check valves", "393.50", judge, POWERED, 40)
