"""Trailer control valve: the towing vehicle's relay for the trailer's control line (UN R13, two lines)."""

from __future__ import annotations

from pneusim.parts._air import valve_air
from pneusim.parts._following import STUCK_OR_LEAKING, biased
from pneusim.parts._piston import LEAST_WIDTH
from pneusim.parts._trailer_relay import CHANNELS, TrailerRelay
from pneusim.parts.base import ChannelSpec, FaultSpec, PortSpec, Way, parameter
from pneusim.parts.builder import Builder, Signal


class TrailerControlValve(TrailerRelay):
    """Repeats the higher of two service pressures, or the park line upside down, for the trailer.

    The control section takes its air from the supply line behind a throttle. The throttle is a piston on which the
    delivery works against the command: when the delivery stays far behind, the control line is broken; the throttle
    closes, and the supply line empties through the broken control line (UN R13 5.2.1.18.4.1, from memory, to be read
    against the official text). Released, the control section shuts and the supply line is fed again. A weak application
    can follow its command through a broken line: nothing is noticed then until the supply has fallen far.
    """

    type = "trailer_control_valve"
    title = "Trailer control valve"
    symbol = "trailer_control"
    ports = (
        PortSpec("11", "supply", words="from the reservoir"),
        PortSpec("21", "supply_line", words="to the supply coupling head"),
        PortSpec("22", "control_line", words="to the control coupling head"),
        PortSpec("3", "exhaust", exhaust=True),
        PortSpec("41", "first_control", words="delivery of the first service circuit"),
        PortSpec("42", "second_control", optional=True, words="delivery of the second service circuit"),
        PortSpec("43", "park_control", optional=True, words="the spring brakes' line; its loss brakes the trailer"),
    )
    ways = (Way("11", "21"), Way("11", "22", "41 42 43"))
    faults = (*STUCK_OR_LEAKING, FaultSpec("throttle_stuck", "the throttle of the supply line stays where it is"))
    channels = (
        *CHANNELS,
        ChannelSpec("command", "pressure", "pressure that the control ports ask for"),
        ChannelSpec("throttle", "fraction", "opening from the reservoir to the supply line"),
    )
    characteristic = ("pedal.pressure", "control.pressure")

    predominance: float = parameter(
        "pressure_difference",
        "trailer_control_valve.predominance",
        low=0.0,
        high=200e3,
        doc="Excess of the delivery over the service pressure above crack.",
    )
    park_starts: float = parameter(
        "pressure",
        "trailer_control_valve.park_starts",
        above=0.0,
        high=2e6,
        doc="Pressure of the park line below which the trailer is braked.",
    )
    park_gain: float = parameter(
        "number",
        "trailer_control_valve.park_gain",
        above=0.0,
        high=5.0,
        doc="Delivered pressure per park line pressure lost below that.",
    )
    feed: float = parameter(
        "conductance",
        "trailer_control_valve.feed",
        above=0.0,
        doc="Sonic conductance from the reservoir to the supply line.",
    )
    throttled: float = parameter(
        "fraction", "trailer_control_valve.throttled", low=0.0, high=1.0, doc="Share of it left with the throttle shut."
    )
    follows: float = parameter(
        "fraction",
        "trailer_control_valve.follows",
        low=0.0,
        high=0.95,
        doc="Share of the command from which the delivery counts as following; ratio of the throttle's piston areas.",
    )
    throttle_width: float = parameter(
        "pressure_difference",
        "trailer_control_valve.throttle_width",
        low=LEAST_WIDTH,
        high=500e3,
        doc="Further lack of delivery that shuts the throttle.",
    )

    example = """\
pneusim: 1
title: The control line of a trailer is broken while the brakes are fully applied
components:
  tank:    {type: reservoir, volume: 40 L, pressure: 8 bar}
  pedal:   {type: supply, pressure: 0 bar}
  hold:    {type: supply, pressure: 8 bar}
  control: {type: trailer_control_valve}
  supply_head:  {type: coupling_head, role: supply}
  control_head: {type: coupling_head, role: control}
  supply_end:   {type: test_volume, volume: 0.2 L}
  control_end:  {type: test_volume, volume: 0.2 L}
lines:
  feed:          {from: tank.21, to: control.11, bore: 12 mm, length: 2 m}
  signal:        {from: pedal.1, to: control.41, bore: 8 mm, length: 3 m}
  park_line:     {from: hold.1, to: control.43, bore: 8 mm, length: 3 m}
  supply_pipe:   {from: control.21, to: supply_head.1, bore: 9 mm, length: 1.5 m}
  control_pipe:  {from: control.22, to: control_head.1, bore: 9 mm, length: 1.5 m}
  trailer_supply:  {from: supply_head.2, to: supply_end.1, bore: 9.5 mm, length: 10 m}
  trailer_control: {from: control_head.2, to: control_end.1, bore: 9.5 mm, length: 10 m}
scenarios:
  apply_and_release:
    lasts: 5 s
    steps:
      - {at: 0.5 s, set: pedal.pressure, to: 7.5 bar, over: 0.2 s}
      - {at: 3 s, set: pedal.pressure, to: 0 bar, over: 0.2 s}
  control_line_breaks:
    lasts: 9 s
    steps:
      - {at: 0.5 s, break: trailer_control, where: 25 %}
      - {at: 1 s, set: pedal.pressure, to: 7.5 bar, over: 0.2 s}
      - {at: 5 s, set: pedal.pressure, to: 0 bar, over: 0.2 s}
  park:
    lasts: 5 s
    steps:
      - {at: 0.5 s, set: hold.pressure, to: 0 bar, over: 3 s}
"""

    def lower(self, b: Builder) -> None:
        """A relay fed from behind the throttle, and the throttle that its own delivery holds open."""
        source, supply_line, delivery = b.node("11"), b.node("21"), b.node("22")
        valve_air(b, supply_line, self.plenum)
        command = self._command(b)
        valve_air(b, delivery, self.plenum)
        self.pass_on(b, command, supply_line, delivery, b.node("3"))
        throttle = b.frozen(self._throttle(b, command, b.pressure(delivery)), b.fault("throttle_stuck"))
        b.restriction(source, supply_line, self.feed, self.critical_ratio, throttle)
        b.channel("supply_pressure", b.pressure(supply_line))
        b.channel("command", command)
        b.channel("throttle", throttle)

    def _command(self, b: Builder) -> Signal:
        """The higher of the service pressures and of the park line upside down."""
        service = self.control(b, "41")
        if b.connected("42"):
            service = b.maximum(service, self.control(b, "42"))
        above_crack = b.affine(-self.crack, (1.0, service))
        lead = b.ramp(above_crack, 0.0, self.width)
        command = biased(b, above_crack, b.affine(0.0, (1.0, above_crack), (self.predominance, lead)))
        if not b.connected("43"):
            return command
        gain = self.park_gain
        return b.maximum(command, b.affine(gain * self.park_starts, (-gain, self.control(b, "43"))))

    def _throttle(self, b: Builder, command: Signal, delivered: Signal) -> Signal:
        """1 while the delivery follows at least a share of the command, ``throttled`` when it stays far behind."""
        lack = b.affine(0.0, (1.0, delivered), (-self.follows, command))
        follows = b.ramp(lack, -self.throttle_width, self.throttle_width)
        return b.affine(self.throttled, (1.0 - self.throttled, follows))
