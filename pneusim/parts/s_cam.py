"""S-cam drum brake: a slack adjuster turns a cam that spreads two shoes."""

from __future__ import annotations

from pydantic import model_validator

from pneusim.parts._foundation import BrakeBuilder, FoundationBrake, Shoes
from pneusim.parts.base import parameter

GEOMETRY = ("lining_friction", "hinge", "lining_start", "lining_end", "shoe_arm")


class SCam(FoundationBrake):
    """A drum brake under `axles`; its torque is pushrod force times arm, efficiency, drum over cam radius and C*/2.

    Give its shoe factor C*, or the friction and geometry of its shoes, from which C* follows for shoes that the cam
    moves by equal travel. The threshold and the friction of the brake are the actuator's.
    """

    type = "s_cam"
    title = "S-cam drum brake"
    symbol = "drum"
    characteristic = ("left.pushrod_force", "left.brake_torque")

    arm: float = parameter("length", "s_cam.arm", above=0.0, high=0.5, doc="Length of the slack adjuster.")
    cam_radius: float = parameter("length", "s_cam.cam_radius", above=0.0, high=0.1, doc="Effective radius of the cam.")
    drum_radius: float = parameter("length", "s_cam.drum_radius", above=0.0, high=0.5, doc="Inner radius of the drum.")
    efficiency: float = parameter(
        "fraction", "s_cam.efficiency", above=0.0, high=1.0, doc="Mechanical efficiency from pushrod to shoes."
    )
    shoe_factor: float = parameter(
        "number", "s_cam.shoe_factor", above=0.0, high=10.0, doc="Shoe factor C*: drag over mean force at a shoe's tip."
    )
    lining_friction: float | None = parameter(
        "number", optional=True, above=0.0, high=1.0, doc="Coefficient of friction of the linings, in place of C*."
    )
    hinge: float | None = parameter(
        "length", optional=True, above=0.0, high=0.5, doc="Distance of a shoe's hinge from the drum's centre."
    )
    lining_start: float | None = parameter(
        "angle", optional=True, low=0.0, high=3.1416, doc="Angle from the hinge to the near end of the lining."
    )
    lining_end: float | None = parameter(
        "angle", optional=True, above=0.0, high=3.1416, doc="Angle from the hinge to the far end of the lining."
    )
    shoe_arm: float | None = parameter(
        "length", optional=True, above=0.0, high=1.0, doc="Distance of the cam's force on a shoe from its hinge."
    )
    thermal_mass: float | None = parameter(
        "mass",
        optional=True,
        above=0.0,
        high=500.0,
        doc="Mass of the drum at one wheel, which its heat warms on a road; without it the brake stays cool.",
    )
    fade: float = parameter(
        "fraction", "s_cam.fade", low=0.0, high=0.2, doc="Share of the torque lost for each 100 K above 66 degC."
    )
    hot_stroke: float = parameter(
        "length",
        "s_cam.hot_stroke",
        low=0.0,
        high=0.02,
        doc="What the free stroke grows by for each 100 K above 66 degC.",
    )

    example = """\
pneusim: 1
title: An S-cam brake and its chamber
axles:
  1: {tyre_radius: 0.5 m, brake: {type: s_cam}}
components:
  source: {type: supply, pressure: 0 bar}
  left:   {type: brake_chamber, size: 30, axle: 1, side: left}
lines:
  rod: {from: source.1, to: left.11, bore: 9 mm, length: 3 m}
scenarios:
  apply:
    lasts: 2 s
    steps:
      - {at: 0.2 s, set: source.pressure, to: 6 bar, over: 0.5 s}
"""

    @model_validator(mode="after")
    def _one_shoe_factor(self) -> SCam:
        given = [name for name in GEOMETRY if getattr(self, name) is not None]
        if given and len(given) < len(GEOMETRY):
            lacking = ", ".join(name for name in GEOMETRY if name not in given)
            raise ValueError(f"the shoes are described in part: {lacking} are missing beside {', '.join(given)}")
        if given and "shoe_factor" in self.model_fields_set:
            raise ValueError("shoe_factor stands beside the geometry of the shoes, from which it follows")
        if self.lining_start is not None and self.lining_end is not None and self.lining_start >= self.lining_end:
            raise ValueError("lining_start must be smaller than lining_end")
        return self

    def catalogue_key(self, parameter: str) -> str | None:
        """Where a default comes from; C* has none where it follows from the shoes."""
        follows = parameter == "shoe_factor" and self.lining_friction is not None
        return None if follows else super().catalogue_key(parameter)

    def gain(self, b: BrakeBuilder) -> float:
        """L eta (r_d/r_c) C*/2 [m]: the cam presses the two shoes with F L eta/r_c in all.

        Limpert, Brake Design and Safety, from memory, to be read against the book.
        """
        return self.arm * self.efficiency * self.drum_radius / self.cam_radius * 0.5 * self._factor(b)

    def _factor(self, b: BrakeBuilder) -> float:
        mu, hinge, start, end, arm = (getattr(self, name) for name in GEOMETRY)
        if mu is None:
            return self.shoe_factor
        return b.shoe_factor(Shoes(mu, self.drum_radius, hinge, start, end, arm))
