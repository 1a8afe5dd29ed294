"""Spring-brake modulating valve: the foot valve grades the spring brakes when the primary circuit gives nothing."""

from __future__ import annotations

from pneusim.parts._air import valve_air
from pneusim.parts._following import DELIVERED, OPENINGS, STUCK_OR_LEAKING, Following, biased
from pneusim.parts.base import ChannelSpec, PortSpec, Way, parameter
from pneusim.parts.builder import Builder


class SpringModulatingValve(Following):
    """Repeats the park line for the springs, less what the secondary delivery exceeds the primary by.

    While both circuits work the two deliveries differ by little, and the springs stay held off.  When the primary is
    lost the secondary's delivery is led in upside down: the further the pedal goes, the less holds the springs off.
    The springs take their air from port 1 and blow off through port 3.  It does not keep spring and service force from
    adding up when the vehicle is parked: a double check valve or a two-port relay valve does.
    """

    type = "spring_modulating_valve"
    title = "Spring-brake modulating valve"
    symbol = "spring_modulating"
    ports = (
        PortSpec("1", "supply", words="protected air for the springs"),
        PortSpec("2", "spring", many=True, words="to the spring sides of the actuators"),
        PortSpec("3", "exhaust", exhaust=True),
        PortSpec("41", "primary", words="delivery of the primary circuit"),
        PortSpec("42", "secondary", words="delivery of the secondary circuit"),
        PortSpec("43", "park", words="line of the park control"),
    )
    ways = (Way("1", "2x", "43"),)
    faults = STUCK_OR_LEAKING
    channels = (*DELIVERED, *OPENINGS, ChannelSpec("target", "pressure", "pressure that it aims at"))
    characteristic = ("secondary.pressure", "left.spring_pressure")

    hold_off: float = parameter(
        "pressure",
        "spring_modulating_valve.hold_off",
        above=0.0,
        high=2e6,
        doc="Most that is delivered to hold the springs off.",
    )
    gain: float = parameter(
        "number",
        "spring_modulating_valve.gain",
        above=0.0,
        high=5.0,
        doc="Delivered pressure lost per difference of the two deliveries.",
    )
    difference: float = parameter(
        "pressure_difference",
        "spring_modulating_valve.difference",
        low=0.0,
        high=200e3,
        doc="Difference of the two deliveries that is no loss yet.",
    )
    crack: float = parameter(
        "pressure_difference",
        "spring_modulating_valve.crack",
        low=0.0,
        high=200e3,
        doc="Park line pressure below which nothing is delivered.",
    )
    control_volume: float = parameter(
        "volume", "relay_valve.control_volume", above=0.0, high=1e-2, doc="Air at each control port."
    )

    example = """\
pneusim: 1
title: The pedal grades the spring brakes after the primary circuit is lost
components:
  tank:      {type: reservoir, volume: 20 L, pressure: 8 bar}
  park:      {type: supply, pressure: 8 bar}
  primary:   {type: supply, pressure: 0 bar}
  secondary: {type: supply, pressure: 0 bar}
  modulate:  {type: spring_modulating_valve}
  service:   {type: supply, pressure: 0 bar}
  left:      {type: spring_brake_actuator, size: 30/30}
lines:
  spring: {from: modulate.21, to: left.12, bore: 9 mm, length: 2 m}
joints:
  - [tank.1, modulate.1]
  - [primary.1, modulate.41]
  - [secondary.1, modulate.42]
  - [park.1, modulate.43]
  - [service.1, left.11]
scenarios:
  brake_with_the_secondary:
    lasts: 14 s
    steps:
      - {at: 1 s, set: secondary.pressure, to: 7 bar, over: 8 s}
      - {at: 10 s, set: secondary.pressure, to: 0 bar, over: 0.5 s}
"""

    def lower(self, b: Builder) -> None:
        """A follower of the park line less the inverted difference of the two deliveries."""
        self.ends(b)
        primary, secondary, park = b.node("41"), b.node("42"), b.node("43")
        for control in (primary, secondary, park):
            valve_air(b, control, self.control_volume)
        excess = b.affine(-self.difference, (1.0, b.pressure(secondary)), (-1.0, b.pressure(primary)))
        lost = b.maximum(excess, b.constant(0.0))
        held = b.minimum(b.pressure(park), b.constant(self.hold_off))
        above_crack = b.affine(-self.crack, (1.0, b.pressure(park)))
        target = biased(b, above_crack, b.affine(0.0, (1.0, held), (-self.gain, lost)))
        b.channel("target", target)
        self.deliver(b, target, b.node("3"))
