"""What rolls, over time: speeds, slips, loads, forces between units, heat; wheels that do the same are one curve."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import count

import numpy as np

from pneusim.circuit.statics import is_carried
from pneusim.results.road.rolling import RollingAxle, Site, Unit, Wheel, units
from pneusim.results.run import Channel, Run
from pneusim.results.words import subject, the_units, unit_title
from pneusim.show import palette
from pneusim.show.figures.curves import SAME, Curve, alike, coloured, of_channel

CREEPS = 1.0
"""Below this speed of its vehicle the slip of a wheel says nothing: it is a small number over a small one [m/s]."""

NEGLIGIBLE = {"speed": 0.05, "force": 50.0, "fraction": 0.005}
"""Distances of curves below these are none [SI]."""

HEAT = {"brake_heat": "brakes", "tyre_heat": "sliding tyres", "drag_heat": "air drag and skidding"}


def of_speeds(run: Run) -> list[Curve]:
    """Speeds of units, dashed, and of treads of their wheels; what anti-lock controls take for the speed, dotted."""
    wheels = _of_wheels(run, lambda wheel: wheel.speed)
    free = iter(_unused(wheels))
    whole = [(unit.site, unit.speed) for unit in units(run)]
    found = [
        replace(_curve(members, _without_the(the_units(run, _names(members)))), dash="dashed", colour=next(free))
        for members in alike(whole, lambda _: "", _limit(whole))
    ]
    told = [
        of_channel(run[f"{part.name}.reference_speed"], f"{run.circuit.title_of(part)}, reference speed", "dotted")
        for part in run.circuit.components.values()
        if f"{part.name}.reference_speed" in run.channels
    ]
    return [*found, *wheels, *(replace(one, colour=next(free)) for one in told)]


def of_slips(run: Run) -> list[Curve]:
    """Slips of wheels, as long as their vehicle moves."""
    moving = {unit.site.unit: np.abs(unit.speed.values) > CREEPS for unit in units(run)}

    def while_moving(wheel: Wheel) -> Channel:
        return replace(wheel.slip, values=np.where(moving[wheel.site.unit], wheel.slip.values, np.nan))

    speeds = {unit.site.unit: unit.speed.name for unit in units(run)}
    owners = {f"{wheel.site.name}.slip": wheel.site.unit for unit in units(run) for wheel in unit.wheels}
    return [
        replace(curve, while_above=(speeds[owners[curve.channels[0]]], CREEPS))
        for curve in _of_wheels(run, while_moving)
    ]


def of_loads(run: Run) -> list[Curve]:
    """Loads of axles, and of the hitches that carry a unit, dashed."""
    axles = [axle for unit in units(run) for axle in unit.axles]
    found = [
        _placed(run, axles, members, _without_the(subject(run, "axle", _names(members))))
        for members in alike([(a.site, a.load) for a in axles], _unit_of, _limit([(a.site, a.load) for a in axles]))
    ]
    carried = [unit for unit in units(run) if unit.pull is not None and _is_carried(run, unit)]
    hitches = [
        of_channel(run[f"{unit.name}.front_load"], f"hitch of the {unit_title(unit.site.unit)}", "dashed")
        for unit in carried
    ]
    return [*found, *(replace(one, colour=len(axles) + k) for k, one in enumerate(hitches))]


def of_hitches(run: Run) -> list[Curve]:
    """Forces between units: pulls positive, pushes negative."""
    return coloured(
        of_channel(unit.pull, f"the {unit_title(unit.site.unit)} at the unit before it: pull, negative: push")
        for unit in units(run)
        if unit.pull is not None
    )


def of_heat(run: Run) -> list[Curve]:
    """What brakes, tyres and air drag have turned into heat, unit by unit."""
    found = []
    for unit in units(run):
        name = f"{unit_title(unit.site.unit)}: " if unit.site.unit else ""
        found += [of_channel(run[f"{unit.name}.{quantity}"], f"{name}{words}") for quantity, words in HEAT.items()]
    return coloured(found)


def wheel_groups(run: Run, channel: Callable[[Wheel], Channel]) -> list[list[tuple[Site, Channel]]]:
    """Wheels of a unit whose channels are the same, from the front."""
    wheels = [(wheel.site, channel(wheel)) for unit in units(run) for wheel in unit.wheels]
    return alike(wheels, _unit_of, _limit(wheels))


def wheel_words(run: Run, names: Sequence[str]) -> str:
    """``wheels of axle 1``, ``wheel of axle 2 left``."""
    return _without_the(subject(run, "wheel", names))


def colour_of(run: Run, site: Site) -> int:
    """The colour of an axle in all figures."""
    return [axle.site.name for axle in _axles(run)].index(_axle_of(run, site).site.name)


def _of_wheels(run: Run, channel: Callable[[Wheel], Channel]) -> list[Curve]:
    axles = _axles(run)
    return [
        _placed(run, axles, members, wheel_words(run, _names(members)))
        for members in wheel_groups(run, channel)
        if np.isfinite(members[0][1].values).any()
    ]


def _placed(run: Run, axles: Sequence[RollingAxle], members: Sequence[tuple[Site, Channel]], label: str) -> Curve:
    """A curve in the colour of its first axle, hollow for right wheels alone."""
    sides = {site.side for site, _ in members}
    return replace(_curve(members, label), colour=colour_of(run, members[0][0]), hollow=sides == {"right"})


def _curve(members: Sequence[tuple[Site, Channel]], label: str) -> Curve:
    return replace(of_channel(members[0][1], label), channels=tuple(channel.name for _, channel in members))


def _axles(run: Run) -> list[RollingAxle]:
    return [axle for unit in units(run) for axle in unit.axles]


def _axle_of(run: Run, site: Site) -> RollingAxle:
    return next(axle for axle in _axles(run) if (axle.site.unit, axle.site.axle) == (site.unit, site.axle))


def _unused(found: Sequence[Curve]) -> Iterator[int]:
    """Colours that no curve has, then any."""
    used = {curve.colour for curve in found}
    yield from (colour for colour in range(len(palette.LINES)) if colour not in used)
    yield from count(max(used, default=0) + 1)


def _limit(found: Sequence[tuple[Site, Channel]]) -> float:
    """Distance below which two curves are one."""
    scale = max((float(np.nan_to_num(np.abs(channel.values)).max()) for _, channel in found), default=0.0)
    return max(SAME * scale, NEGLIGIBLE[found[0][1].dimension] if found else 0.0)


def _unit_of(site: Site) -> str:
    return site.unit


def _names(members: Sequence[tuple[Site, Channel]]) -> list[str]:
    return [site.name for site, _ in members]


def _without_the(words: str) -> str:
    return words.removeprefix("the ")


def _is_carried(run: Run, unit: Unit) -> bool:
    return any(is_carried(vehicle) for vehicle in run.circuit.vehicles if vehicle.name == unit.site.unit)
