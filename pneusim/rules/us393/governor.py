"""Driver's manual 5.1.2 and 5.3: build-up from 85 to 100 psi, governor's cut-out and cut-in."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from pneusim.quantities import express
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.run import Run
from pneusim.rules.bench import Bench, exactly, named, never
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.readings import FASTEST
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us393.service import PRESS, driven, gauged, of, pedal, ready, tanks

BELOW = 20e3
"""How far below 85 psi the reservoirs start [Pa]."""

LOOK_EVERY, LONGEST = 5.0, 900.0
"""How often the governor is looked at [s], and how long the pumping may take [s]."""

ROOM = 2.0
"""How much longer than the limit a picture is at least, to hold its words."""

FAN, FANS = 2.0, 60
"""How long the pedal is held down, and let go, each time to use air [s], and how often at most."""


class Pumped(NamedTuple):
    """The test: its run, and the pressures at which the governor unloaded and loaded the compressor; None if never."""

    run: Run
    cut_out: float | None
    cut_in: float | None


def judge(bench: Bench) -> Iterator[Finding]:
    """Pump up until the governor cuts out, then use air until it cuts in."""
    subject = bench.subject
    test = _pumped(bench)
    low, high, limit = bench.value("build_up.from"), bench.value("build_up.to"), bench.limits["build_up.time"]
    curves = tanks(bench, test.run, gauged(subject))
    end = test.run.span[1]
    passed = [first_crossing(curve, high, +1, 0.0, end) for curve in curves]
    since = max(first_crossing(curve, low, +1, 0.0, end) or 0.0 for curve in curves)
    mark = Mark(f"{exactly(high)} within {express(limit.value, 'time')}", limit.value, high)
    marks = (mark, *([Mark("cut-in", level=test.cut_in)] if test.cut_in else ()))
    title, span = "Build-up, cut-out and cut-in, driver's manual 5.3", (-since, max(end - since, ROOM * limit.value))
    picture = bench.show(Picture("build_up", title, curves, since, span, marks))
    remark = f"compressor at {express(FASTEST, 'rotation')}, our assumption; trailer supply shut off"
    slow = [curve for curve, time in zip(curves, passed, strict=True) if time is None]
    why = f"{slow[0].label} {never(slow[0], exactly(high), 0.0)}" if slow else remark
    time = None if slow else max(time or 0.0 for time in passed) - since
    yield held_against(limit, time, f"lowest reservoir, {exactly(low)} to {exactly(high)}", why, picture)
    why = "" if test.cut_out else f"it did not unload the compressor in {end:g} s"
    for name in ("cut_out.low", "cut_out.high") if test.cut_out else ("cut_out.high",):
        yield held_against(bench.limits[name], test.cut_out, "cut-out", why, picture)
    fanned = "the pedal fanned, engine running"
    why = fanned if test.cut_in else f"it did not load the compressor again, {fanned}"
    yield held_against(bench.limits["cut_in"], test.cut_in, "cut-in", why, picture)


def _pumped(bench: Bench) -> Pumped:
    subject = bench.subject
    governor, compressor = subject.one("governor").name, subject.one("compressor").name
    begin = ready(bench, bench.value("build_up.from") - BELOW)
    begin |= {f"{compressor}.running": 1.0, f"{compressor}.speed": FASTEST}
    begin |= {f"{control.name}.knob": 0.0 for control in of(driven(subject), subject.all("trailer_supply_control"))}
    stepper = bench.stepper(begin)
    while stepper.value(f"{governor}.mode") > 0.5 and stepper.time < LONGEST:
        stepper.advance(LOOK_EVERY)
    for _ in range(FANS if stepper.value(f"{governor}.mode") < 0.5 else 0):
        for travel in (1.0, 0.0):
            stepper.set(pedal(subject), travel, PRESS)
            stepper.advance(FAN)
        if stepper.value(f"{governor}.mode") > 0.5:
            break
    run = stepper.run()
    sensed = named(run[f"{governor}.pressure"], subject.called(governor))
    times = {e.kind: e.time for e in reversed(run.events) if e.component == governor}
    cut_out, cut_in = (sensed(times[kind]) if kind in times else None for kind in ("cut_out", "cut_in"))
    return Pumped(run, cut_out, cut_in)


PROCEDURE = Procedure("governor", "Build-up and governor", "driver's manual 5.1.2 and 5.3", judge, POWERED, 100)
