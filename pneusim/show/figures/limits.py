"""Levels that a figure draws: what the scenario expects of what is shown, and where switches and controls act."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from pneusim.circuit.circuit import Component, Port
from pneusim.circuit.network import nodes
from pneusim.circuit.scenario import Expectation
from pneusim.parts.registry import part
from pneusim.quantities import express
from pneusim.results.measures.brakes import brake_components
from pneusim.results.run import Run
from pneusim.results.words import listed, measure_words, places, title
from pneusim.show.figures.curves import Curve

MOST = 8
"""So many limits are drawn in one panel; the rest is counted."""

ABOVE = 1.1
"""A level of a part further above all curves than by this factor is left out: it would only press them down."""


@dataclass(frozen=True)
class Limit:
    """A level: its value [SI], and what it is in words."""

    value: float
    words: str


class _Acts(NamedTuple):
    """A level of a part: its parameter, its own channel of the pressure sensed, the port that senses, what it does.

    Where the part has a choice of what it ``senses``, the level counts for one of them.
    """

    parameter: str
    quantity: str
    port: str
    words: str
    senses: str | None = None


ACTS: dict[str, tuple[_Acts, ...]] = {
    "pressure_switch": (_Acts("closes_below", "pressure", "1", "closes its contact below"),),
    "governor": (
        _Acts("cut_in", "pressure", "1", "loads the compressor at"),
        _Acts("cut_out", "pressure", "1", "unloads the compressor at"),
    ),
    "safety_valve": (_Acts("opens", "", "1", "blows off at"),),
    "trailer_supply_control": (_Acts("trip", "pressure", "2", "pops out at"),),
    "park_control": (
        _Acts("trip", "supply_pressure", "1", "applies by itself at", senses="supply"),
        _Acts("trip", "pressure", "21", "applies by itself at", senses="delivery"),
    ),
    "tractor_protection_valve": (_Acts("closes", "supply_pressure", "11", "shuts the control line at"),),
}
"""By type of part, the levels at which it acts."""

OPEN_TO_PORTS = ("reservoir", "coupling_head", "supply")
"""Types whose channel ``pressure`` is that of all their ports, so that a part joined to one senses it."""

_BRAKES = {
    "asymptotic_pressure": ("service_pressure", "held"),
    "highest_pressure": ("service_pressure", "highest pressure"),
    "highest_force": ("pushrod_force", "highest force"),
    "final_force": ("pushrod_force", "force at the end"),
}
ALL = "all_brakes"
LEAST, GREATEST = "at least", "at most"
_TANKS = {"lowest": "lowest pressure", "kept": "kept"}


class _Seen(NamedTuple):
    """Where a measure is seen in a figure: its channel, what it is, of which component, and SI level per limit."""

    channel: str
    words: str
    owner: str
    factor: float = 1.0


def limits(run: Run, shown: Sequence[Curve], system: str = "si") -> tuple[list[Limit], int]:
    """The limits that belong to curves, by falling value, and how many were left out.

    Parameters
    ----------
    run : Run
    shown : sequence of Curve
        Curves of one panel.
    system : {"si", "us"}

    Returns
    -------
    list of Limit, int
        Expectations of the scenario come first where there are too many.
    """
    channels = {name for curve in shown for name in curve.channels}
    top = max((float(curve.values.max()) for curve in shown if curve.values.size), default=0.0)
    acts = (limit for limit in _acts(run, channels, system) if limit.value <= ABOVE * top)
    found = [*_expected(run, channels, system), *_timed(run, channels, system), *acts]
    kept = sorted(found[:MOST], key=lambda limit: -limit.value)
    return kept, len(found) - len(kept)


def _expected(run: Run, channels: Collection[str], system: str) -> Iterator[Limit]:
    """What the scenario expects; the same of several brakes or reservoirs is one limit, a missed one says so."""
    groups: dict[tuple[float, str, bool], list[str]] = {}
    results = {result.name: result for result in run.measures}
    for expectation in run.scenario.expectations:
        result, seen = results.get(expectation.measure), _seen(run, expectation.measure, system)
        if result is None or seen is None or seen.channel not in channels:
            continue
        for side, bound in _bounds(expectation):
            missed = result.value is not None and (result.value < bound if side == LEAST else result.value > bound)
            words = f"{seen.words}, {side} {express(bound, result.dimension, system)}"
            groups.setdefault((bound * seen.factor, words, missed), []).append(seen.owner)
    for (value, words, missed), owners in groups.items():
        where = _where(run, owners)
        yield Limit(value, f"{words}{f': {where}' if where else ''}{', NOT MET' if missed else ''}")


def _timed(run: Run, channels: Collection[str], system: str) -> Iterator[Limit]:
    """Levels to which times that are judged count, such as that of a pressure in the last brake."""
    judged = {expectation.measure for expectation in run.scenario.expectations}
    for asked in run.scenario.measures:
        brakes = [f"{brake.name}.service_pressure" for brake in brake_components(run)]
        reached = brakes if asked.reach == ALL else [asked.reach or ""]
        seen = next((run.channels[name] for name in reached if name in channels and name in run.channels), None)
        if asked.name in judged and asked.kind == "time" and not asked.relative and seen is not None:
            way = "counts down to" if asked.falling else "counts to"
            words = f"{measure_words(run, asked.name, system)} {way} {express(asked.level, seen.dimension, system)}"
            yield Limit(asked.level, words)


def _bounds(expectation: Expectation) -> Iterator[tuple[str, float]]:
    if expectation.low is not None:
        yield LEAST, expectation.low
    if expectation.high is not None:
        yield GREATEST, expectation.high


def _seen(run: Run, name: str, system: str) -> _Seen | None:
    """Where a measure is seen; times and ratios are not."""
    for asked in run.scenario.measures:
        if asked.name == name:
            if asked.channel is None:
                return None
            moment = f" at {asked.at:g} s" if asked.at is not None else ""
            return _Seen(asked.channel, f"{measure_words(run, name, system)}{moment}", "")
    head, _, last = name.rpartition(".")
    if last in _TANKS and head in run.circuit.components:
        channel = f"{head}.pressure"
        start = float(run.channels[channel].values[0]) if channel in run.channels else 0.0
        return _Seen(channel, _TANKS[last], head, start if last == "kept" else 1.0)
    owner = head if head in run.circuit.components else head.rpartition(".")[0]
    if last in _BRAKES and owner in run.circuit.components:
        quantity, words = _BRAKES[last]
        return _Seen(f"{owner}.{quantity}", words, owner)
    return None


def _where(run: Run, owners: Sequence[str]) -> str:
    """Brakes by their places, other components by their titles, of a measure of the file's own nothing."""
    actuators = {component.name for component in brake_components(run)}
    named = [owner for owner in owners if owner]
    own = [name for name in named if name in actuators]
    others = [title(run, run.circuit.components[name]) for name in named if name not in actuators]
    return listed([*([places(run, own)] if own else []), *others])


def _acts(run: Run, channels: Collection[str], system: str) -> Iterator[Limit]:
    """Levels at which parts act that sense what is shown; parts that act alike are one limit."""
    groups: dict[tuple[float, str], list[str]] = {}
    together = _together(run)
    for component in run.circuit.components.values():
        for acts in ACTS.get(component.type, ()):
            figures = part(component.type)(**component.parameters)
            if acts.senses != getattr(figures, "senses", None):
                continue
            mates = together.get(Port(component.name, acts.port), [])
            sensed = {f"{component.name}.{acts.quantity}", *(f"{mate.name}.pressure" for mate in mates)}
            if sensed & set(channels):
                value = float(getattr(figures, acts.parameter))
                words = f"{acts.words} {express(value, 'pressure', system)}"
                groups.setdefault((value, words), []).append(title(run, component))
    for (value, words), titles in groups.items():
        yield Limit(value, f"{titles[0]} {words}{_also(titles)}")


def _also(titles: Sequence[str]) -> str:
    if len(titles) == 1:
        return ""
    return f", as does {titles[1]}" if len(titles) == 2 else f", as do {len(titles) - 1} others"


def _together(run: Run) -> dict[Port, list[Component]]:
    """Of every port that is used, the components joined to it whose pressure it has."""
    number = nodes(run.circuit)
    joined: dict[int, list[Component]] = {}
    for port, node in number.items():
        component = run.circuit.components[port.component]
        if component.type in OPEN_TO_PORTS:
            joined.setdefault(node, []).append(component)
    return {port: joined.get(node, []) for port, node in number.items()}
