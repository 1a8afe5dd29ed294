"""Foot valve: the dual treadle valve of the service brakes."""

from __future__ import annotations

from pneusim.parts._graded import DEMAND, LEAKING, TRAVEL, Graded
from pneusim.parts.base import ChannelSpec, FaultSpec, PortSpec, Way, parameter
from pneusim.parts.builder import Builder


class FootValve(Graded):
    """Two graded sections on one treadle; the secondary follows the primary, or the treadle if that fails."""

    type = "foot_valve"
    title = "Foot valve"
    symbol = "treadle"
    ports = (
        PortSpec("11", "primary_supply"),
        PortSpec("21", "primary"),
        PortSpec("12", "secondary_supply", words="plug it, with port 22, to use one circuit only"),
        PortSpec("22", "secondary"),
        PortSpec("3", "exhaust", exhaust=True),
    )
    ways = (Way("11", "21"), Way("12", "22"))
    inputs = (TRAVEL, DEMAND)
    faults = (FaultSpec("stuck", "the treadle stays where it is"), *LEAKING)
    channels = (
        ChannelSpec("travel", "fraction", "travel of the treadle"),
        ChannelSpec("demand", "pressure", "delivery asked for instead"),
        ChannelSpec("primary_pressure", "pressure", "pressure delivered to the primary circuit"),
        ChannelSpec("secondary_pressure", "pressure", "pressure delivered to the secondary circuit"),
        ChannelSpec("opening", "fraction", "inlet opening of the primary section"),
        ChannelSpec("exhaust_opening", "fraction", "exhaust opening of the primary section"),
        ChannelSpec("secondary_opening", "fraction", "inlet opening of the secondary section"),
        ChannelSpec("secondary_exhaust_opening", "fraction", "exhaust opening of the secondary section"),
    )
    characteristic = ("foot.travel", "foot.primary_pressure")

    lead: float = parameter(
        "pressure_difference",
        "foot_valve.lead",
        low=0.0,
        high=100e3,
        doc="By how much the primary delivery leads the secondary.",
    )
    mechanical_travel: float = parameter(
        "fraction",
        "foot_valve.mechanical_travel",
        low=0.0,
        high=0.5,
        doc="Further travel after which the treadle moves the secondary itself.",
    )
    conductance: float = parameter(
        "conductance", "foot_valve.conductance", above=0.0, doc="Sonic conductance of each inlet."
    )
    exhaust_conductance: float = parameter(
        "conductance", "foot_valve.exhaust_conductance", above=0.0, doc="Sonic conductance of each exhaust."
    )

    example = """\
pneusim: 1
title: A foot valve applies a front and a rear chamber from two circuits
components:
  primary:   {type: reservoir, volume: 20 L, pressure: 8 bar}
  secondary: {type: reservoir, volume: 20 L, pressure: 8 bar}
  foot:      {type: foot_valve}
  rear:      {type: brake_chamber, size: 30}
  front:     {type: brake_chamber, size: 20}
lines:
  to_rear:  {from: foot.21, to: rear.11, bore: 9 mm, length: 4 m}
  to_front: {from: foot.22, to: front.11, bore: 9 mm, length: 2 m}
joints:
  - [primary.21, foot.11]
  - [secondary.21, foot.12]
scenarios:
  apply_and_release:
    lasts: 4 s
    steps:
      - {at: 0.5 s, set: foot.travel, to: 50 %, over: 0.2 s}
      - {at: 2 s, set: foot.travel, to: 0 %, over: 0.2 s}
"""

    def lower(self, b: Builder) -> None:
        """Two followers; the secondary's target is the larger of piston and treadle."""
        travel = self.actual_travel(b)
        first, second, exhaust = b.node("21"), b.node("22"), b.node("3")
        by_piston = b.affine(-self.lead, (1.0, b.pressure(first)))
        by_treadle = b.table(b.affine(-self.mechanical_travel, (1.0, travel)), self.points())
        conductances = (self.conductance, self.exhaust_conductance)
        opening, vent = self.section(
            b, b.table(travel, self.points()), b.node("11"), first, exhaust, conductances
        )
        b.channel("opening", opening)
        b.channel("exhaust_opening", vent)
        opening, vent = self.section(
            b, b.maximum(by_piston, by_treadle), b.node("12"), second, exhaust, conductances
        )
        b.channel("secondary_opening", opening)
        b.channel("secondary_exhaust_opening", vent)
        b.channel("primary_pressure", b.pressure(first))
        b.channel("secondary_pressure", b.pressure(second))
