"""Trailer spring-brake valve: the supply line holds the springs off and fills the reservoir."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from pneusim.parts._air import valve_air
from pneusim.parts.base import ChannelSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder, Signal
from pneusim.parts.protection_valve import area_ratio_piston, one_way


class TrailerSpringBrakeValve(Part):
    """The spring line follows the supply line up and down; the reservoirs fill late and keep their air."""

    type = "trailer_spring_brake_valve"
    title = "Trailer spring-brake valve"
    symbol = "trailer_spring"
    ports = (
        PortSpec("1", "supply", words="the trailer's supply line"),
        PortSpec("21", "reservoir", words="to the service reservoir"),
        PortSpec("22", "reservoir_2", optional=True, words="to a second reservoir"),
        PortSpec("23", "reservoir_3", optional=True, words="to a third reservoir"),
        PortSpec("24", "spring", words="to the spring sides of the actuators"),
        PortSpec("25", "spring_2", optional=True),
        PortSpec("26", "spring_3", optional=True),
        PortSpec("27", "spring_4", optional=True),
        PortSpec("3", "exhaust", exhaust=True),
    )
    faults = (FaultSpec("stuck", "its pistons stay where they are"),)
    channels = (
        ChannelSpec("supply_pressure", "pressure", "pressure at the end of the supply line"),
        ChannelSpec("spring_pressure", "pressure", "pressure delivered to the spring line"),
        ChannelSpec("opening", "fraction", "opening from the supply line to the springs"),
        ChannelSpec("exhaust_opening", "fraction", "opening from the springs to exhaust"),
        ChannelSpec("reservoir_opening", "fraction", "opening from the supply line to the reservoir"),
    )
    characteristic = ("valve.supply_pressure", "valve.spring_pressure")

    crack: float = parameter(
        "pressure_difference",
        "trailer_spring_brake_valve.crack",
        low=0.0,
        high=100e3,
        doc="Pressure difference that begins to feed the springs.",
    )
    exhaust_differential: float = parameter(
        "pressure_difference",
        "trailer_spring_brake_valve.exhaust_differential",
        low=0.0,
        high=100e3,
        doc="Excess of the spring line at which it begins to vent.",
    )
    width: float = parameter(
        "pressure_difference",
        "quick_release_valve.width",
        above=0.0,
        high=100e3,
        doc="Further difference to open either fully.",
    )
    opens: float = parameter(
        "pressure",
        "trailer_spring_brake_valve.opens",
        above=0.0,
        high=2e6,
        doc="Supply pressure from which an empty reservoir is filled.",
    )
    closes: float = parameter(
        "pressure",
        "trailer_spring_brake_valve.closes",
        above=0.0,
        high=2e6,
        doc="Pressure at which the way to the reservoir shuts.",
    )
    protection_width: float = parameter(
        "pressure_difference",
        "valve.width",
        above=0.0,
        high=300e3,
        doc="Pressure beyond the balance that opens it fully.",
    )
    one_way_width: float = parameter(
        "pressure_difference",
        "check_valve.width",
        above=0.0,
        high=200e3,
        doc="Pressure difference that opens the reservoir's check valve.",
    )
    conductance: float = parameter(
        "conductance",
        "trailer_spring_brake_valve.conductance",
        above=0.0,
        doc="Sonic conductance from the supply line to the springs.",
    )
    exhaust_conductance: float = parameter(
        "conductance",
        "trailer_spring_brake_valve.exhaust_conductance",
        above=0.0,
        doc="Sonic conductance of the exhaust.",
    )
    reservoir_conductance: float = parameter(
        "conductance",
        "trailer_spring_brake_valve.reservoir_conductance",
        above=0.0,
        doc="Sonic conductance to each reservoir.",
    )
    passage: float = parameter(
        "conductance",
        "trailer_spring_brake_valve.passage",
        above=0.0,
        doc="Sonic conductance inside the body between the spring ports.",
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )
    plenum: float = parameter(
        "volume",
        "trailer_spring_brake_valve.plenum",
        above=0.0,
        high=1e-2,
        doc="Air inside, at the spring line.",
    )

    example = """\
pneusim: 1
title: A trailer loses its supply line
components:
  line_end: {type: supply, pressure: 8 bar}
  valve:    {type: trailer_spring_brake_valve}
  tank:     {type: reservoir, volume: 20 L, pressure: 7.8 bar}
  left:     {type: spring_brake_actuator, size: 30/30}
  right:    {like: left}
  open_air: {type: atmosphere}
lines:
  supply_line: {from: line_end.1, to: valve.1, bore: 9.5 mm, length: 6 m}
  feed:        {from: valve.21, to: tank.1, bore: 9.5 mm, length: 1 m}
  spring_l:    {from: valve.24, to: left.12, bore: 9.5 mm, length: 1.5 m}
  spring_r:    {like: spring_l, from: valve.25, to: right.12}
joints:
  - [left.11, right.11, open_air.1]
scenarios:
  supply_lost:
    lasts: 4 s
    steps:
      - {at: 0.5 s, break: supply_line, where: 50 %}
"""

    @model_validator(mode="after")
    def _order(self) -> Self:
        if not self.closes < self.opens:
            raise ValueError("closes must be less than opens")
        return self

    def lower(self, b: Builder) -> None:
        """A quick release to the springs and a one-way protection piston to each reservoir."""
        stuck = b.fault("stuck")
        self._springs(b, stuck)
        openings = [
            self._reservoir(b, port, stuck) for port in ("21", "22", "23") if port == "21" or b.used(port)
        ]
        b.channel("supply_pressure", b.pressure(b.node("1")))
        b.channel("reservoir_opening", openings[0])

    def _springs(self, b: Builder, stuck: Signal) -> None:
        inlet, spring = b.node("1"), b.node("24")
        valve_air(b, spring, self.plenum)
        for port in ("25", "26", "27"):
            if b.used(port):
                b.restriction(spring, b.node(port), self.passage, self.critical_ratio)
        supply, held = b.pressure(inlet), b.pressure(spring)
        forward = b.affine(0.0, (1.0, supply), (-1.0, held))
        backward = b.affine(0.0, (1.0, held), (-1.0, supply))
        opening = b.frozen(b.ramp(forward, self.crack, self.width), stuck)
        exhaust = b.frozen(b.ramp(backward, self.exhaust_differential, self.width), stuck)
        b.restriction(inlet, spring, self.conductance, self.critical_ratio, opening)
        b.restriction(spring, b.node("3"), self.exhaust_conductance, self.critical_ratio, exhaust)
        b.channel("spring_pressure", held)
        b.channel("opening", opening)
        b.channel("exhaust_opening", exhaust)

    def _reservoir(self, b: Builder, port: str, stuck: Signal) -> Signal:
        inlet, outlet = b.node("1"), b.node(port)
        piston = area_ratio_piston(b, inlet, outlet, self.opens, self.closes, self.protection_width)
        opening = b.frozen(b.product(piston, one_way(b, inlet, outlet, self.one_way_width)), stuck)
        b.restriction(inlet, outlet, self.reservoir_conductance, self.critical_ratio, opening)
        return opening
