"""Hand valve: graded by a lever, for the trailer brakes alone."""

from __future__ import annotations

from pneusim.parts._air import volume_channels
from pneusim.parts._graded import DEMAND, LEAKING, TRAVEL, Graded
from pneusim.parts.base import ChannelSpec, FaultSpec, PortSpec, parameter
from pneusim.parts.builder import Builder


class HandValve(Graded):
    """One graded section on a hand lever."""

    type = "hand_valve"
    title = "Hand valve"
    symbol = "hand"
    ports = (PortSpec("1", "supply"), PortSpec("2", "delivery"), PortSpec("3", "exhaust", exhaust=True))
    inputs = (TRAVEL, DEMAND)
    faults = (FaultSpec("stuck", "the lever stays where it is"), *LEAKING)
    channels = (
        ChannelSpec("travel", "fraction", "travel of the lever"),
        ChannelSpec("demand", "pressure", "delivery asked for instead"),
        ChannelSpec("pressure", "pressure", "delivered pressure"),
        ChannelSpec("temperature", "temperature", "temperature of the air delivered"),
        ChannelSpec("opening", "fraction", "inlet opening"),
        ChannelSpec("exhaust_opening", "fraction", "exhaust opening"),
    )
    characteristic = ("hand.travel", "hand.pressure")

    conductance: float = parameter(
        "conductance", "hand_valve.conductance", above=0.0, doc="Sonic conductance of the inlet."
    )
    exhaust_conductance: float = parameter(
        "conductance", "hand_valve.exhaust_conductance", above=0.0, doc="Sonic conductance of the exhaust."
    )

    example = """\
pneusim: 1
title: A hand valve grades the control pressure of a trailer
components:
  tank:   {type: reservoir, volume: 20 L, pressure: 8 bar}
  hand:   {type: hand_valve}
  vessel: {type: test_volume, volume: 385 cm3}
lines:
  control: {from: hand.2, to: vessel.1, bore: 6 mm, length: 3 m}
joints:
  - [tank.21, hand.1]
scenarios:
  grade:
    lasts: 4 s
    steps:
      - {at: 0.5 s, set: hand.travel, to: 40 %, over: 0.2 s}
      - {at: 2 s, set: hand.travel, to: 0 %, over: 0.2 s}
"""

    def lower(self, b: Builder) -> None:
        """One follower of the travel."""
        travel = self.actual_travel(b)
        delivery = b.node("2")
        target = b.table(travel, self.points())
        conductances = (self.conductance, self.exhaust_conductance)
        opening, vent = self.section(b, target, b.node("1"), delivery, b.node("3"), conductances)
        volume_channels(b, delivery)
        b.channel("opening", opening)
        b.channel("exhaust_opening", vent)
