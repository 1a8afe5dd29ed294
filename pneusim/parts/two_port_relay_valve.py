"""Relay valve with two control ports, the higher of which counts."""

from __future__ import annotations

from pneusim.parts._double_check import shuttle, stuck_sides
from pneusim.parts._piston import LEAST_CHECK_WIDTH
from pneusim.parts._relay import CHANNELS, FAULTS, PORTS, Relay, ratio_parameter
from pneusim.parts.base import ChannelSpec, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


class TwoPortRelayValve(Relay):
    """A relay behind a built-in double check valve: ratio x (the higher of two control pressures - crack).

    There is one control piston, as in the relays of spring brakes with a second control port against compounding
    (common practice, no source); the double check valve feeds its chamber from the higher port, and the chamber
    empties through the port that last fed it.  So the ports are not dead ends: each moves the chamber's air.  Two
    pistons with a chamber each would add their forces, and the sum, not the higher pressure, would count.
    """

    type = "two_port_relay_valve"
    title = "Relay valve with two control ports"
    symbol = "two_port_relay"
    ports = (*PORTS, PortSpec("41", "first_control"), PortSpec("42", "second_control"))
    faults = (*FAULTS, *stuck_sides("41", "42"))
    channels = (
        *CHANNELS,
        ChannelSpec("opening_41", "fraction", "opening from port 41 to the control chamber"),
        ChannelSpec("opening_42", "fraction", "opening from port 42 to the control chamber"),
    )
    characteristic = ("time", "relay.pressure")

    ratio: float = ratio_parameter("relay_valve.ratio")
    control_conductance: float = parameter(
        "conductance",
        "two_port_relay_valve.control_conductance",
        above=0.0,
        doc="Sonic conductance from a control port to the control chamber.",
    )
    shuttle_width: float = parameter(
        "pressure_difference",
        "double_check_valve.width",
        low=LEAST_CHECK_WIDTH,
        high=50e3,
        doc="Pressure difference that opens a side of the double check valve fully.",
    )

    example = """\
pneusim: 1
title: Service braking on a parked axle holds the springs off
components:
  tank:    {type: reservoir, volume: 30 L, pressure: 8 bar}
  park:    {type: supply, pressure: 7 bar}
  service: {type: supply, pressure: 0 bar}
  relay:   {type: two_port_relay_valve, crack: 10 kPa}
  left:    {type: spring_brake_actuator, size: 30/30}
lines:
  feed:   {from: tank.21, to: relay.1, bore: 12 mm, length: 2 m}
  pilot:  {from: park.1, to: relay.41, bore: 6 mm, length: 5 m}
  guard:  {from: service.1, to: relay.42, bore: 6 mm, length: 2 m}
  rod:    {from: service.2, to: left.11, bore: 9 mm, length: 2 m}
  spring: {from: relay.21, to: left.12, bore: 9 mm, length: 1 m}
scenarios:
  brake_while_parked:
    lasts: 6 s
    steps:
      - {at: 0.5 s, set: park.pressure, to: 0 bar, over: 0.1 s}
      - {at: 2.5 s, set: service.pressure, to: 6 bar, over: 0.1 s}
      - {at: 4.5 s, set: service.pressure, to: 0 bar, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """A relay whose control chamber is the outlet of a double check valve."""
        self.ends(b)
        control = b.plenum("control", self.control_volume, default_of("heat.plenum", "film"))
        inlets = {port: b.node(port) for port in ("41", "42")}
        first, second = shuttle(
            b, inlets, control, self.shuttle_width, self.control_conductance, self.critical_ratio
        )
        self.repeat(b, control, self.ratio)
        b.channel("opening_41", first)
        b.channel("opening_42", second)
