"""Stops on a road: one with a given travel of the pedal, and the hardest that a rule on locked wheels allows."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pneusim.circuit.road import Road, Surface
from pneusim.circuit.scenario import Step
from pneusim.quantities import STANDARD_GRAVITY, express
from pneusim.results.road.moving import rest_after
from pneusim.results.road.rolling import Unit, units
from pneusim.results.road.stopping import goes_on, mean_deceleration, way
from pneusim.results.run import Channel, Run
from pneusim.rules.bench import Bench, named
from pneusim.rules.finding import Mark, Picture
from pneusim.rules.limits import Limit
from pneusim.rules.road.loads import Load
from pneusim.rules.road.surfaces import uniform
from pneusim.simulate.road import AIR, ROLLING

START = 0.5
"""When the pedal begins to move where nothing has to happen before [s]."""

PRESS = 0.1
"""How long the foot takes to press the pedal in an emergency [s]: our assumption."""

LEAST = 1.0
"""A stop is waited for as long as this deceleration would take [m/s2], and 3 s more."""

ROOM = 1.35
"""How much wider than the limit a picture is, to hold its words."""

HALVINGS = 6
"""How often the travel of the pedal is halved in the search for the hardest stop: to 1.6 % of it."""


@dataclass(frozen=True)
class Stop:
    """A stop from the first movement of the pedal at ``start`` [s]; ``speed`` is the nominal one [m/s]."""

    run: Run
    start: float
    speed: float
    travel: float = 1.0

    @property
    def units(self) -> tuple[Unit, ...]:
        """Its units, from the front."""
        return units(self.run)

    @property
    def unit(self) -> Unit:
        """The first unit."""
        return self.units[0]

    @property
    def from_speed(self) -> float:
        """Speed when the pedal begins to move [m/s]."""
        return abs(self.unit.speed(self.start))

    @property
    def distance(self) -> float | None:
        """Way from the first movement of the pedal to rest [m]; None without rest.

        Corrected to the nominal speed by the square of the speeds (SAE J299, from memory, to be read against it).
        """
        rest = rest_after(self.unit, self.start)
        if rest is None:
            return None
        return way(self.unit, self.start, rest) * (self.speed / max(self.from_speed, 0.1)) ** 2

    @property
    def deceleration(self) -> float | None:
        """Mean fully developed deceleration [m/s2]."""
        return mean_deceleration(self.unit, self.start)[0]

    @property
    def remark(self) -> str:
        """How the pedal was held, and why there is no distance if there is none."""
        told = "full application"
        if self.travel < 1.0:
            travel = express(self.travel, "fraction")
            told = f"pedal held at {travel} of its travel, the most without a lock that is not allowed"
        return told if self.distance is not None else f"{told}; {goes_on(self.unit)}"


@dataclass(frozen=True)
class Course:
    """What a stop is made with: title, surface, nominal speed [m/s], load, start of the circuit, input of the pedal."""

    title: str
    surface: Surface
    speed: float
    load: Load
    begin: Mapping[str, float]
    pedal: str
    rigs: tuple[str, ...] = ()


def stop(bench: Bench, course: Course, travel: float = 1.0, before: Sequence[Step] = (), start: float = START) -> Stop:
    """Press the pedal at ``start`` [s] to a travel [-]; ``before`` is what happens until then."""
    press = Step("set", at=start, target=course.pedal, to=travel, over=PRESS)
    lasts = start + course.speed / LEAST + 3.0
    road = uniform(course.surface, course.speed + coasting(course.load, course.speed) * start, course.load.loading)
    run = on_road(bench, course, road, (*before, press), lasts)
    return Stop(run, start, course.speed, travel)


def coasting(load: Load, speed: float) -> float:
    """Deceleration of vehicles that roll without brakes, by air and rolling resistance [m/s2]."""
    motions = [(unit.motion, load.loading.get(unit.name, "laden")) for unit in load.units if unit.motion]
    mass = sum(motion.loading(state).mass for motion, state in motions)
    area = sum(motion.drag_area or 0.0 for motion, _ in motions)
    return AIR * area * speed**2 / mass + ROLLING * STANDARD_GRAVITY


def on_road(bench: Bench, course: Course, road: Road, steps: Sequence[Step], lasts: float) -> Run:
    """Run steps of a course on a road."""
    return bench.run(course.title, steps, lasts, course.begin, course.rigs, road, course.load.units)


def hardest(bench: Bench, course: Course, allowed: Callable[[Stop], bool]) -> Stop:
    """The stop with the most travel of the pedal that is allowed; the full one if all are allowed, or none is."""
    full = stop(bench, course)
    if allowed(full):
        return full
    best, low, high = full, 0.0, 1.0
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        tried = stop(bench, course, middle)
        if allowed(tried):
            best, low = tried, middle
        else:
            high = middle
    return best


def picture(
    bench: Bench, name: str, title: str, stops: Mapping[str, Stop], limit: Limit, others: Sequence[Mark] = ()
) -> str:
    """Speed over the way of some stops, with the longest way that is allowed."""
    curves = tuple(named(_speed_over_way(made), words) for words, made in stops.items())
    widest = max(ROOM * limit.value, *(1.05 * float(curve.times[-1]) for curve in curves))
    marks = (Mark(limit.told(), limit.value), *others)
    return bench.show(Picture(name, title, curves, 0.0, (0.0, widest), marks, "distance"))


def _speed_over_way(made: Stop) -> Channel:
    """Speed of the first unit over its way since the pedal began to move, until it rests."""
    unit = made.unit
    rest = rest_after(unit, made.start)
    until = float(unit.speed.times[-1]) if rest is None else rest
    inside = (unit.speed.times > made.start) & (unit.speed.times < until)
    times = np.concatenate(([made.start], unit.speed.times[inside], [until]))
    ways = np.abs(np.interp(times, unit.distance.times, unit.distance.values) - unit.distance(made.start))
    kept = np.concatenate(([True], np.diff(np.maximum.accumulate(ways)) > 1e-6))
    speeds = np.abs(np.interp(times, unit.speed.times, unit.speed.values))
    return Channel(unit.speed.name, ways[kept], speeds[kept], "speed", "speed")
