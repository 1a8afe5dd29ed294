"""The protocol that ``Part.lower`` talks to: volumes, flows, signals, modes, events, channels.

The builder is scoped to one component: names and ports given to it are that component's own.
Signals are gauge pressures [Pa], strokes [m], inputs, modes and what is computed from them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NewType, Protocol

Node = NewType("Node", int)
Signal = NewType("Signal", int)


class Builder(Protocol):
    """What a part may ask for.  All values SI, pressures gauge."""

    @property
    def atmosphere(self) -> Node:
        """The atmosphere."""

    def node(self, port: str) -> Node:
        """Node that the port belongs to; an unconnected exhaust is the atmosphere, another unconnected port a
        closed stub."""

    def connected(self, port: str) -> bool:
        """Whether a line or a joint ends at the port (a plugged port is not connected)."""

    def used(self, prefix: str) -> list[str]:
        """Port numbers in use that begin with ``prefix``, in order (``used("2")`` -> ["21", "22"])."""

    def plenum(self, name: str, volume: float, film: float) -> Node:
        """An inner space of the part: volume [m3], wall film coefficient [W/(m2 K)]; its wall area is 6
        V^(2/3)."""

    def air(
        self, node: Node, volume: float, film: float, *, pressure: float | None = None, storage: bool = False
    ) -> None:
        """Add a volume of air [m3] to a node.  ``pressure`` is its gauge pressure at the start; ``storage``
        marks a reservoir: held while the circuit settles."""

    def supply(self, node: Node, pressure: Signal) -> None:
        """Make the node an ideal source at the ambient temperature whose gauge pressure is the signal."""

    def pressure(self, node: Node) -> Signal:
        """Gauge pressure of a node [Pa]."""

    def temperature(self, node: Node) -> Signal:
        """Temperature of the air in a node [K]."""

    def constant(self, value: float) -> Signal:
        """A number that never changes."""

    def input(self, name: str, initial: float | None = None) -> Signal:
        """A declared input that is not latched.

        ``initial`` replaces the declared initial value where a parameter of the part sets it; ``begin``
        counts over both.
        """

    def fault(self, name: str) -> Signal:
        """A declared fault: 0 until a scenario sets it."""

    def mode(self, name: str, initial: float, component: str | None = None) -> Signal:
        """A discrete mode, changed by events and, if a latched input has its name, by the scenario.

        ``component`` names another part's mode (a governor loads its compressor); the owner's initial counts.
        """

    def partner(self, name: str | None, kind: str) -> str:
        """Full name of another component of the same unit: the one named, or the only one of that type."""

    def affine(self, constant: float, *terms: tuple[float, Signal]) -> Signal:
        """constant + sum of weight x signal."""

    def table(self, x: Signal, points: Sequence[tuple[float, float]]) -> Signal:
        """Piecewise linear table, constant outside."""

    def minimum(self, a: Signal, b: Signal) -> Signal:
        """The smaller of two signals."""

    def maximum(self, a: Signal, b: Signal) -> Signal:
        """The larger of two signals."""

    def product(self, a: Signal, b: Signal) -> Signal:
        """The product of two signals."""

    def ramp(self, x: Signal, start: float, width: float) -> Signal:
        """Smooth step 0..1 of (x - start)/width."""

    def forced(self, value: Signal, active: Signal, to: float) -> Signal:
        """``value``, or ``to`` while the fault ``active`` is set."""

    def frozen(self, value: Signal, stuck: Signal) -> Signal:
        """``value``, or what it was when the fault ``stuck`` was set, for as long as it is set."""

    def follower(
        self, target: Signal, feedback: Signal, half_band: float, width: float, lag: float = 0.0
    ) -> tuple[Signal, Signal]:
        """Openings (inlet, exhaust) of a graded valve that makes ``feedback`` follow ``target`` [Pa]; dead
        zone +-half_band, seats fully open ``width`` beyond it, first-order spool lag [s] (0 = none)."""

    def exclusive(self, a: Node, b: Node, middle: Node, width: float) -> tuple[Signal, Signal]:
        """Openings of a double check valve between two inlets and one outlet."""

    def travel(self, mode: Signal, tau: float) -> Signal:
        """Position 0..1 of something moved by a mode, first order [s]; starts at rest at the mode's value."""

    def play(self, x: Signal, opens: float, closes: float, width: float, tau: float) -> Signal:
        """Position 0..1 with memory: opens as ``x`` rises through ``opens``, shuts as it falls through
        ``closes``."""

    def restriction(
        self, a: Node, b: Node, conductance: float, critical_ratio: float, opening: Signal | None = None
    ) -> Signal:
        """ISO 6358 flow from a to b: sonic conductance C [m3/(s Pa)], b [-], times an opening; returns the
        mass flow [kg/s]."""

    def leak(self, node: Node, hole: Signal, discharge: float = 0.7) -> Signal:
        """Flow to the atmosphere through a sharp hole of the signal's diameter [m] (0 = none)."""

    def compressor(
        self,
        node: Node,
        speed: Signal,
        loaded: Signal,
        *,
        displacement: float,
        efficiency: float,
        clearance: float,
        temperature: float,
    ) -> Signal:
        """Delivery into a node: speed [rev/s], displacement [m3/rev], delivery temperature [K]; returns
        kg/s."""

    def brake_chamber(
        self,
        node: Node,
        *,
        area: float,
        stroke: float,
        decline: float,
        return_preload: float,
        return_rate: float,
        free_stroke: Signal,
        brake_stiffness: float,
        friction: float,
        friction_share: float,
    ) -> tuple[Signal, Signal]:
        """A service chamber pushing a brake; returns (stroke [m], pushrod force [N]).  Sweeps its node's
        volume."""

    def spring_brake(
        self,
        service: Node,
        spring: Node,
        *,
        area: float,
        stroke: float,
        decline: float,
        return_preload: float,
        return_rate: float,
        free_stroke: Signal,
        brake_stiffness: float,
        friction: float,
        friction_share: float,
        piston_area: float,
        spring_force: Signal,
        spring_rate: Signal,
        piston_travel: float,
        piston_friction: float,
    ) -> tuple[Signal, Signal, Signal]:
        """A service chamber and a spring piston on one pushrod; returns (stroke [m], pushrod force [N],
        spring piston travel [m])."""

    def channel(self, name: str, signal: Signal) -> None:
        """Offer a declared channel."""

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
        """A declared event: the signal passes ``level`` (+1 rising, -1 falling) while every mode in ``armed``
        has the value given; then the modes in ``sets`` take theirs.  A level that already holds fires at
        once.

        The signal may be any signal, a mode or a fault too.  Events rest while a circuit charges before the
        start; what holds once it has charged fires then.
        """
