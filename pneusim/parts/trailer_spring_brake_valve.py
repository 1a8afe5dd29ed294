"""Trailer spring-brake valve: the supply line holds the springs off and fills the reservoir."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import model_validator

from pneusim.parts._air import valve_air
from pneusim.parts._piston import LEAST_CHECK_WIDTH, LEAST_WIDTH
from pneusim.parts.base import ChannelSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder, Node, Signal
from pneusim.parts.catalogue import default_of
from pneusim.parts.protection_valve import area_ratio_piston, one_way


class TrailerSpringBrakeValve(Part):
    """Feeds the springs and the reservoirs from the supply line; the reservoirs keep their air.

    Two types are in use (British Columbia, Driving Commercial Vehicles, p. 182): springs first, where a piston fills
    the reservoirs late, and reservoir first, where it feeds the springs late.  Springs first, a lost reservoir is
    shut off and the springs stay held; reservoir first, it drains the supply line.

    When the supply line is lost, the springs follow it down (``apply``); or the first reservoir holds them (``hold``),
    as UN R13 Annex 8 asks of a trailer whose service brakes act then; or it holds them against a slow leak only
    (``apply_if_rapid``; Saskatchewan Air Brake Manual, spring-brake trailer system).  For that a small pilot chamber
    empties into the supply line through a bleed: a line that falls faster leaves it behind, and its excess opens the
    exhaust.  Springs once vented stay so: the reservoir keeps a spring line charged, it does not charge it.
    """

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

    order: Literal["springs_first", "reservoir_first"] = parameter(
        "word", "trailer_spring_brake_valve.order", doc="What the supply line fills first."
    )
    on_supply_loss: Literal["apply", "apply_if_rapid", "hold"] = parameter(
        "word", "trailer_spring_brake_valve.on_supply_loss", doc="What the springs do when the supply line falls."
    )
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
        low=LEAST_CHECK_WIDTH,
        high=100e3,
        doc="Further difference to open either fully.",
    )
    opens: float = parameter(
        "pressure",
        "trailer_spring_brake_valve.opens",
        above=0.0,
        high=2e6,
        doc="Supply pressure that fills an empty reservoir; reservoir first, its pressure that feeds the springs.",
    )
    closes: float = parameter(
        "pressure",
        "trailer_spring_brake_valve.closes",
        above=0.0,
        high=2e6,
        doc="Pressure at which that way shuts.",
    )
    protection_width: float = parameter(
        "pressure_difference",
        "valve.width",
        low=LEAST_WIDTH,
        high=300e3,
        doc="Pressure beyond the balance that opens it fully.",
    )
    one_way_width: float = parameter(
        "pressure_difference",
        "check_valve.width",
        low=LEAST_CHECK_WIDTH,
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

    pilot_volume: float = parameter(
        "volume",
        "trailer_spring_brake_valve.pilot_volume",
        above=0.0,
        high=1e-3,
        doc="Pilot chamber that tells a rapid loss from a slow one.",
    )
    bleed: float = parameter(
        "conductance",
        "trailer_spring_brake_valve.bleed",
        above=0.0,
        doc="Sonic conductance between the pilot chamber and the supply line.",
    )
    rapid_differential: float = parameter(
        "pressure_difference",
        "trailer_spring_brake_valve.rapid_differential",
        low=1e3,
        high=500e3,
        doc="Excess of the pilot chamber that counts as a rapid loss.",
    )
    holds_from: float = parameter(
        "pressure",
        "trailer_spring_brake_valve.holds_from",
        above=0.0,
        high=2e6,
        doc="Pressure of the spring line from which the reservoir keeps it charged against a slow leak.",
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
  slow_leak_held:
    lasts: 80 s
    begin: {valve.on_supply_loss: apply_if_rapid}
    steps:
      - {at: 1 s, set: line_end.pressure, to: 0 bar, over: 78 s}
  rapid_loss_not_held:
    lasts: 10 s
    begin: {valve.on_supply_loss: apply_if_rapid}
    steps:
      - {at: 1 s, break: supply_line, where: 50 %}
  supply_lost_springs_held:
    lasts: 4 s
    begin: {valve.on_supply_loss: hold}
    steps:
      - {at: 0.5 s, break: supply_line, where: 50 %}
  charged_reservoir_first:
    lasts: 20 s
    begin: {valve.order: reservoir_first, tank.pressure: 0 bar, line_end.pressure: 0 bar}
    steps:
      - {at: 0.5 s, set: line_end.pressure, to: 8 bar, over: 15 s}
"""

    @model_validator(mode="after")
    def _order(self) -> Self:
        if not self.closes < self.opens:
            raise ValueError("closes must be less than opens")
        return self

    def lower(self, b: Builder) -> None:
        """Ways from the supply line to the springs and to each reservoir, and what keeps the springs charged."""
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
        opening = b.frozen(self._in_order(b, b.ramp(forward, self.crack, self.width)), stuck)
        venting = b.ramp(backward, self.exhaust_differential, self.width)
        if self.on_supply_loss != "apply":
            keeping, venting = self._kept(b, inlet, spring, venting)
            kept = b.frozen(self._in_order(b, keeping), stuck)
            b.restriction(b.node("21"), spring, self.conductance, self.critical_ratio, kept)
        exhaust = b.frozen(venting, stuck)
        b.restriction(inlet, spring, self.conductance, self.critical_ratio, opening)
        b.restriction(spring, b.node("3"), self.exhaust_conductance, self.critical_ratio, exhaust)
        b.channel("spring_pressure", held)
        b.channel("opening", opening)
        b.channel("exhaust_opening", exhaust)

    def _in_order(self, b: Builder, opening: Signal) -> Signal:
        """An opening to the springs; reservoir first, only once the reservoir is charged."""
        if self.order == "springs_first":
            return opening
        charged = area_ratio_piston(b, b.node("21"), b.node("24"), self.opens, self.closes, self.protection_width)
        return b.product(opening, charged)

    def _kept(self, b: Builder, inlet: Node, spring: Node, venting: Signal) -> tuple[Signal, Signal]:
        """Openings from the reservoir to the springs and from them to exhaust."""
        reservoir = b.node("21")
        keeping = one_way(b, reservoir, spring, self.one_way_width)
        if self.on_supply_loss == "hold":
            backward = b.affine(0.0, (1.0, b.pressure(spring)), (-1.0, b.pressure(reservoir)))
            return keeping, b.product(venting, b.ramp(backward, self.exhaust_differential, self.width))
        rapid = self._rapid_loss(b, inlet)
        charged = b.ramp(b.pressure(spring), self.holds_from, self.protection_width)
        keeping = b.product(keeping, b.product(charged, b.affine(1.0, (-1.0, rapid))))
        return keeping, b.product(venting, b.maximum(rapid, b.affine(1.0, (-1.0, charged))))

    def _rapid_loss(self, b: Builder, inlet: Node) -> Signal:
        """1 while the supply line falls faster than the pilot chamber can follow it through its bleed."""
        pilot = b.plenum("pilot", self.pilot_volume, default_of("heat.plenum", "film"))
        b.restriction(inlet, pilot, self.bleed, self.critical_ratio)
        excess = b.affine(0.0, (1.0, b.pressure(pilot)), (-1.0, b.pressure(inlet)))
        return b.ramp(excess, self.rapid_differential, self.protection_width)

    def _reservoir(self, b: Builder, port: str, stuck: Signal) -> Signal:
        inlet, outlet = b.node("1"), b.node(port)
        if self.order == "springs_first":
            piston = area_ratio_piston(b, inlet, outlet, self.opens, self.closes, self.protection_width)
            way = b.product(piston, one_way(b, inlet, outlet, self.one_way_width))
        else:
            way = one_way(b, inlet, outlet, self.one_way_width)
        opening = b.frozen(way, stuck)
        b.restriction(inlet, outlet, self.reservoir_conductance, self.critical_ratio, opening)
        return opening
