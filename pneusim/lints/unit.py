"""One unit of a circuit as lints see it: its components, their figures, and the network they stand in."""

from __future__ import annotations

from typing import Any

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Circuit, Component, Vehicle
from pneusim.lints.network import Network
from pneusim.parts.base import Part
from pneusim.parts.registry import part


class Unit:
    """A vehicle with its components. The network is that of the whole circuit, uncoupled."""

    def __init__(self, circuit: Circuit, vehicle: Vehicle, network: Network) -> None:
        self.circuit = circuit
        self.vehicle = vehicle
        self.network = network
        self.components = [c for c in circuit.components.values() if c.unit == vehicle.name]

    def all(self, *types: str) -> list[Component]:
        """Its components of some types, in the order of the file."""
        return [component for component in self.components if component.type in types]

    @property
    def service_reservoirs(self) -> list[Component]:
        """The reservoirs that the file marks ``service: true``."""
        return [reservoir for reservoir in self.all("reservoir") if self.figure(reservoir, "service")]

    def figure(self, component: Component, name: str) -> Any:
        """A parameter of a component, its default where the file gives none [SI]."""
        model: Part = part(component.type)(**component.parameters)
        value = getattr(model, name)
        by_size = getattr(model, "figure", None)
        return by_size(name) if value is None and by_size else value

    def heads(self, role: str, end: str) -> list[Component]:
        """Its coupling heads of a role at an end."""
        heads = self.all("coupling_head")
        return [head for head in heads if (self.figure(head, "role"), self.figure(head, "end")) == (role, end)]

    @property
    def chain(self) -> list[Vehicle]:
        """The unit and all vehicles behind it."""
        vehicles = list(self.circuit.vehicles)
        return vehicles[vehicles.index(self.vehicle) :] if self.vehicle in vehicles else [self.vehicle]

    def feeds_brakes(self, store: Component) -> bool:
        """Whether air of a reservoir can reach a service chamber of the unit."""
        fed = self.network.needs([store.name])
        return any(self.network.place(brake.name, "11") in fed for brake in self.all(*ACTUATORS))


def units(circuit: Circuit) -> list[Unit]:
    """The units of a circuit; components outside all vehicles, as on a rig, are units without a description."""
    network = Network(circuit)
    described = {vehicle.name for vehicle in circuit.vehicles}
    others = dict.fromkeys(c.unit for c in circuit.components.values() if c.unit not in described)
    vehicles = [*circuit.vehicles, *(Vehicle(name=name) for name in others)]
    return [Unit(circuit, vehicle, network) for vehicle in vehicles]
