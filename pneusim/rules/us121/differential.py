"""S5.3.5: how much of the control signal a dolly or a trailer that tows loses on the way to the next vehicle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from pneusim.circuit.scenario import Step
from pneusim.results.measures.crossing import Array, window
from pneusim.results.run import Channel
from pneusim.rules.bench import Bench, exactly, named, time_to
from pneusim.rules.finding import Finding, NotAddressed, NotJudged, Picture, held_against, not_judged
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED

RISE, FALL, END = 1.0, 201.0, 401.0
"""When the rig begins to fill and to empty the control line through its orifice, and the end [s]."""

LEAST = 0.9
"""Share of 100 psi that the input must come to for the test to count."""

MOVING = 0.98
"""Share of 100 psi up to which a picture shows the input."""

RANGES = ("low", "middle", "high")


def judge(bench: Bench) -> Iterator[Finding]:
    """Largest difference between input coupling and the vessel behind, rising and falling, in three ranges."""
    subject = bench.subject
    if not subject.vehicle.tows:
        raise NotAddressed("it is for vehicles that tow")
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
        lasts = f"{FALL - RISE:g} s"
        raise NotJudged(f"the control line does not fill through the orifice in {lasts}: it leaks or is too large")
    for way, start, end in (("rising", RISE, FALL), ("falling", FALL, END)):
        picture = bench.show(_picture(bench, way, (put_in, out), (start, end)))
        for name in RANGES:
            yield _range(bench, name, way, (put_in, out), (start, end), picture)


def _range(
    bench: Bench, name: str, way: str, ends: tuple[Channel, Channel], span: tuple[float, float], picture: str
) -> Finding:
    """The largest difference in one range of input pressures."""
    limit, put_in = bench.limits[f"differential.{name}"], ends[0]
    floor = bench.value(f"differential.{name}.from")
    above = RANGES[RANGES.index(name) + 1] if name != "high" else None
    ceiling = bench.value(f"differential.{above}.from") if above else float("inf")
    what = f"{way}, {limit.words.partition(':')[0]}"
    times = _within(put_in, floor, ceiling, span)
    if times is None:
        return not_judged(limit.clause, what, f"the input does not pass through this range in {span[1] - span[0]:g} s")
    level, passed = (np.interp(times, channel.times, channel.values) for channel in ends)
    apart = np.abs(level - passed)
    value = float((apart / level).max() if limit.dimension == "fraction" else apart.max())
    return held_against(limit, value, what, "", picture)


def _within(put_in: Channel, floor: float, ceiling: float, span: tuple[float, float]) -> Array | None:
    """Times at which the input is in a range, those at which it enters and leaves it among them; None if it is not
    passed through."""
    times, level = window(put_in, *span)
    edges = [_crossings(times, level, edge) for edge in (floor, ceiling)]
    if not len(edges[0]) or (np.isfinite(ceiling) and not len(edges[1])):
        return None
    return np.union1d(times[(level >= floor) & (level <= ceiling)], np.concatenate(edges))


def _crossings(times: Array, values: Array, level: float) -> Array:
    """Times at which values pass a level, by linear interpolation."""
    height = values - level
    k = np.flatnonzero((height[:-1] < 0.0) != (height[1:] < 0.0)) if np.isfinite(level) else np.empty(0, dtype=int)
    found: Array = times[k] + (times[k + 1] - times[k]) * height[k] / (height[k] - height[k + 1])
    return found


def _picture(bench: Bench, way: str, ends: tuple[Channel, Channel], span: tuple[float, float]) -> Picture:
    """The difference, and what is allowed at the input of that moment, while that is moving above 5 psi."""
    put_in, out = ends
    floors = [bench.value(f"differential.{name}.from") for name in RANGES]
    low, middle, share = (bench.value(f"differential.{name}") for name in RANGES)
    level = put_in.values
    allowed = np.select([level < floors[1], level < floors[2]], [low, middle], share * level)
    curves = (
        replace(out, values=np.abs(level - out.values), dimension="pressure_difference", label="difference"),
        replace(out, values=allowed, dimension="pressure_difference", label="allowed at this input"),
    )
    lowest, highest = floors[0], MOVING * bench.value("rig.actuation")
    limits = (lowest, highest) if way == "rising" else (highest, lowest)
    shown = [time_to(put_in, limit, +1 if way == "rising" else -1, span[0]) for limit in limits]
    words = f"Control signal, {way} from {exactly(limits[0])} to {exactly(limits[1])}, S5.3.5"
    return Picture(f"differential_{way}", words, curves, span[0], (shown[0] or 0.0, shown[1] or span[1] - span[0]))


PROCEDURE = Procedure("differential", "Control signal pressure differential", "S5.3.5", judge, TOWED, 70)
