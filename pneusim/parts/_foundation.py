"""What foundation brakes share: they stand under ``axles`` and turn the pushrod force of an actuator into torque."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, NamedTuple, Protocol

from pneusim.parts.base import ChannelSpec, Part
from pneusim.parts.builder import Signal


class Shoes(NamedTuple):
    """Geometry of two equal hinged shoes in a drum: friction [-], lengths [m], angles from the hinge [rad]."""

    mu: float
    radius: float
    hinge: float
    start: float
    end: float
    arm: float


class BrakeBuilder(Protocol):
    """What a foundation brake may ask for, once for every actuator that works it."""

    @property
    def pushrod_force(self) -> Signal:
        """Force of the actuator's pushrod on the brake [N]."""

    def affine(self, constant: float, *terms: tuple[float, Signal]) -> Signal:
        """constant + sum of weight x signal."""

    def shoe_factor(self, shoes: Shoes) -> float:
        """Shoe factor C* of shoes that a cam moves by equal travel [-]."""

    def channel(self, name: str, signal: Signal) -> None:
        """Offer a declared channel of the actuator."""


class FoundationBrake(Part):
    """A brake that lowers once for every actuator on its axle.

    Return spring, friction and the free stroke of the linings belong to the actuator, whose pushrod force is what is
    left for the linings: a brake has no threshold and no hysteresis of its own, so that neither counts twice.

    Attributes
    ----------
    thermal_mass : float or None
        Mass that the brake's heat warms on a road [kg]; None = it stays cool.
    fade : float
        Share of the torque lost for each 100 K above 66 degC [-].
    hot_stroke : float
        What the free stroke grows by for each 100 K above 66 degC [m].
    """

    if TYPE_CHECKING:  # parameters of the subclasses, in their order
        thermal_mass: float | None
        fade: float
        hot_stroke: float

    channels: ClassVar[tuple[ChannelSpec, ...]] = (
        ChannelSpec("brake_torque", "torque", "torque of the foundation brake"),
    )

    def gain(self, b: BrakeBuilder) -> float:
        """Torque over pushrod force [m]."""
        raise NotImplementedError

    def press(self, b: BrakeBuilder) -> None:
        """Describe to the builder what one actuator does to the brake."""
        b.channel("brake_torque", b.affine(0.0, (self.gain(b), b.pushrod_force)))
