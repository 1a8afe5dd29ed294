"""Front axle ratio valve: takes pressure off the front axle in light braking only."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from pneusim.parts._following import DELIVERED, OPENINGS, STUCK_OR_LEAKING, Following, biased
from pneusim.parts.base import PortSpec, parameter
from pneusim.parts.builder import Builder

HIGHEST = 2e6  #: pressure up to which the valve is described [Pa]


class FrontRatioValve(Following):
    """Delivers a share of a low pressure and all of a high one; vents its delivery where it stands.

    From ``full_from`` up the inlet stands open, so that delivery and supply are equal; between ``reduced_to`` and
    there the delivery rises more steeply than the supply.
    """

    type = "front_ratio_valve"
    title = "Front axle ratio valve"
    symbol = "front_ratio"
    ports = (
        PortSpec("1", "supply"),
        PortSpec("2", "delivery", many=True),
        PortSpec("3", "exhaust", exhaust=True),
    )
    faults = STUCK_OR_LEAKING
    channels = (*DELIVERED, *OPENINGS)
    characteristic = ("pedal.pressure", "ratio.pressure")

    share: float = parameter(
        "number", "front_ratio_valve.share", above=0.0, high=1.0, doc="Delivered over supplied at low pressure."
    )
    reduced_to: float = parameter(
        "pressure",
        "front_ratio_valve.reduced_to",
        above=0.0,
        high=HIGHEST,
        doc="Supply pressure up to which only the share is delivered.",
    )
    full_from: float = parameter(
        "pressure",
        "front_ratio_valve.full_from",
        above=0.0,
        high=HIGHEST,
        doc="Supply pressure from which all of it is delivered.",
    )
    crack: float = parameter(
        "pressure_difference",
        "front_ratio_valve.crack",
        low=0.0,
        high=200e3,
        doc="Supply pressure below which nothing is delivered.",
    )
    conductance: float = parameter(
        "conductance", "front_ratio_valve.conductance", above=0.0, doc="Sonic conductance of the inlet."
    )
    exhaust_conductance: float = parameter(
        "conductance",
        "front_ratio_valve.exhaust_conductance",
        above=0.0,
        doc="Sonic conductance of the exhaust.",
    )
    plenum: float = parameter(
        "volume", "front_ratio_valve.plenum", above=0.0, high=1e-2, doc="Air inside, at the delivery."
    )

    example = """\
pneusim: 1
title: The front axle is braked less until the braking is hard
components:
  pedal: {type: supply, pressure: 0 bar}
  ratio: {type: front_ratio_valve}
  left:  {type: brake_chamber, size: 20}
  right: {like: left}
lines:
  feed:  {from: pedal.1, to: ratio.1, bore: 9 mm, length: 2 m}
  rod_l: {from: ratio.21, to: left.11, bore: 9 mm, length: 1 m}
  rod_r: {like: rod_l, from: ratio.22, to: right.11}
scenarios:
  brake_harder:
    lasts: 9 s
    steps:
      - {at: 0.5 s, set: pedal.pressure, to: 2 bar, over: 1 s}
      - {at: 2.5 s, set: pedal.pressure, to: 6 bar, over: 2 s}
      - {at: 5.5 s, set: pedal.pressure, to: 0 bar, over: 2 s}
"""

    @model_validator(mode="after")
    def _order(self) -> Self:
        if not self.reduced_to < self.full_from:
            raise ValueError("reduced_to must be less than full_from")
        return self

    def points(self) -> list[tuple[float, float]]:
        """Target [Pa] over supply pressure [Pa]; from ``full_from`` up so far above it that the inlet stands open."""
        open_by = self.half_band + self.width
        return [
            (0.0, 0.0),
            (self.reduced_to, self.share * self.reduced_to),
            (self.full_from, self.full_from + open_by),
            (2.0 * HIGHEST, 2.0 * HIGHEST + open_by),
        ]

    def lower(self, b: Builder) -> None:
        """A follower of a table of its own supply pressure."""
        inlet, _ = self.ends(b)
        supply = b.pressure(inlet)
        above_crack = b.affine(-self.crack, (1.0, supply))
        self.deliver(b, biased(b, above_crack, b.table(supply, self.points())), b.node("3"))
