"""The drive cycle that every failure goes through: drive, fail, wait, brake fully, release, park, drive off again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from pneusim.circuit.circuit import Circuit, Component
from pneusim.circuit.road import Road
from pneusim.circuit.scenario import Scenario, Step
from pneusim.errors import UsageError
from pneusim.parts.base import InputSpec
from pneusim.parts.registry import part
from pneusim.quantities import express

FAILS = 2.0
"""When the failure happens, so long the vehicle drives intact [s]."""

WAIT, HOLD, ROLL, STAND, OFF = 6.0, 4.0, 4.0, 6.0, 10.0
"""How long the driver drives on after the failure, holds the pedal down, lets it roll with the pedal up, stands parked,
and how long after the controls were put in again he is given to drive off [s]."""

MOVE, NEXT = 0.2, 0.2
"""Time to move the pedal, and from one control of the dash to the next [s]."""

SLOWS = 1.5
"""On a road the pedal is held so long that a vehicle comes to rest which slows so little [m/s2]; UN R13 asks 2.2 of
secondary braking (from memory, to be read against the official text)."""

DRIVING = {"lever": ("released",), "park": ("released",), "knob": ("in",), "shunt": ("driving",)}
"""Where the controls are while driving, by the name of the input."""

PARKED = {"lever": ("applied", "parked"), "knob": ("out",)}
"""Where the driver puts the controls of the dash to park."""

Positions = Mapping[str, tuple[str, ...]]

PEDAL = "foot_valve"
"""Type of the valve that the driver brakes with."""


@dataclass(frozen=True)
class Cycle:
    """A scenario of the intact vehicle, and when in it the failure happens [s]."""

    scenario: Scenario
    fails: float


def drive_cycle(circuit: Circuit, wait: float = WAIT, road: Road | None = None) -> Cycle:
    """The default cycle.

    Parameters
    ----------
    circuit : Circuit
    wait : float
        How long the driver drives on after the failure before he brakes [s].
    road : Road, optional
        What the vehicles roll on, and from what speed; without one nothing moves and only forces are compared.

    Raises
    ------
    UsageError
        If the circuit has no foot valve.
    """
    pedals = [c.name for c in circuit.components.values() if c.type == PEDAL]
    if not pedals:
        raise UsageError(
            f"{circuit.source or circuit.title} has no foot valve, so that it cannot go through the drive cycle; name "
            f"a scenario of the file as the cycle (--cycle SCENARIO); there are: {_scenarios(circuit)}"
        )
    brake = FAILS + wait
    release = brake + (max(HOLD, road.speed / SLOWS) if road else HOLD)
    park = release + ROLL
    off = park + STAND
    steps = [*_pedals(pedals, brake, 1.0), *_pedals(pedals, release, 0.0)]
    steps += [*_dash(circuit, park, PARKED), *_dash(circuit, off, DRIVING)]
    begin = {f"{c.name}.{spec.name}": to for c, spec, to in _controls(circuit, DRIVING)}
    title = f"Drive, fail at {express(FAILS, 'time')}, full application, release, park, drive off"
    if road:
        title += f", from {express(road.speed, 'speed')} on a {next(iter(road.surfaces))} road"
    return Cycle(Scenario("drive_cycle", title, off + OFF, begin, tuple(steps), road=road), FAILS)


def cycle_of(circuit: Circuit, scenario: str, at: float | None = None) -> Cycle:
    """A scenario of the file as the cycle, with the failure at a time [s]: 0 s if none is given.

    Raises
    ------
    UsageError
        If there is no such scenario, or the time is not within it.
    """
    if scenario not in circuit.scenarios:
        known = _scenarios(circuit)
        raise UsageError(f"{circuit.source or circuit.title} has no scenario {scenario!r} (there are: {known})")
    found, fails = circuit.scenarios[scenario], 0.0 if at is None else at
    if not 0.0 <= fails < found.lasts:
        raise UsageError(
            f"the failure cannot happen at {express(fails, 'time')}: {scenario!r} lasts {express(found.lasts, 'time')}"
        )
    return Cycle(replace(found, expectations=()), fails)


def _scenarios(circuit: Circuit) -> str:
    return ", ".join(circuit.scenarios) or "none"


def _pedals(names: list[str], at: float, to: float) -> Iterator[Step]:
    return (Step("set", at=at, target=f"{name}.travel", to=to, over=MOVE) for name in names)


def _dash(circuit: Circuit, at: float, positions: Positions) -> Iterator[Step]:
    """The driver's controls one after the other: park control, then trailer supply."""
    cabs = {c.unit for c in circuit.components.values() if c.type == PEDAL}
    found = [(c, spec, to) for c, spec, to in _controls(circuit, positions) if c.unit in cabs and spec.name in PARKED]
    found.sort(key=lambda control: list(PARKED).index(control[1].name))
    for count, (component, spec, to) in enumerate(found):
        over = 0.0 if spec.latched else MOVE
        yield Step("set", at=at + count * NEXT, target=f"{component.name}.{spec.name}", to=to, over=over)


def _controls(circuit: Circuit, positions: Positions) -> Iterator[tuple[Component, InputSpec, float]]:
    """Controls that have one of the positions, and its value."""
    for component in circuit.components.values():
        for spec in part(component.type).inputs:
            choices = spec.choices or {}
            for word in positions.get(spec.name, ()):
                if word in choices:
                    yield component, spec, choices[word]
