"""Adhesion utilisation: what adhesion each axle uses against the braking ratio of the combination; ideal is f = z."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from pneusim.circuit.braking import axle_name
from pneusim.circuit.statics import is_known
from pneusim.errors import UsageError
from pneusim.results.road.adhesion import AxleCurve, used_by_brakes
from pneusim.results.run import Run
from pneusim.results.words import numbered, unit_title
from pneusim.show import palette
from pneusim.show.figures.beside import heading
from pneusim.show.figures.panels import RunFigure, name, sheet
from pneusim.show.figures.pictures import Asked
from pneusim.show.figures.road.moment import named

TITLE = "Adhesion used by axles"

MOST = 1.0
"""Braking ratios and utilisations beyond this are of no road [-]."""


ALIKE = 0.03
"""Axles of a unit whose utilisations differ by less than this are one curve [-]."""


FIRM = 0.1
"""Below this braking ratio brakes only begin, one a little after the other [-]."""


@dataclass(frozen=True)
class Together:
    """Axles that use the same, in one state of loading."""

    label: str
    curve: AxleCurve
    colour: int
    dash: str


def figure(asked: Asked) -> RunFigure:
    """Draw it."""
    states = _states(asked.run)
    found = [one for state, dash in states.items() for one in _curves(asked.run, state, dash)]
    below = (
        "From the forces of the brakes as the run raises them, and the loads of axles at each braking ratio: statics, "
        "no tyre slips here. The thin line is the ideal, f = z. The axle whose curve first reaches the friction of the "
        "road locks first; a vehicle whose rear axles lie above its front ones loses its stability before its steering."
    )
    labels = named([one.label for one in found])
    whole, (axes,), width = sheet(heading(asked.run), [labels], below)
    top = _top(found)
    axes.plot([0.0, 100.0 * top], [0.0, 100.0 * top], color=palette.QUIET, linewidth=0.9, linestyle=(0, (9, 3)))
    lines = [_draw(axes, one, k, len(found)) for k, one in enumerate(found)]
    axes.set_xlim(0.0, 100.0 * top)
    axes.set_ylim(0.0, 100.0 * top)
    axes.set_xlabel("braking ratio z of the whole combination [%]")
    axes.set_ylabel("adhesion used f, force over load [%]")
    axes.set_title(TITLE)
    name(axes, whole, lines, labels, width)
    return whole


def _states(run: Run) -> dict[str, str]:
    """States of loading of which the circuit says all, and their dashes."""
    vehicles = run.circuit.vehicles
    states = {"laden": "solid"}
    if any(vehicle.motion and vehicle.motion.empty for vehicle in vehicles):
        states["empty"] = "dashed"
    found = {state: dash for state, dash in states.items() if vehicles and is_known(vehicles, _all(run, state))}
    if not found:
        raise UsageError(
            "adhesion utilisation needs masses and places: give all vehicles laden, their axles at, and centre_at or "
            "loads of all axles that fit the mass"
        )
    return found


def _all(run: Run, state: str) -> dict[str, str]:
    """All vehicles in one state of loading."""
    return {vehicle.name: state for vehicle in run.circuit.vehicles}


def _curves(run: Run, state: str, dash: str) -> list[Together]:
    groups: list[list[AxleCurve]] = []
    for curve in used_by_brakes(run, _all(run, state)):
        near = next((group for group in groups if _same(group[0], curve)), None)
        if near is None:
            groups.append([curve])
        else:
            near.append(curve)
    axles = [axle_name(vehicle.name, axle.number) for vehicle in run.circuit.vehicles for axle in vehicle.axles]
    return [
        Together(f"{_words(group)}, {state}", group[0], axles.index(group[0].axle), dash) for group in groups
    ]


def _same(one: AxleCurve, other: AxleCurve) -> bool:
    seen = (one.used < MOST) & (other.used < MOST) & (one.ratio > FIRM)
    alike = one.axle.rpartition(".")[0] == other.axle.rpartition(".")[0]
    return alike and float(np.abs(one.used - other.used)[seen].max(initial=0.0)) < ALIKE


def _words(group: Sequence[AxleCurve]) -> str:
    """``tractor axles 2 and 3``."""
    unit, numbers = group[0].axle.rpartition(".")[0], [int(curve.axle.rpartition("_")[2]) for curve in group]
    return " ".join(filter(None, (unit_title(unit), numbered("axle", numbers))))


def _top(found: Sequence[Together]) -> float:
    """End of both axes: what the brakes reach, 1 at most."""
    reached = max(max(float(one.curve.used.max()), float(one.curve.ratio.max())) for one in found)
    return min(1.05 * reached, MOST)


def _draw(axes: Axes, one: Together, k: int, count: int) -> Line2D:
    (line,) = axes.plot(
        100.0 * one.curve.ratio, 100.0 * one.curve.used, **palette.style(one.colour, one.dash != "solid"),
        linestyle=palette.DASHES[one.dash], markevery=((0.04 + 0.18 * k / count) % 0.2, 0.2),
    )  # fmt: skip
    return line
