"""Rows under the speeds: which wheels are locked when, and what modulators are told by their anti-lock control."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from pneusim.circuit.circuit import Component
from pneusim.results.road.anti_lock import MODULATOR
from pneusim.results.road.locking import locks
from pneusim.results.road.rolling import units
from pneusim.results.run import Channel, Run
from pneusim.results.words import places, unit_title
from pneusim.show.figures.road.curves import wheel_groups
from pneusim.show.figures.rows import Row

COMMANDS = {1: "apply", 0: "hold", -1: "release"}


def of_speeds(run: Run) -> list[Row]:
    """Wheels that locked, then modulators that did not only apply."""
    return [*_locked(run), *_commanded(run)]


def _locked(run: Run) -> Iterator[Row]:
    wheels = {wheel.site.name: (unit, wheel) for unit in units(run) for wheel in unit.wheels}
    for members in wheel_groups(run, lambda wheel: wheel.speed):
        spells = [lock.spell for lock in locks(*wheels[members[0][0].name])]
        if spells:
            names = [site.name for site, _ in members]
            yield Row(places(run, names), [(spell.start, spell.end, "locked") for spell in spells])


def _commanded(run: Run) -> Iterator[Row]:
    """Modulators at both ends of an axle that were told the same are one row."""
    told: dict[tuple[object, ...], list[Component]] = {}
    for component in run.circuit.components.values():
        command = run.channels.get(f"{component.name}.command")
        if component.type == MODULATOR and command is not None and (command.values != 1.0).any():
            site = component.name if component.axle is None else component.axle
            told.setdefault((component.unit, site, command.values.tobytes()), []).append(component)
    for members in told.values():
        yield Row(_where(run, members), list(_states(run[f"{members[0].name}.command"])))


def _states(command: Channel) -> Iterator[tuple[float, float, str]]:
    """Commands from the first that is not to apply until the last one."""
    told = np.rint(command.values).astype(int)
    turns = np.flatnonzero(told[1:] != told[:-1]) + 1
    edges = [0, *turns.tolist(), len(told) - 1]
    for start, end in list(pairwise(edges))[1:-1]:
        yield float(command.times[start]), float(command.times[end]), COMMANDS[int(told[start])]


def _where(run: Run, members: Sequence[Component]) -> str:
    """``axle 1``, ``axle 1 left``, or what the modulator is called where it belongs to no axle."""
    first = members[0]
    if first.axle is None:
        return run.circuit.title_of(first)
    side = first.side if len(members) == 1 and first.side else ""
    return " ".join(filter(None, (unit_title(first.unit), f"axle {first.axle}", side)))
