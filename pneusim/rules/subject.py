"""What is tested: one vehicle alone, or a whole combination, and the parts of it that procedures need."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Any

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Circuit, Component, Vehicle
from pneusim.parts.base import Part
from pneusim.parts.registry import part
from pneusim.rules.finding import NotJudged

POWERED = ("truck", "tractor", "bus")
TOWED = ("semitrailer", "full_trailer", "centre_axle_trailer", "dolly")


@dataclass(frozen=True)
class Subject:
    """A vehicle, or a combination, on the test bench.

    ``circuit`` holds its components alone, under the names of the file.  Look-ups raise `NotJudged` where what they
    look for is missing or ambiguous.
    """

    circuit: Circuit
    vehicle: Vehicle
    combination: tuple[Vehicle, ...] = ()

    @property
    def name(self) -> str:
        """Name of the unit, "" where the file is one vehicle."""
        return self.vehicle.name

    @property
    def powered(self) -> bool:
        """Whether it has an engine."""
        return self.vehicle.kind in POWERED

    @property
    def towed(self) -> bool:
        """Whether it is towed."""
        return self.vehicle.kind in TOWED

    def all(self, *types: str) -> list[Component]:
        """Components of some part types, in the order of the file."""
        return [component for component in self.circuit.components.values() if component.type in types]

    def one(self, kind: str) -> Component:
        """The only component of a part type."""
        found = self.all(kind)
        words = part(kind).title.lower()
        if not found:
            raise NotJudged(f"the circuit has no {words}")
        if len(found) > 1:
            raise NotJudged(f"the circuit has {len(found)} of type {words}: {', '.join(c.name for c in found)}")
        return found[0]

    def head(self, role: str, end: str) -> Component:
        """The coupling head of a line at one end of the vehicle."""
        found = self.heads(role, end)
        if len(found) != 1:
            raise NotJudged(f"the circuit has {len(found) or 'no'} {role} coupling heads at its {end} end")
        return found[0]

    def heads(self, role: str, end: str) -> list[Component]:
        """The coupling heads of a line at one end of the vehicle."""
        heads = self.all("coupling_head")
        return [head for head in heads if self.figure(head, "role") == role and self.figure(head, "end") == end]

    @property
    def brakes(self) -> list[Component]:
        """The brake actuators."""
        found = self.all(*ACTUATORS)
        if not found:
            raise NotJudged("the circuit has no brakes")
        return found

    @property
    def spring_brakes(self) -> list[Component]:
        """The spring-brake actuators."""
        found = self.all("spring_brake_actuator")
        if not found:
            raise NotJudged("the circuit has no spring-brake actuators")
        return found

    def parking_control(self) -> tuple[str, float]:
        """The driver's control of the parking brake: its input, and where that is parked."""
        found = []
        for component in self.circuit.components.values():
            for spec in part(component.type).inputs:
                parked = [value for word, value in (spec.choices or {}).items() if word in ("applied", "parked")]
                found += [(f"{component.name}.{spec.name}", value) for value in parked]
        if len(found) != 1:
            names = f": {', '.join(name for name, _ in found)}" if found else ""
            raise NotJudged(f"the circuit has {len(found) or 'no'} controls of a parking brake{names}")
        return found[0]

    @property
    def reservoirs(self) -> list[Component]:
        """All reservoirs."""
        return self.all("reservoir")

    @property
    def service_reservoirs(self) -> list[Component]:
        """The reservoirs that the file marks ``service: true``."""
        found = [reservoir for reservoir in self.reservoirs if self.figure(reservoir, "service")]
        if not found:
            raise NotJudged("no reservoir is marked 'service: true'")
        return found

    def part_of(self, component: Component) -> Part:
        """The part of a component, defaults filled in."""
        return part(component.type)(**component.parameters)

    def figure(self, component: Component, name: str) -> Any:
        """A parameter of a component, its default where the file gives none [SI]."""
        model = self.part_of(component)
        figure = getattr(model, "figure", None)
        value = getattr(model, name)
        return figure(name) if value is None and figure else value

    def title(self, component: Component) -> str:
        """What people call a component of it, with its name where another is called the same."""
        title = self.circuit.title_of(component)
        others = (self.circuit.title_of(c) for c in self.circuit.components.values() if c.name != component.name)
        return f"{title} ({component.name})" if title in others else title

    def called(self, name: str) -> str:
        """What people call the component of a name."""
        return self.title(self.circuit.components[name])


def alone(circuit: Circuit, kinds: Collection[str]) -> list[Subject]:
    """Every vehicle of some kinds by itself, its coupling heads uncoupled."""
    return [Subject(_extracted(circuit, v), v) for v in circuit.vehicles if v.kind in kinds]


def whole(circuit: Circuit, kinds: Collection[str]) -> list[Subject]:
    """The combination as it stands, named after its first vehicle of one of the kinds."""
    vehicles = tuple(vehicle for vehicle in circuit.vehicles if vehicle.kind in kinds)
    return [Subject(circuit, replace(vehicles[0], name=""), vehicles)] if vehicles else []


def _extracted(circuit: Circuit, vehicle: Vehicle) -> Circuit:
    """The circuit of one vehicle; what joins it to others is left out."""
    components = {name: c for name, c in circuit.components.items() if c.unit == vehicle.name}
    lines = {
        name: line
        for name, line in circuit.lines.items()
        if not line.coupling and {line.start.component, line.end.component} <= components.keys()
    }
    inside = (tuple(p for p in joint.ports if p.component in components) for joint in circuit.joints)
    joints = tuple(replace(j, ports=ports) for j, ports in zip(circuit.joints, inside, strict=True) if len(ports) > 1)
    return replace(
        circuit, components=components, lines=lines, joints=joints, vehicles=(vehicle,), scenarios={}, variants={}
    )
