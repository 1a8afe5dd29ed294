"""The table of a page: every part and line with its channels, the text beside the drawing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from pneusim.circuit.circuit import Component, Line
from pneusim.parts.registry import part
from pneusim.results.run import Run
from pneusim.show.replay.rolling import braked_wheels
from pneusim.show.replay.states import states, subject


def rows(run: Run, names: Iterable[str]) -> list[dict[str, Any]]:
    """One row for every part, then for every line, then for axles and vehicles, if a channel of it is named."""
    owned: dict[str, list[str]] = {}
    for name in names:
        owned.setdefault(name.rpartition(".")[0], []).append(name)
    components, lines = run.circuit.components, run.circuit.lines
    inside = [_row(run, components[name], owned[name]) for name in components if name in owned]
    inside += [_row(run, lines[name], owned[name]) for name in lines if name in owned]
    outside = [name for name in owned if name not in components and name not in lines]
    wheels = braked_wheels(run)
    drawn = {name: f"w-{wheels[name].name}" if name in wheels else "" for name in outside}
    return inside + [_vehicle_row(run, name, owned[name], drawn[name]) for name in outside]


def _row(run: Run, owner: Component | Line, channels: Sequence[str]) -> dict[str, Any]:
    title = run.circuit.title_of(owner)
    kind, letter = ("line", "l") if isinstance(owner, Line) else (part(owner.type).title.lower(), "c")
    return {
        "component": owner.name,
        "title": title,
        "kind": kind,
        "unit": owner.unit or None,
        "element": f"{letter}-{owner.name}",
        "cells": [_cell(run, owner, name, title) for name in channels],
    }


def _cell(run: Run, owner: Component | Line, channel: str, title: str) -> dict[str, Any]:
    words = run[channel].label.removeprefix(f"{title}: ")
    if isinstance(owner, Component):
        kind = part(owner.type)
        spec = next((spec for spec in kind.channels if spec.name == channel.rpartition(".")[2]), None)
        if spec is not None and (found := states(kind, spec)):
            return {"channel": channel, "words": subject(spec), **found}
    return {"channel": channel, "words": words}


def _vehicle_row(run: Run, name: str, channels: Sequence[str], element: str) -> dict[str, Any]:
    """An axle, a vehicle or the combination; but for wheels on a road it is no element of the drawing."""
    title = run[channels[0]].label.partition(": ")[0]
    unit = name.rpartition(".")[0]
    return {
        "component": name,
        "title": title,
        "kind": "vehicle",
        "unit": unit or None,
        "element": element,
        "cells": [{"channel": channel, "words": run[channel].label.removeprefix(f"{title}: ")} for channel in channels],
    }
