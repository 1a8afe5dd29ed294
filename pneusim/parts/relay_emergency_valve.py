"""Relay-emergency valve: a trailer's relay that brakes by itself when the supply line is lost."""

from __future__ import annotations

from pneusim.parts._air import valve_air
from pneusim.parts._following import STUCK_OR_LEAKING, biased
from pneusim.parts._piston import LEAST_CHECK_WIDTH
from pneusim.parts._trailer_relay import CHANNELS, TrailerRelay
from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, PortSpec, Way, parameter
from pneusim.parts.builder import Builder, Signal
from pneusim.parts.protection_valve import one_way


class RelayEmergencyValve(TrailerRelay):
    """Delivers the reservoir's air as the control line asks, or as the loss of the supply line does if that is more.

    The target is max(ratio x (control - crack), gain x (emergency - supply)): graded, without memory, so that the
    brakes release as the supply line is recharged. The reservoir is filled from the supply line through a check valve
    and keeps its air. Its port is 1-2, where air goes in and out (ISO 6786, from memory).
    """

    type = "relay_emergency_valve"
    title = "Relay-emergency valve"
    symbol = "relay_emergency"
    ports = (
        PortSpec("1", "supply", words="the trailer's supply line"),
        PortSpec("1-2", "reservoir", words="the trailer's reservoir, filled and drawn from here"),
        PortSpec("2", "delivery", many=True, words="to the service chambers"),
        PortSpec("3", "exhaust", exhaust=True),
        PortSpec("4", "control", words="the trailer's control line"),
    )
    ways = (Way("1", "1-2"), Way("1-2", "2x", "4"))
    faults = (
        *STUCK_OR_LEAKING,
        FaultSpec("check_stuck_open", "the check valve to the reservoir stays open, both ways"),
    )
    events = (
        EventSpec(
            "applied_by_itself", "trip", "{title} braked by itself, because the supply line fell through {level}"
        ),
        EventSpec("recharged", "mode", "{title} no longer brakes by itself: the supply line rose through {level}"),
    )
    channels = (
        *CHANNELS,
        ChannelSpec("control_pressure", "pressure", "control pressure in the valve"),
        ChannelSpec("reservoir_opening", "fraction", "opening from the supply line to the reservoir"),
    )
    characteristic = ("valve.supply_pressure", "valve.pressure")

    ratio: float = parameter(
        "number", "relay_valve.ratio", above=0.0, high=4.0, doc="Delivered pressure over control pressure above crack."
    )
    emergency: float = parameter(
        "pressure",
        "relay_emergency_valve.emergency",
        above=0.0,
        high=1e6,
        doc="Supply pressure below which it brakes by itself.",
    )
    emergency_gain: float = parameter(
        "number",
        "relay_emergency_valve.emergency_gain",
        above=0.0,
        high=20.0,
        doc="Delivered pressure per supply pressure lost below that.",
    )
    recharged_above: float = parameter(
        "pressure_difference",
        "relay_emergency_valve.recharged_above",
        low=1e3,
        high=300e3,
        doc="Excess of the supply line from which it counts as recharged.",
    )
    charging: float = parameter(
        "conductance",
        "relay_emergency_valve.charging",
        above=0.0,
        doc="Sonic conductance from the supply line to the reservoir.",
    )
    check_width: float = parameter(
        "pressure_difference",
        "check_valve.width",
        low=LEAST_CHECK_WIDTH,
        high=200e3,
        doc="Pressure difference that opens the check valve to the reservoir.",
    )

    example = """\
pneusim: 1
title: A trailer brakes as its supply line is lost and releases as it is recharged
components:
  line_end: {type: supply, pressure: 7 bar}
  signal:   {type: supply, pressure: 0 bar}
  valve:    {type: relay_emergency_valve}
  tank:     {type: reservoir, volume: 40 L, pressure: 6.9 bar}
  left:     {type: brake_chamber, size: 30}
  right:    {like: left}
lines:
  supply_line:  {from: line_end.1, to: valve.1, bore: 9.5 mm, length: 6 m}
  control_line: {from: signal.1, to: valve.4, bore: 9.5 mm, length: 6 m}
  feed:         {from: valve.1-2, to: tank.1, bore: 12 mm, length: 1 m}
  rod_l:        {from: valve.21, to: left.11, bore: 9 mm, length: 1 m}
  rod_r:        {like: rod_l, from: valve.22, to: right.11}
scenarios:
  supply_lost_and_back:
    lasts: 16 s
    steps:
      - {at: 1 s, set: line_end.pressure, to: 0 bar, over: 6 s}
      - {at: 9 s, set: line_end.pressure, to: 7 bar, over: 6 s}
  service:
    lasts: 4 s
    steps:
      - {at: 0.5 s, set: signal.pressure, to: 3 bar, over: 0.2 s}
      - {at: 2.5 s, set: signal.pressure, to: 0 bar, over: 0.2 s}
  supply_line_breaks:
    lasts: 4 s
    steps:
      - {at: 0.5 s, break: supply_line, where: 50 %}
"""

    def lower(self, b: Builder) -> None:
        """A relay fed by the reservoir, whose target the supply line raises as it falls."""
        supply, control = b.pressure(b.node("1")), self.control(b, "4")
        self._charge(b)
        above_crack = b.affine(-self.crack, (1.0, control))
        service = biased(b, above_crack, b.affine(0.0, (self.ratio, above_crack)))
        gain = self.emergency_gain
        by_itself = b.affine(gain * self.emergency, (-gain, supply))
        reservoir, delivery = b.node("1-2"), b.node("2")
        valve_air(b, delivery, self.plenum)
        self.pass_on(b, b.maximum(service, by_itself), reservoir, delivery, b.node("3"))
        self._tell(b, supply)
        b.channel("supply_pressure", supply)
        b.channel("control_pressure", control)

    def _charge(self, b: Builder) -> None:
        line, reservoir = b.node("1"), b.node("1-2")
        opening = b.forced(one_way(b, line, reservoir, self.check_width), b.fault("check_stuck_open"), 1.0)
        b.restriction(line, reservoir, self.charging, self.critical_ratio, opening)
        b.channel("reservoir_opening", opening)

    def _tell(self, b: Builder, supply: Signal) -> None:
        lost = b.mode("lost", 0.0)
        back = self.emergency + self.recharged_above
        b.event("applied_by_itself", supply, self.emergency, -1, armed={lost: 0.0}, sets={lost: 1.0})
        b.event("recharged", supply, back, +1, armed={lost: 1.0}, sets={lost: 0.0})
