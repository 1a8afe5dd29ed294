"""S5.1.1: how fast the compressor fills the reservoirs of the vehicle alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pneusim.circuit.circuit import Component
from pneusim.quantities import express
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.run import Channel, Run
from pneusim.rules.bench import Bench, exactly, named, never
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.limits import Limit
from pneusim.rules.readings import FASTEST
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us121.volumes import chamber_volume, supply_reservoirs, volume

BELOW = 20e3
"""How far below 85 psi the reservoirs start [Pa]."""

LOOK_EVERY, SPARE = 5.0, 1.1
"""How often pressures are looked at [s], and how much longer than allowed the reservoirs may take, over the limit."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Time that the lowest reservoir takes from 85 to 100 psi, against 25 s times actual over required volume."""
    subject = bench.subject
    compressor = subject.one("compressor")
    tanks = [*supply_reservoirs(subject), *subject.service_reservoirs]
    low, high, limit = bench.value("build_up.from"), bench.value("build_up.to"), _limit(bench, tanks)
    run = _pumped(bench, compressor, tanks, limit.value)
    curves = [named(run[f"{tank.name}.pressure"], subject.title(tank)) for tank in tanks]
    since = max(_passes(curve, low) or 0.0 for curve in curves)
    passed = [_passes(curve, high) for curve in curves]
    marks = (Mark(f"{exactly(high)} within {express(limit.value, 'time')}", limit.value, high),
             Mark(f"from {exactly(low)}", level=low))  # fmt: skip
    span = (-0.2 * limit.value, 2.0 * limit.value)
    picture = bench.show(Picture("build_up", "Build-up, S5.1.1", tuple(curves), since, span, marks))
    words = f"all reservoirs, {exactly(low)} to {exactly(high)}"
    slow = [curve for curve, time in zip(curves, passed, strict=True) if time is None]
    if slow:
        why = f"{slow[0].label} {never(slow[0], exactly(high), 0.0)}"
        yield held_against(limit, None, words, why, picture)
        return
    why = f"compressor at {express(FASTEST, 'rotation')}, our assumption for the engine's highest speed; {limit.note}"
    yield held_against(limit, max(time or 0.0 for time in passed) - since, words, why, picture)


def _pumped(bench: Bench, compressor: Component, tanks: list[Component], allowed: float) -> Run:
    """Pump up until all reservoirs have 100 psi, or have taken longer than allowed [s].

    They start so close below 85 psi that one which takes as long to come to there is too slow as well.
    """
    subject, low, high = bench.subject, bench.value("build_up.from"), bench.value("build_up.to")
    begin = bench.ready(low - BELOW) | {f"{compressor.name}.running": 1.0, f"{compressor.name}.speed": FASTEST}
    begin |= {f"{control.name}.knob": 0.0 for control in subject.all("trailer_supply_control")}
    stepper, since = bench.stepper(begin), 0.0
    while stepper.time - since <= SPARE * allowed:
        lowest = min(stepper.value(f"{tank.name}.pressure") for tank in tanks)
        if lowest >= high:
            break
        since = since or (stepper.time if lowest >= low else 0.0)
        stepper.advance(LOOK_EVERY)
    return stepper.run()


def _passes(curve: Channel, level: float) -> float | None:
    return first_crossing(curve, level, +1, 0.0, float(curve.times[-1]))


def _limit(bench: Bench, tanks: list[Component]) -> Limit:
    """25 s times actual over required volume."""
    limit = bench.limits["build_up.time"]
    actual = sum(volume(bench.subject, tank) for tank in tanks)
    required = bench.value("capacity.truck") * chamber_volume(bench)
    share = f"{express(actual, 'volume')} of reservoirs over {express(required, 'volume')} required"
    return replace(limit, value=limit.value * actual / required, note=f"25 s times {share}")


PROCEDURE = Procedure("build_up", "Compressor build-up", "S5.1.1", judge, POWERED, 10)
