"""Speed against distance from where the stop began, of one run or of several; of several also distance against lag."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from pneusim.errors import UsageError
from pneusim.quantities import unit_of
from pneusim.results.road.beginning import beginning
from pneusim.results.road.moving import rest_after
from pneusim.results.road.rolling import REST, units
from pneusim.results.run import Run
from pneusim.results.words import amount, the_units, unit_title
from pneusim.show import palette
from pneusim.show.figures.curves import Curve, coloured
from pneusim.show.figures.panels import RunFigure, axis_words, name, sheet
from pneusim.show.figures.pictures import Asked

TITLE = "Speed against distance"


@dataclass(frozen=True)
class Stop:
    """The stop of a unit: its name, speed over way [SI], its whole way and that lost to lag, None if unknown [m]."""

    label: str
    way: npt.NDArray[np.float64]
    speed: npt.NDArray[np.float64]
    whole: float | None
    lost: float | None


def figure(asked: Asked) -> RunFigure:
    """Draw it."""
    runs = [asked.run, *asked.others]
    stops = [stop for key, run in zip(_keys(runs), runs) for stop in _stops(key, run)]
    if not stops:
        raise UsageError("nothing to draw: no vehicle moves in these runs")
    labels = [_told(stop, asked.units) for stop in stops]
    shown = coloured(Curve(label, stop.way, stop.speed, "speed") for label, stop in zip(labels, stops))
    lag = [(k, stop) for k, stop in enumerate(stops) if stop.lost is not None and stop.whole is not None]
    panels = [shown, [shown[k] for k, _ in lag]] if len(lag) > 1 else [shown]
    whole, drawn, width = sheet(_heading(runs), panels, _below())
    lines = [_curve(drawn[0], curve, asked.units) for curve in shown]
    _frame(drawn[0], asked.units)
    name(drawn[0], whole, lines, shown, width)
    if len(lag) > 1:
        points = [_point(drawn[1], k, stop, asked.units) for k, stop in lag]
        _frame_of_lag(drawn[1], asked.units)
        name(drawn[1], whole, points, panels[1], width)
    return whole


def _stops(key: str, run: Run) -> Iterator[Stop]:
    """Stops of the first unit, and of units that come off, each from where it began to be braked or to be free."""
    values = {measure.name: measure.value for measure in run.measures}
    found = units(run)
    whole_of = the_units(run, [unit.name for unit in found]).removeprefix("the ")
    apart = any(unit.hitched is not None and (unit.hitched.values < 0.5).any() for unit in found)
    for unit in found if apart else found[:1]:
        if float(np.abs(unit.speed.values).max()) <= REST:
            continue
        begins = beginning(run, unit)
        start = run.span[0] if begins is None else begins.time
        rest = rest_after(unit, start)
        kept = (unit.speed.times >= start) & (unit.speed.times <= (run.span[1] if rest is None else rest))
        way = unit.distance.values[kept] - unit.distance(start)
        told = [key] if key else []
        alone = unit_title(unit.site.unit) or "vehicle" if apart else whole_of
        told += [alone] if apart or not told else []
        whole, lost = (values.get(f"{unit.name}.{one}") for one in ("stopping_distance", "distance_lost_to_lag"))
        yield Stop(", ".join(told), way, unit.speed.values[kept], whole, lost)


def _keys(runs: list[Run]) -> list[str]:
    """What each run is called beside the others; of one nothing."""
    if len(runs) == 1:
        return [""]
    circuits = len({run.circuit.title for run in runs}) > 1
    titles = [f"{run.circuit.title}: {run.title}" if circuits else run.title for run in runs]
    same = len(set(titles)) < len(titles)
    return [f"{chr(65 + k)} {_road(run)}" if same else title for k, (run, title) in enumerate(zip(runs, titles))]


def _road(run: Run) -> str:
    """What tells a run on a road from another of the same title."""
    road = run.scenario.road
    assert road is not None
    surfaces = [one.left if one.left == one.right else f"{one.left} and {one.right}" for one in road.stretches]
    states = sorted(set(road.loading.values()))
    return ", ".join([*dict.fromkeys(surfaces), *(states or ["laden"])])


def _heading(runs: list[Run]) -> str:
    titles = list(dict.fromkeys(run.circuit.title for run in runs))
    told = f"{titles[0]}: {runs[0].title}" if len(runs) == 1 else titles[0] if len(titles) == 1 else ""
    return told or f"{len(runs)} runs"


def _told(stop: Stop, units_of: str) -> str:
    if stop.whole is None:
        return f"{stop.label}: does not come to rest"
    lost = f", of it {amount(stop.lost, 'distance', units_of)} by lag" if stop.lost is not None else ""
    return f"{stop.label}: {amount(stop.whole, 'distance', units_of)}{lost}"


def _below() -> str:
    return (
        "Distance counts from the first movement of the control, or from what failed. Lag is what the stop is longer "
        "than one with its mean fully developed deceleration from the start."
    )


def _curve(axes: Axes, curve: Curve, units_of: str) -> Line2D:
    x, y = unit_of("distance", units_of), unit_of("speed", units_of)
    (line,) = axes.plot(
        curve.times / x.factor, curve.values / y.factor, **palette.style(curve.colour),
        linestyle=palette.DASHES[("solid", "dashed", "dotted", "dashdot")[curve.colour % 4]],
        markevery=(0.05 + 0.02 * curve.colour, 0.2),
    )  # fmt: skip
    return line


def _point(axes: Axes, k: int, stop: Stop, units_of: str) -> Line2D:
    unit = unit_of("distance", units_of)
    assert stop.lost is not None
    assert stop.whole is not None
    style = palette.style(k) | {"markersize": 11.0}
    (line,) = axes.plot([stop.lost / unit.factor], [stop.whole / unit.factor], **style, linestyle="none")
    return line


def _frame(axes: Axes, units_of: str) -> None:
    axes.set_xlim(left=0.0)
    axes.set_ylim(bottom=0.0)
    axes.set_xlabel(axis_words("distance", units_of))
    axes.set_ylabel(axis_words("speed", units_of))
    axes.set_title(TITLE)


def _frame_of_lag(axes: Axes, units_of: str) -> None:
    axes.set_xlim(0.0, 1.15 * axes.get_xlim()[1])
    axes.set_ylim(0.0, 1.15 * axes.get_ylim()[1])
    axes.set_xlabel(axis_words("distance", units_of, "distance lost to lag"))
    axes.set_ylabel(axis_words("distance", units_of, "stopping distance"))
    axes.set_title("Stopping distance against what lag takes of it")
