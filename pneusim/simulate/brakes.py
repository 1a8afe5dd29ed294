"""Foundation brakes: the torque of every actuator on an axle with a brake, and the forces that follow from it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pneusim.circuit.braking import BrakedAxle, brake_channels, braked_axles
from pneusim.circuit.circuit import Circuit, Component
from pneusim.circuit.statics import as_loaded
from pneusim.errors import UsageError
from pneusim.parts._foundation import FoundationBrake, Shoes
from pneusim.parts.builder import Signal
from pneusim.parts.registry import part
from pneusim.physics.shoes import equal_travel_factor, shoe_gain
from pneusim.simulate.made import made

if TYPE_CHECKING:
    from pneusim.simulate.compiled import Compiler


class BrakeScope:
    """Implements ``pneusim.parts._foundation.BrakeBuilder`` for one actuator."""

    def __init__(self, compiler: Compiler, brake: FoundationBrake, axle: BrakedAxle, actuator: Component) -> None:
        self.compiler, self.brake, self.axle, self.actuator = compiler, brake, axle, actuator

    @property
    def pushrod_force(self) -> Signal:
        """Force of the pushrod."""
        return Signal(self.compiler.compiled.channels[f"{self.actuator.name}.pushrod_force"].value)

    def affine(self, constant: float, *terms: tuple[float, Signal]) -> Signal:
        """constant + sum of weight x signal."""
        return Signal(self.compiler.assembly.affine(constant, *terms))

    def shoe_factor(self, shoes: Shoes) -> float:
        """Shoe factor of two shoes of equal travel."""
        try:
            return equal_travel_factor(*(shoe_gain(*shoes, leading=leading) for leading in (True, False)))
        except ValueError as problem:
            place = self.axle.axle.place
            at = f"{place}: " if place.line else ""
            raise UsageError(f"{at}{self.axle.name}: {problem}; give less lining_friction or a longer hinge") from None

    def channel(self, name: str, signal: Signal) -> None:
        """Offer a channel of the actuator."""
        spec = next(spec for spec in self.brake.channels if spec.name == name)
        title = self.compiler.circuit.title_of(self.actuator)
        full = f"{self.actuator.name}.{name}"
        self.compiler.channel(full, signal, spec.dimension, f"{title}: {spec.words}", derived=True)


def made_brakes(circuit: Circuit) -> dict[str, FoundationBrake]:
    """The brakes of all axles that have one and an actuator, by axle."""
    return {axle.name: _made(axle) for axle in braked_axles(circuit.vehicles, circuit.components)}


def add_brakes(compiler: Compiler) -> None:
    """Lower the brake of every axle for each of its actuators, then sum up."""
    circuit, channels = compiler.circuit, compiler.compiled.channels
    for axle in braked_axles(circuit.vehicles, circuit.components):
        brake = compiler.compiled.brakes[axle.name]
        for name in axle.actuators:
            brake.press(BrakeScope(compiler, brake, axle, circuit.components[name]))
    for channel in brake_channels(as_loaded(circuit.vehicles, compiler.scenario.road), circuit.components):
        terms = [(weight, channels[name].value) for weight, name in channel.terms]
        owner = circuit.components.get(channel.owner)
        title = circuit.title_of(owner) if owner else channel.owner.replace(".", " ").replace("_", " ")
        value = compiler.assembly.affine(0.0, *terms)
        compiler.channel(channel.name, value, channel.dimension, f"{title}: {channel.words}", derived=True)


def _made(axle: BrakedAxle) -> FoundationBrake:
    kind = part(axle.axle.brake["type"])
    if not issubclass(kind, FoundationBrake):
        raise UsageError(f"{axle.name}: a {kind.type} is no foundation brake")
    given = {name: value for name, value in axle.axle.brake.items() if name != "type"}
    return made(kind, f"{axle.name}.brake", given)
