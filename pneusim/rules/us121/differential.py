"""S5.3.5: how much of the control signal a dolly or a trailer that tows loses on the way to the next vehicle."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pneusim.circuit.scenario import Step
from pneusim.quantities import express
from pneusim.results.run import Channel
from pneusim.rules.bench import Bench, named
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED

RISE, FALL, END = 1.0, 201.0, 401.0
"""When the rig begins to fill and to empty the control line through its orifice, and the end [s]."""

LEAST = 0.9
"""Share of 100 psi that the input must come to for the test to count."""

RANGES = ("low", "middle", "high")


def judge(bench: Bench) -> Iterator[Finding]:
    """Largest difference between input coupling and the vessel behind, rising and falling, in three ranges."""
    subject = bench.subject
    if not subject.vehicle.tows:
        return
    source = bench.value("rig.actuation")
    begin = bench.ready(source) | {"signal_rig.signal.pressure": 0.0}
    steps = (
        Step("set", at=RISE, target="signal_rig.signal.pressure", to=source),
        Step("set", at=FALL, target="signal_rig.signal.pressure", to=0.0),
    )
    run = bench.run("Control signal differential", steps, END, begin, ("signal_rig", "vessel_behind"))
    put_in = named(run[f"{subject.head('control', 'front').name}.outer_pressure"], "input coupling")
    out = named(run["vessel_behind.vessel.pressure"], "vessel of 50 in3 on the output coupling")
    if put_in(FALL - 1.0) < LEAST * source:
        raise NotJudged("the control line does not fill through the orifice: it leaks")
    for way, start, end in (("rising", RISE, FALL), ("falling", FALL, END)):
        floor = bench.value("differential.low.from")
        picture = bench.show(_picture(way, (put_in, out), (start, end), floor))
        for name in RANGES:
            yield _range(bench, name, way, (put_in, out), (start, end), picture)


def _range(
    bench: Bench, name: str, way: str, ends: tuple[Channel, Channel], span: tuple[float, float], picture: str
) -> Finding:
    """The largest difference in one range of input pressures."""
    limit, (put_in, out) = bench.limits[f"differential.{name}"], ends
    floor = bench.value(f"differential.{name}.from")
    above = RANGES[RANGES.index(name) + 1] if name != "high" else None
    ceiling = bench.value(f"differential.{above}.from") if above else float("inf")
    within = (put_in.times > span[0]) & (put_in.times < span[1]) & (put_in.values >= floor) & (put_in.values < ceiling)
    level, apart = put_in.values[within], np.abs(put_in.values - out.values)[within]
    if not len(level):
        return held_against(limit, None, f"{way}, {limit.words}", "the input passed this range too fast", picture)
    value = float((apart / level).max() if limit.dimension == "fraction" else apart.max())
    return held_against(limit, value, f"{way}, {limit.words.partition(':')[0]}", "", picture)


def _picture(way: str, ends: tuple[Channel, Channel], span: tuple[float, float], floor: float) -> Picture:
    mark = Mark(f"judged above {express(floor, 'pressure')}", level=floor)
    shown = (-1.0, span[1] - span[0])
    return Picture(f"differential_{way}", f"Control signal, {way}, S5.3.5", ends, span[0], shown, (mark,))


PROCEDURE = Procedure("differential", "Control signal pressure differential", "S5.3.5", judge, TOWED)
