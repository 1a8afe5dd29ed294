"""Moments of a stop, and where the wheels of a run are in them: slip, friction used, load, what they roll on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pneusim.errors import UsageError
from pneusim.quantities import express
from pneusim.results.road.beginning import beginning
from pneusim.results.road.moving import rest_after
from pneusim.results.road.rolling import Unit, Wheel, units
from pneusim.results.run import Run
from pneusim.show.figures.curves import SAME, Curve
from pneusim.show.figures.road.curves import CREEPS, colour_of, wheel_words
from pneusim.simulate.footing import Footing, Path, paths

Array = npt.NDArray[np.float64]

OFF = 100.0
"""A wheel that bears less than this is off the road: there is no friction to be told of it [N]."""


@dataclass(frozen=True)
class Point:
    """Wheels that do the same in a moment: who they are, how they are drawn, and where they are."""

    label: str
    colour: int
    hollow: bool
    slip: float
    friction: float
    load: float
    speed: float
    footing: Footing


@dataclass(frozen=True)
class Trace:
    """A wheel over a part of a run, as long as its vehicle moves."""

    wheel: Wheel
    unit: Unit
    path: Path
    times: Array
    slip: Array
    friction: Array
    load: Array
    speed: Array

    def footing(self, time: float) -> Footing:
        """What is under it at a time [s]."""
        return self.path.at(self.unit.distance(time))


def traces(run: Run, start: float | None = None, end: float | None = None) -> list[Trace]:
    """The wheels of a run between two times [s]; by default from the beginning of their stop to rest."""
    under = paths(run.circuit, run.scenario.road) if run.scenario.road else {}
    found = []
    for unit in units(run):
        begins, ends = stop_of(run, unit)
        first, last = begins if start is None else start, ends if end is None else end
        times, speed = unit.speed.times, unit.speed.values
        kept = (times >= first) & (times <= last) & (np.abs(speed) > CREEPS)
        for wheel in unit.wheels:
            values = {name: run[f"{wheel.site.name}.{name}"].values[kept] for name in ("slip", "friction", "load")}
            found.append(Trace(wheel, unit, under[wheel.site.name], times[kept], speed=speed[kept], **values))
    if not any(len(trace.times) for trace in found):
        raise UsageError("nothing to draw: no vehicle moves in this part of the run")
    return found


def stop_of(run: Run, unit: Unit) -> tuple[float, float]:
    """When a stop of a unit begins and when it rests, or the run ends [s]."""
    begins = beginning(run, unit)
    start = run.span[0] if begins is None else begins.time
    rest = rest_after(unit, start)
    return start, run.span[1] if rest is None else rest


def points(run: Run, at: float) -> list[Point]:
    """Where the wheels are at a time [s]; those of a unit that do the same are one point, those off the road none."""
    if not run.span[0] <= at <= run.span[1]:
        raise UsageError(f"the run has no {at:g} s: it goes from {run.span[0]:g} s to {run.span[1]:g} s")
    if all(abs(unit.speed(at)) <= CREEPS for unit in units(run)):
        raise UsageError(f"nothing to draw: at {at:g} s no vehicle moves, and wheels at rest have no slip")
    under = paths(run.circuit, run.scenario.road) if run.scenario.road else {}
    groups: list[list[tuple[Wheel, Point]]] = []
    for unit in units(run):
        for wheel in unit.wheels if abs(unit.speed(at)) > CREEPS else ():
            point = _point(run, unit, wheel, under[wheel.site.name], at)
            if point.load < OFF:
                continue
            near = next((group for group in groups if _same(group[0], (wheel, point))), None)
            if near is None:
                groups.append([(wheel, point)])
            else:
                near.append((wheel, point))
    if not groups:
        raise UsageError(f"nothing to draw: at {at:g} s no wheel of what moves bears a load")
    return [_together(run, group) for group in groups]


def carried(point: Point, system: str) -> str:
    """The load of a wheel in words: ``41.8 kN``, ``41.8 kN each``."""
    return express(point.load, "force", system) + (" each" if point.label.startswith("wheels") else "")


def named(labels: Sequence[str]) -> list[Curve]:
    """What names below a panel need to be those of curves."""
    return [Curve(label, np.zeros(0), np.zeros(0), "fraction") for label in labels]


def _point(run: Run, unit: Unit, wheel: Wheel, path: Path, at: float) -> Point:
    slip, friction, load = (run[f"{wheel.site.name}.{name}"](at) for name in ("slip", "friction", "load"))
    return Point("", 0, False, slip, friction, load, unit.speed(at), path.at(unit.distance(at)))


def _same(one: tuple[Wheel, Point], other: tuple[Wheel, Point]) -> bool:
    (wheel, a), (twin, b) = one, other
    near = abs(a.slip - b.slip) < SAME and abs(a.load - b.load) < SAME * max(a.load, 1.0)
    return near and wheel.site.unit == twin.site.unit and a.footing == b.footing


def _together(run: Run, group: Sequence[tuple[Wheel, Point]]) -> Point:
    names = [wheel.site.name for wheel, _ in group]
    point = group[0][1]
    return Point(
        wheel_words(run, names), colour_of(run, group[0][0].site), {w.site.side for w, _ in group} == {"right"},
        point.slip, point.friction, point.load, point.speed, point.footing,
    )  # fmt: skip
