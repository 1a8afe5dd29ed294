"""Air disc brake: a lever in the caliper presses two pads on a disc."""

from __future__ import annotations

from pneusim.parts._foundation import BrakeBuilder, FoundationBrake
from pneusim.parts.base import parameter


class AirDisc(FoundationBrake):
    """A disc brake under `axles`; its torque is pushrod force times lever ratio, efficiency, 2 mu and radius.

    Pads do not help themselves, so the torque is proportional to their friction. The threshold and the friction of the
    brake are the actuator's.
    """

    type = "air_disc"
    title = "Air disc brake"
    symbol = "disc"
    characteristic = ("left.pushrod_force", "left.brake_torque")

    lever_ratio: float = parameter(
        "number", "air_disc.lever_ratio", above=0.0, high=50.0, doc="Force on a pad over pushrod force, friction aside."
    )
    efficiency: float = parameter(
        "fraction", "air_disc.efficiency", above=0.0, high=1.0, doc="Mechanical efficiency from pushrod to pads."
    )
    pad_friction: float = parameter(
        "number", "air_disc.pad_friction", above=0.0, high=1.0, doc="Coefficient of friction of the pads."
    )
    effective_radius: float = parameter(
        "length", "air_disc.effective_radius", above=0.0, high=0.5, doc="Radius at which the pads act on the disc."
    )
    thermal_mass: float | None = parameter(
        "mass",
        optional=True,
        above=0.0,
        high=500.0,
        doc="Mass of the disc at one wheel, which its heat warms on a road; without it the brake stays cool.",
    )
    fade: float = parameter(
        "fraction", "air_disc.fade", low=0.0, high=0.2, doc="Share of the torque lost for each 100 K above 66 degC."
    )
    hot_stroke: float = parameter(
        "length",
        "air_disc.hot_stroke",
        low=0.0,
        high=0.02,
        doc="What the free stroke grows by for each 100 K above 66 degC.",
    )

    example = """\
pneusim: 1
title: An air disc brake and its chamber
axles:
  1: {tyre_radius: 0.5 m, brake: {type: air_disc}}
components:
  source: {type: supply, pressure: 0 bar}
  left:   {type: brake_chamber, size: 24, axle: 1, side: left}
lines:
  rod: {from: source.1, to: left.11, bore: 9 mm, length: 3 m}
scenarios:
  apply:
    lasts: 2 s
    steps:
      - {at: 0.2 s, set: source.pressure, to: 6 bar, over: 0.5 s}
"""

    def gain(self, b: BrakeBuilder) -> float:
        """i eta 2 mu r_eff [m]: both pads are pressed with the caliper's force."""
        return self.lever_ratio * self.efficiency * 2.0 * self.pad_friction * self.effective_radius
