"""A builder that records what a part asks for, and that can evaluate its signals at rest."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from pneusim.parts._foundation import FoundationBrake, Shoes
from pneusim.parts.base import Part
from pneusim.parts.builder import Node, Signal


@dataclass
class Moment:
    """Values at one moment: pressures by port or plenum, inputs, faults, modes; ``held`` by any memory."""

    pressures: Mapping[str, float] = field(default_factory=dict)
    inputs: Mapping[str, float] = field(default_factory=dict)
    faults: Mapping[str, float] = field(default_factory=dict)
    modes: Mapping[str, float] = field(default_factory=dict)
    held: float = 0.0


@dataclass
class Event:
    name: str
    signal: Signal
    level: float
    direction: int
    armed: dict[Signal, float]
    sets: dict[Signal, float]


Value = Callable[[Moment], float]


def ramp(x: float) -> float:
    x = min(max(x, 0.0), 1.0)
    return x * x * (3.0 - 2.0 * x)


class Recorder:
    """Implements the builder protocol for one part."""

    def __init__(self, part: Part, ports: Sequence[str]) -> None:
        self.part, self.ports = part, tuple(ports)
        self.nodes: list[str] = ["atmosphere"]
        self.values: list[Value] = []
        self.input_names: list[str] = []
        self.initial: dict[str, float] = {}
        self.fault_names: list[str] = []
        self.modes: dict[tuple[str | None, str], Signal] = {}
        self.channels: dict[str, Signal] = {}
        self.events: list[Event] = []
        self.restrictions: list[tuple[str, str, float, Signal | None]] = []
        self.airs: list[tuple[str, float, float, float | None, bool]] = []
        self.sources: dict[str, Signal] = {}
        self.leaks: list[tuple[str, Signal]] = []
        self.actuators: list[dict[str, Any]] = []

    # --- reading it back
    def at(self, signal: Signal, moment: Moment | None = None) -> float:
        return self.values[signal](moment or Moment())

    def channel_at(self, name: str, moment: Moment | None = None) -> float:
        return self.at(self.channels[name], moment)

    def event_named(self, name: str) -> Event:
        (found,) = [event for event in self.events if event.name == name]
        return found

    def _signal(self, value: Value) -> Signal:
        self.values.append(value)
        return Signal(len(self.values) - 1)

    # --- nodes
    @property
    def atmosphere(self) -> Node:
        return Node(0)

    def _declared(self, port: str) -> str:
        known = {spec.number for spec in self.part.ports}
        assert port in known, f"{self.part.type} asks for port {port!r}, which it does not declare"
        return port

    def node(self, port: str) -> Node:
        name = self._declared(port)
        if name not in self.nodes:
            self.nodes.append(name)
        return Node(self.nodes.index(name))

    def connected(self, port: str) -> bool:
        self._declared(port)
        return port in self.ports

    def used(self, prefix: str) -> list[str]:
        return sorted(port for port in self.ports if port.startswith(prefix))

    def plenum(self, name: str, volume: float, film: float) -> Node:
        assert name not in self.nodes
        self.nodes.append(name)
        self.air(Node(len(self.nodes) - 1), volume, film)
        return Node(len(self.nodes) - 1)

    def air(
        self, node: Node, volume: float, film: float, *, pressure: float | None = None, storage: bool = False
    ) -> None:
        assert volume > 0.0
        assert film > 0.0
        self.airs.append((self.nodes[node], volume, film, pressure, storage))

    def supply(self, node: Node, pressure: Signal) -> None:
        self.sources[self.nodes[node]] = pressure

    # --- signals
    def pressure(self, node: Node) -> Signal:
        name = self.nodes[node]
        return self._signal(lambda m: 0.0 if name == "atmosphere" else m.pressures.get(name, 0.0))

    def temperature(self, node: Node) -> Signal:
        return self._signal(lambda m: 293.15)

    def constant(self, value: float) -> Signal:
        return self._signal(lambda m: value)

    def input(self, name: str, initial: float | None = None) -> Signal:
        (spec,) = [spec for spec in self.part.inputs if spec.name == name]
        assert not spec.latched, f"{name} is latched: ask for it as a mode"
        self.input_names.append(name)
        start = spec.initial if initial is None else initial
        self.initial[name] = start
        return self._signal(lambda m: m.inputs.get(name, start))

    def fault(self, name: str) -> Signal:
        assert name in {spec.name for spec in self.part.faults}, f"fault {name!r} is not declared"
        self.fault_names.append(name)
        return self._signal(lambda m: m.faults.get(name, 0.0))

    def mode(self, name: str, initial: float, component: str | None = None) -> Signal:
        if any(spec.name == name and spec.latched for spec in self.part.inputs):
            self.input_names.append(name)
        key = (component, name)
        if key not in self.modes:
            self.modes[key] = self._signal(lambda m: m.modes.get(name, initial))
        return self.modes[key]

    def partner(self, name: str | None, kind: str) -> str:
        return name or f"the_{kind}"

    def affine(self, constant: float, *terms: tuple[float, Signal]) -> Signal:
        return self._signal(lambda m: constant + sum(w * self.at(s, m) for w, s in terms))

    def table(self, x: Signal, points: Sequence[tuple[float, float]]) -> Signal:
        assert all(a[0] < b[0] for a, b in pairwise(points)), f"table does not rise: {points}"
        return self._signal(lambda m: _interpolate(self.at(x, m), points))

    def minimum(self, a: Signal, b: Signal) -> Signal:
        return self._signal(lambda m: min(self.at(a, m), self.at(b, m)))

    def maximum(self, a: Signal, b: Signal) -> Signal:
        return self._signal(lambda m: max(self.at(a, m), self.at(b, m)))

    def product(self, a: Signal, b: Signal) -> Signal:
        return self._signal(lambda m: self.at(a, m) * self.at(b, m))

    def ramp(self, x: Signal, start: float, width: float) -> Signal:
        assert width > 0.0
        return self._signal(lambda m: ramp((self.at(x, m) - start) / width))

    def forced(self, value: Signal, active: Signal, to: float) -> Signal:
        return self._signal(lambda m: to if self.at(active, m) > 0.0 else self.at(value, m))

    def frozen(self, value: Signal, stuck: Signal) -> Signal:
        return self._signal(lambda m: m.held if self.at(stuck, m) > 0.0 else self.at(value, m))

    def follower(
        self, target: Signal, feedback: Signal, half_band: float, width: float, lag: float = 0.0
    ) -> tuple[Signal, Signal]:
        def position(m: Moment) -> float:
            error = self.at(target, m) - self.at(feedback, m)
            beyond = max(abs(error) - half_band, 0.0) / width
            return beyond if error > 0 else -beyond

        return self._signal(lambda m: ramp(position(m))), self._signal(lambda m: ramp(-position(m)))

    def exclusive(self, a: Node, b: Node, middle: Node, width: float) -> tuple[Signal, Signal]:
        pa, pb = self.pressure(a), self.pressure(b)
        first = self._signal(lambda m: float(self.at(pa, m) >= self.at(pb, m)))
        return first, self.affine(1.0, (-1.0, first))

    def travel(self, mode: Signal, tau: float) -> Signal:
        assert tau > 0.0
        return self._signal(lambda m: self.at(mode, m))

    def play(self, x: Signal, opens: float, closes: float, width: float, tau: float) -> Signal:
        assert opens > closes
        assert tau > 0.0

        def position(m: Moment) -> float:
            low, high = ramp((self.at(x, m) - opens) / width), ramp((self.at(x, m) - closes) / width)
            return min(max(m.held, low), high)

        return self._signal(position)

    # --- flows
    def restriction(
        self, a: Node, b: Node, conductance: float, critical_ratio: float, opening: Signal | None = None
    ) -> Signal:
        assert conductance > 0.0
        assert 0.0 <= critical_ratio < 1.0
        self.restrictions.append((self.nodes[a], self.nodes[b], conductance, opening))
        return self._signal(lambda m: 0.0)

    def leak(self, node: Node, hole: Signal, discharge: float = 0.7) -> Signal:
        self.leaks.append((self.nodes[node], hole))
        return self._signal(lambda m: 0.0)

    def compressor(self, node: Node, speed: Signal, loaded: Signal, **figures: float) -> Signal:
        assert set(figures) == {"displacement", "efficiency", "clearance", "temperature"}
        return self._signal(lambda m: self.at(speed, m) * self.at(loaded, m))

    def brake_chamber(self, node: Node, **figures: Any) -> tuple[Signal, Signal]:
        self.actuators.append(figures)
        return self.constant(0.0), self.constant(0.0)

    def spring_brake(self, service: Node, spring: Node, **figures: Any) -> tuple[Signal, Signal, Signal]:
        self.actuators.append(figures)
        return self.constant(0.0), self.constant(0.0), self.constant(0.0)

    # --- telling
    def channel(self, name: str, signal: Signal) -> None:
        assert name not in self.channels, f"channel {name!r} twice"
        self.channels[name] = signal

    def event(
        self,
        name: str,
        signal: Signal,
        level: float,
        direction: int,
        *,
        armed: Mapping[Signal, float] | None = None,
        sets: Mapping[Signal, float] | None = None,
    ) -> None:
        known = set(self.modes.values())
        assert set(armed or {}) | set(sets or {}) <= known, (
            f"event {name!r} is armed by or sets what is no mode"
        )
        self.events.append(Event(name, signal, level, direction, dict(armed or {}), dict(sets or {})))


def _interpolate(x: float, points: Sequence[tuple[float, float]]) -> float:
    if x <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return points[-1][1]


def numbers(part: type[Part], optional: bool = True) -> list[str]:
    """Port numbers in use: two of every ``many`` port, and the optional ones if wanted."""
    found: list[str] = []
    for spec in part.ports:
        if spec.many:
            found += ["1", "2"] if spec.number == "*" else [f"{spec.number}1", f"{spec.number}2"]
        elif optional or not (spec.optional or spec.exhaust):
            found.append(spec.number)
    return found


class BrakeRecorder(Recorder):
    """Implements the builder protocol of foundation brakes, for one actuator."""

    @property
    def pushrod_force(self) -> Signal:
        return self._signal(lambda m: m.pressures["pushrod_force"])

    def shoe_factor(self, shoes: Shoes) -> float:
        return shoes.mu


def lowered(part: Part, optional: bool = True) -> Recorder:
    """The part, lowered into a recorder; a foundation brake as one actuator presses it."""
    if isinstance(part, FoundationBrake):
        pressed = BrakeRecorder(part, ())
        part.press(pressed)
        return pressed
    recorder = Recorder(part, numbers(type(part), optional))
    part.lower(recorder)
    return recorder
