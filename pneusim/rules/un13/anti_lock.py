"""Annex 13, 5.2 and 5.3: adhesion that the anti-lock control makes use of, and wheels that it keeps from locking."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.road import Surface
from pneusim.quantities import express
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, held_against, not_judged
from pneusim.rules.regulation import Procedure
from pneusim.rules.road.loads import Load
from pneusim.rules.road.stops import Stop, stop
from pneusim.rules.road.wiring import Controlled
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.road import both_loads, course
from pneusim.rules.un13.slipping import (
    GENERIC,
    KMH,
    adhesion,
    anti_lock,
    cycling,
    high_surface,
    longest,
    low_surface,
    rate,
    speeds,
    without_rolling,
)

NEIGHBOURS = (-0.01, 0.0, 0.01)
"""A stop under sampled control is not smooth in its speed: it is made from three neighbouring ones [m/s]."""


def utilisation(bench: Bench) -> Iterator[Finding]:
    """eps = z_AL/k on both surfaces, laden and unladen: the least of three stops."""
    control, limit = anti_lock(bench), bench.limits["anti_lock.utilisation"]
    for load in both_loads(bench, limit.clause, "anti-lock stop"):
        if isinstance(load, Finding):
            yield load
            continue
        for surface in (high_surface(bench), low_surface(bench)):
            yield _made_use_of(bench, load, surface, control)


def _made_use_of(bench: Bench, load: Load, surface: Surface, control: Controlled) -> Finding:
    limit, what = bench.limits["anti_lock.utilisation"], _what(load, surface)
    speed = bench.value("anti_lock.speed")
    stops = [_stop(bench, load, surface, speed + more) for more in NEIGHBOURS]
    found = [_utilised(made, surface) for made in stops]
    shares = [share for share in found if share is not None]
    name = f"anti_lock_{surface.name}_{load.words.partition(',')[0]}"
    shown = speeds(bench, stops[1], name, f"Anti-lock stop, {what}")
    if len(shares) < len(found):
        return held_against(limit, None, what, "it does not slow from 45 to 15 km/h", shown)
    told = f"{min(shares):.2f} to {max(shares):.2f} from three neighbouring speeds; {GENERIC}"
    working = cycling(stops[1], control)
    if len(working) < len(control.modulators):
        told = f"{len(working)} of {len(control.modulators)} modulators work again and again; {told}"
        if min(shares) < limit.value:
            return not_judged(limit.clause, what, f"the brakes are weaker than the road allows: {told}")
    return held_against(limit, min(shares), what, told, shown)


def no_lock(bench: Bench) -> Iterator[Finding]:
    """Full application at 40 km/h and at a high speed: directly controlled wheels lock for a brief time at most."""
    control, limit = anti_lock(bench), bench.limits["anti_lock.lock"]
    for load in both_loads(bench, limit.clause, "anti-lock stop"):
        if isinstance(load, Finding):
            yield load
            continue
        for surface in (high_surface(bench), low_surface(bench)):
            for speed in (bench.value("anti_lock.slow"), bench.value("anti_lock.fast")):
                made = _stop(bench, load, surface, speed)
                lasts, wheel = longest(made, control, bench.value("lock.above"))
                told = f"{_what(load, surface)}, from {express(speed, 'speed')}"
                name = f"anti_lock_lock_{surface.name}_{load.words.partition(',')[0]}_{speed / KMH:.0f}"
                shown = speeds(bench, made, name, f"Full application, {told}")
                yield held_against(limit, lasts, told, f"{wheel if lasts else 'no wheel locks'}; {GENERIC}", shown)


def _what(load: Load, surface: Surface) -> str:
    return f"{surface.name} adhesion, {load.words}"


def _stop(bench: Bench, load: Load, surface: Surface, speed: float) -> Stop:
    title = f"Anti-lock stop on {surface.name} adhesion"
    return stop(bench, course(bench, load, speed, title, surface))


def _utilised(made: Stop, surface: Surface) -> float | None:
    z = rate(made, 45.0 * KMH, 15.0 * KMH)
    return None if z is None else without_rolling(z) / adhesion(made, surface)


UTILISATION = Procedure("anti_lock", "Adhesion that the anti-lock system makes use of", "Annex 13, 5.2", utilisation,
                        POWERED, 200)  # fmt: skip
NO_LOCK = Procedure("anti_lock_lock", "No lock under anti-lock control", "Annex 13, 5.3.1", no_lock, POWERED, 202)
PROCEDURES = (UTILISATION, NO_LOCK)
