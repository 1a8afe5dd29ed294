"""The builder that one part lowers through: its own names and ports, on the engine's assembly."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from pneusim.circuit.circuit import Component
from pneusim.errors import UsageError
from pneusim.parts.base import Part
from pneusim.parts.builder import Node, Signal
from pneusim.simulate.heat import film_of

if TYPE_CHECKING:
    from pneusim.simulate.compiled import Compiler


class Scope:
    """Implements ``pneusim.parts.builder.Builder`` for one component."""

    def __init__(self, compiler: Compiler, component: Component, part: Part) -> None:
        self.compiler, self.component, self.part = compiler, component, part
        self.assembly = compiler.assembly
        self.name = component.name
        self._heat = component.heat or compiler.circuit.heat

    # ---- nodes

    @property
    def atmosphere(self) -> Node:
        """The atmosphere."""
        return Node(0)

    def node(self, port: str) -> Node:
        """Node of a port."""
        return Node(self.compiler.node_of(self.name, port))

    def connected(self, port: str) -> bool:
        """Whether something ends at the port."""
        return self.compiler.connected(self.name, port)

    def used(self, prefix: str) -> list[str]:
        """Port numbers in use that begin with a prefix."""
        return [number for number in self.compiler.ports.used[self.name] if number.startswith(prefix)]

    def plenum(self, name: str, volume: float, film: float) -> Node:
        """An inner space."""
        node = self.assembly.node(f"{self.name}.{name}")
        self.assembly.air(node, volume, film_of(self._heat, film))
        return Node(node)

    def air(
        self, node: Node, volume: float, film: float, *, pressure: float | None = None, storage: bool = False
    ) -> None:
        """A volume of air."""
        self.assembly.air(node, volume, film_of(self._heat, film), pressure, storage)
        if storage:
            self.compiler.storage[self.name] = node

    def supply(self, node: Node, pressure: Signal) -> None:
        """An ideal source."""
        self.assembly.ideal(node, pressure)

    def pressure(self, node: Node) -> Signal:
        """Gauge pressure."""
        return Signal(self.assembly.pressure(node))

    def temperature(self, node: Node) -> Signal:
        """Temperature."""
        return Signal(self.assembly.temperature(node))

    # ---- signals

    def constant(self, value: float) -> Signal:
        """A fixed number."""
        return Signal(self.assembly.tape.setting(f"{self.name}.constant", value))

    def input(self, name: str, initial: float | None = None) -> Signal:
        """An input."""
        return Signal(self.compiler.input(self.name, name, initial))

    def fault(self, name: str) -> Signal:
        """A fault."""
        return Signal(self.compiler.fault(self.name, name))

    def mode(self, name: str, initial: float, component: str | None = None) -> Signal:
        """A mode."""
        return Signal(self.compiler.mode(component or self.name, name, initial, own=component is None))

    def partner(self, name: str | None, kind: str) -> str:
        """Another component."""
        if name is not None:
            return name
        found = [
            c.name
            for c in self.compiler.circuit.components.values()
            if c.type == kind and c.unit == self.component.unit
        ]
        if len(found) != 1:
            raise UsageError(f"{self.name} needs one {kind} in its unit; there are {len(found)}")
        return found[0]

    def affine(self, constant: float, *terms: tuple[float, Signal]) -> Signal:
        """constant + sum of weight x signal."""
        return Signal(self.assembly.affine(constant, *terms))

    def table(self, x: Signal, points: Sequence[tuple[float, float]]) -> Signal:
        """Piecewise linear table."""
        return Signal(self.assembly.table(x, points))

    def minimum(self, a: Signal, b: Signal) -> Signal:
        """Smaller of two."""
        return Signal(self.assembly.minimum(a, b))

    def maximum(self, a: Signal, b: Signal) -> Signal:
        """Larger of two."""
        return Signal(self.assembly.maximum(a, b))

    def product(self, a: Signal, b: Signal) -> Signal:
        """Product of two."""
        return Signal(self.assembly.product(a, b))

    def ramp(self, x: Signal, start: float, width: float) -> Signal:
        """Smooth step."""
        return Signal(self.assembly.ramp(x, start, width))

    def forced(self, value: Signal, active: Signal, to: float) -> Signal:
        """A value that a fault overrides."""
        return Signal(self.assembly.forced(value, active, self.constant(to)))

    def frozen(self, value: Signal, stuck: Signal) -> Signal:
        """A value that a fault freezes."""
        return Signal(self.assembly.frozen(self.name, value, stuck))

    def follower(
        self, target: Signal, feedback: Signal, half_band: float, width: float, lag: float = 0.0
    ) -> tuple[Signal, Signal]:
        """Inlet and exhaust of a graded valve."""
        inlet, exhaust = self.assembly.follower(self.name, target, feedback, half_band, width, lag)
        return Signal(inlet), Signal(exhaust)

    def exclusive(self, a: Node, b: Node, middle: Node, width: float) -> tuple[Signal, Signal]:
        """The seats of a double check valve."""
        first, second = self.assembly.exclusive(self.name, a, b, middle, width)
        return Signal(first), Signal(second)

    def travel(self, mode: Signal, tau: float) -> Signal:
        """Something moved by a mode."""
        return Signal(self.assembly.travel(f"{self.name}.position", mode, tau))

    def play(self, x: Signal, opens: float, closes: float, width: float, tau: float) -> Signal:
        """A position with memory."""
        return Signal(self.assembly.play(f"{self.name}.position", x, opens, closes, width, tau))

    # ---- flows

    def restriction(
        self, a: Node, b: Node, conductance: float, critical_ratio: float, opening: Signal | None = None
    ) -> Signal:
        """ISO 6358 flow."""
        return Signal(self.assembly.restriction(self.name, a, b, conductance, critical_ratio, opening))

    def leak(self, node: Node, hole: Signal, discharge: float = 0.7) -> Signal:
        """A hole to the atmosphere."""
        return Signal(self.assembly.hole(self.name, node, hole, discharge))

    def compressor(
        self, node: Node, speed: Signal, loaded: Signal, *, displacement: float, efficiency: float,
        clearance: float, temperature: float,
    ) -> Signal:  # fmt: skip
        """Delivery of a compressor."""
        return Signal(
            self.assembly.compressor(
                self.name, node, speed, loaded, displacement, efficiency, clearance, temperature
            )
        )

    def brake_chamber(
        self, node: Node, *, area: float, stroke: float, decline: float, return_preload: float, return_rate: float,
        free_stroke: Signal, brake_stiffness: float, friction: float, friction_share: float,
    ) -> tuple[Signal, Signal]:  # fmt: skip
        """A service chamber."""
        rod = _rod(area, stroke, decline, return_preload, return_rate, brake_stiffness, friction, friction_share)
        s, force = self.assembly.chamber(self.name, node, rod, self.compiler.hot_stroke(self.component, free_stroke))
        return Signal(s), Signal(force)

    def spring_brake(
        self, service: Node, spring: Node, *, area: float, stroke: float, decline: float, return_preload: float,
        return_rate: float, free_stroke: Signal, brake_stiffness: float, friction: float, friction_share: float,
        piston_area: float, spring_force: Signal, spring_rate: Signal, piston_travel: float, piston_friction: float,
    ) -> tuple[Signal, Signal, Signal]:  # fmt: skip
        """A service chamber and a spring piston on one pushrod."""
        rod = _rod(area, stroke, decline, return_preload, return_rate, brake_stiffness, friction, friction_share)
        rod |= {"piston_area": piston_area, "z_max": piston_travel, "spring_friction": piston_friction}
        s, force, z = self.assembly.spring_brake(
            self.name, service, spring, rod, self.compiler.hot_stroke(self.component, free_stroke), spring_force,
            spring_rate,
        )  # fmt: skip
        return Signal(s), Signal(force), Signal(z)

    # ---- what is told

    def channel(self, name: str, signal: Signal) -> None:
        """Offer a channel."""
        spec = next(spec for spec in self.part.channels if spec.name == name)
        title = self.compiler.circuit.title_of(self.component)
        self.compiler.channel(f"{self.name}.{name}", signal, spec.dimension, f"{title}: {spec.words}")

    def event(
        self, name: str, signal: Signal, level: float, direction: int, *,
        armed: Mapping[Signal, float] | None = None, sets: Mapping[Signal, float] | None = None,
    ) -> None:  # fmt: skip
        """Watch for an event."""
        plain = {int(k): v for k, v in (armed or {}).items()}, {int(k): v for k, v in (sets or {}).items()}
        self.assembly.event((self.name, name), signal, level, direction, *plain)


def _rod(
    area: float, stroke: float, decline: float, return_preload: float, return_rate: float, brake_stiffness: float,
    friction: float, friction_share: float,
) -> dict[str, float]:  # fmt: skip
    return {
        "area": area, "s_max": stroke, "decline": decline, "return_preload": return_preload,
        "return_rate": return_rate, "brake_stiffness": brake_stiffness, "friction_base": friction,
        "friction_share": friction_share,
    }  # fmt: skip
