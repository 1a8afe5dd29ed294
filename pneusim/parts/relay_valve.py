"""Relay valve: repeats a control pressure with air from its own supply."""

from __future__ import annotations

from pneusim.parts._air import valve_air, volume_channels
from pneusim.parts.base import ChannelSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder

REST_BIAS = 4.0  #: how much stronger a control pressure below the crack pressure pulls the exhaust open [-]


class RelayValve(Part):
    """Delivers ratio x (control pressure - crack) from port 1; vents through port 3 as the control falls."""

    type = "relay_valve"
    title = "Relay valve"
    symbol = "relay"
    ports = (
        PortSpec("1", "supply"),
        PortSpec("2", "delivery", many=True),
        PortSpec("3", "exhaust", exhaust=True),
        PortSpec("4", "control"),
    )
    faults = (
        FaultSpec("stuck_open", "the inlet stays open: the supply passes to the delivery"),
        FaultSpec("stuck_shut", "the piston stays with inlet and exhaust shut"),
        FaultSpec("torn", "the diaphragm between control and delivery is torn"),
    )
    channels = (
        ChannelSpec("pressure", "pressure", "delivered pressure"),
        ChannelSpec("temperature", "temperature", "temperature of the air delivered"),
        ChannelSpec("control_pressure", "pressure", "control pressure in the valve"),
        ChannelSpec("opening", "fraction", "opening from supply to delivery"),
        ChannelSpec("exhaust_opening", "fraction", "opening from delivery to exhaust"),
    )

    ratio: float = parameter(
        "number",
        "relay_valve.ratio",
        above=0.0,
        high=REST_BIAS,
        doc="Delivered pressure over control pressure above crack.",
    )
    crack: float = parameter(
        "pressure_difference",
        "relay_valve.crack",
        low=0.0,
        high=200e3,
        doc="Control pressure below which nothing is delivered.",
    )
    half_band: float = parameter(
        "pressure_difference",
        "relay_valve.half_band",
        low=0.0,
        high=50e3,
        doc="Half the difference between applying and releasing.",
    )
    width: float = parameter(
        "pressure_difference",
        "valve.width",
        above=0.0,
        high=300e3,
        doc="Pressure error that opens a seat fully.",
    )
    lag: float = parameter("time", "valve.lag", low=0.0, high=0.1, doc="First-order lag of the piston.")
    conductance: float = parameter(
        "conductance", "relay_valve.conductance", above=0.0, doc="Sonic conductance of the inlet."
    )
    exhaust_conductance: float = parameter(
        "conductance", "relay_valve.exhaust_conductance", above=0.0, doc="Sonic conductance of the exhaust."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )
    plenum: float = parameter(
        "volume", "relay_valve.plenum", above=0.0, high=1e-2, doc="Air inside, at the delivery."
    )
    control_volume: float = parameter(
        "volume", "relay_valve.control_volume", above=0.0, high=1e-2, doc="Air above the control piston."
    )
    torn_conductance: float = parameter(
        "conductance",
        "relay_valve.torn_conductance",
        above=0.0,
        doc="Sonic conductance of the tear between control and delivery.",
    )

    example = """\
pneusim: 1
title: A relay valve applies two chambers
components:
  tank:   {type: reservoir, volume: 30 L, pressure: 8 bar}
  signal: {type: supply, pressure: 0 bar}
  relay:  {type: relay_valve}
  left:   {type: brake_chamber, size: 30}
  right:  {like: left}
lines:
  feed:  {from: tank.21, to: relay.1, bore: 12 mm, length: 2 m}
  pilot: {from: signal.1, to: relay.4, bore: 6 mm, length: 5 m}
  rod_l: {from: relay.21, to: left.11, bore: 9 mm, length: 1 m}
  rod_r: {like: rod_l, from: relay.22, to: right.11}
scenarios:
  apply_and_release:
    lasts: 3 s
    steps:
      - {at: 0.5 s, set: signal.pressure, to: 6 bar, over: 0.1 s}
      - {at: 1.5 s, set: signal.pressure, to: 0 bar, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """A follower of its own plenum, biased to exhaust at rest."""
        inlet, delivery, control = b.node("1"), b.node("2"), b.node("4")
        valve_air(b, delivery, self.plenum)
        valve_air(b, control, self.control_volume)
        above_crack = b.affine(-self.crack, (1.0, b.pressure(control)))
        target = b.minimum(b.affine(0.0, (self.ratio, above_crack)), b.affine(0.0, (REST_BIAS, above_crack)))
        opening, exhaust = b.follower(target, b.pressure(delivery), self.half_band, self.width, self.lag)
        stuck_open, stuck_shut = b.fault("stuck_open"), b.fault("stuck_shut")
        opening = b.forced(b.forced(opening, stuck_open, 1.0), stuck_shut, 0.0)
        exhaust = b.forced(b.forced(exhaust, stuck_open, 0.0), stuck_shut, 0.0)
        b.restriction(inlet, delivery, self.conductance, self.critical_ratio, opening)
        b.restriction(delivery, b.node("3"), self.exhaust_conductance, self.critical_ratio, exhaust)
        b.restriction(control, delivery, self.torn_conductance, self.critical_ratio, b.fault("torn"))
        volume_channels(b, delivery)
        b.channel("control_pressure", b.pressure(control))
        b.channel("opening", opening)
        b.channel("exhaust_opening", exhaust)
