"""Anti-lock stops as UN R13 Annex 13 measures them: braking rates, adhesion of the road, wheels that lock."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pneusim.circuit.motion import Tyre
from pneusim.circuit.road import Surface
from pneusim.physics.adhesion import burckhardt, magic
from pneusim.physics.surface_fit import peak
from pneusim.quantities import STANDARD_GRAVITY
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.road.anti_lock import cycles
from pneusim.results.road.moving import rest_after
from pneusim.results.road.rolling import Unit
from pneusim.rules.bench import Bench, named
from pneusim.rules.finding import Mark, NotJudged, Picture
from pneusim.rules.road.locking import longest_lock
from pneusim.rules.road.stops import Stop
from pneusim.rules.road.surfaces import high, low
from pneusim.rules.road.wiring import Controlled, controlled
from pneusim.simulate.grips import grip_of
from pneusim.simulate.road import ROLLING

KMH = 1.0 / 3.6
PEAK_AT = 30.0 * KMH
"""Speed at which the peak of the friction is taken [m/s]: the middle of 45 to 15 km/h."""

CYCLES = 2
"""A modulator that releases so often works again and again: one intervention does not count."""

LAWS: Mapping[str, Callable[..., Any]] = {"burckhardt": burckhardt, "magic": magic}

GENERIC = "with a generic anti-lock control, nobody's calibration"


def anti_lock(bench: Bench) -> Controlled:
    """The vehicle's anti-lock control; NotJudged without one."""
    if bench.subject.towed:
        raise NotJudged("a trailer is tested behind a towing vehicle")
    return controlled(bench.subject)


def high_surface(bench: Bench) -> Surface:
    """The surface of high adhesion."""
    return high(bench.value("anti_lock.high"))


def low_surface(bench: Bench) -> Surface:
    """The surface of low adhesion."""
    return low(bench.value("anti_lock.low"))


def rate(made: Stop, fast: float, slow: float) -> float | None:
    """Mean braking rate between two speeds [m/s], over the acceleration of gravity [-]; None if they are not passed."""
    speed, end = made.unit.speed, made.run.span[1]
    first = first_crossing(speed, fast, -1, made.start, end)
    last = None if first is None else first_crossing(speed, slow, -1, first, end)
    if first is None or last is None:
        return None
    return (fast - slow) / (STANDARD_GRAVITY * (last - first))


def adhesion(made: Stop, surface: Surface) -> float:
    """Adhesion that a surface offers the vehicle with its loads in a stop, under both sides: peak of the law [-]."""
    axles = {axle.number: axle for unit in made.run.circuit.vehicles[:1] for axle in unit.axles}
    offered = carried = 0.0
    middle = made.start + 0.5 * (made.run.span[1] - made.start)
    moment = first_crossing(made.unit.speed, PEAK_AT, -1, made.start, made.run.span[1]) or middle
    for axle in made.unit.axles:
        rolling = axles[axle.site.axle or 0].rolling
        tyre = rolling.tyre if rolling else Tyre()
        load = axle.load(moment)
        offered += load * _peak(surface, tyre, 0.5 * load)
        carried += load
    return offered / carried


def _peak(surface: Surface, tyre: Tyre, load: float) -> float:
    """Largest friction of a tyre under a load of one end [N]."""
    law = grip_of(surface, tyre)
    _, friction = peak(LAWS[law.law], law.numbers, PEAK_AT)
    rated = tyre.rated_load or load
    return friction * (1.0 - tyre.load_sensitivity * (load / rated - 1.0))


def cycling(made: Stop, control: Controlled) -> list[str]:
    """Modulators that worked again and again."""
    return [name for name in control.modulators if cycles(made.run[f"{name}.command"]) >= CYCLES]


def longest(made: Stop, control: Controlled, above: float) -> tuple[float, str]:
    """Longest lock of a directly controlled wheel above a speed [m/s], and its title."""
    unit: Unit = made.unit
    wheels = [w for w in unit.wheels if (w.site.axle or 0, w.site.side or "") in control.wheels]
    times = [(longest_lock(unit, wheel, above, made.start), wheel.site.title) for wheel in wheels]
    return max(times, default=(0.0, "no wheel"))


def without_rolling(z: float) -> float:
    """Braking rate without what the rolling of the wheels gives [-]."""
    return z - ROLLING


def speeds(bench: Bench, made: Stop, name: str, title: str) -> str:
    """Speeds of the vehicle and of its wheels over time, with that below which wheels may lock."""
    rest = rest_after(made.unit, made.start)
    until = (made.run.span[1] if rest is None else rest) - made.start
    curves = (named(made.unit.speed, "vehicle"), *(named(w.speed, w.site.title) for w in made.unit.wheels))
    marks = (Mark("a wheel may lock below", level=bench.value("lock.above")),)
    return bench.show(Picture(name, f"{title}, Annex 13", curves, made.start, (-made.start, until + 0.5), marks))
