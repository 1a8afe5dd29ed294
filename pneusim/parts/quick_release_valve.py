"""Quick-release valve: vents its delivery where it stands as soon as its supply falls."""

from __future__ import annotations

from pneusim.parts._air import leaking_seat, valve_air, volume_channels
from pneusim.parts._piston import LEAST_CHECK_WIDTH
from pneusim.parts.base import ChannelSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder


class QuickReleaseValve(Part):
    """Air passes from 1 to 2; when 1 falls, 2 empties through 3."""

    type = "quick_release_valve"
    title = "Quick-release valve"
    symbol = "quick_release"
    ports = (
        PortSpec("1", "supply"),
        PortSpec("2", "delivery", many=True),
        PortSpec("3", "exhaust", exhaust=True),
    )
    faults = (
        FaultSpec("stuck", "the diaphragm stays where it is"),
        leaking_seat("the exhaust's seat leaks a share of its opening"),
    )
    channels = (
        ChannelSpec("pressure", "pressure", "delivered pressure"),
        ChannelSpec("temperature", "temperature", "temperature of the air delivered"),
        ChannelSpec("opening", "fraction", "opening from supply to delivery"),
        ChannelSpec("exhaust_opening", "fraction", "opening from delivery to exhaust"),
    )
    characteristic = ("source.pressure", "release.pressure")

    crack: float = parameter(
        "pressure_difference",
        "quick_release_valve.crack",
        low=0.0,
        high=100e3,
        doc="Pressure difference at which the inlet begins to open.",
    )
    exhaust_differential: float = parameter(
        "pressure_difference",
        "quick_release_valve.exhaust_differential",
        low=0.0,
        high=100e3,
        doc="Excess of the delivery at which the exhaust begins to open.",
    )
    width: float = parameter(
        "pressure_difference",
        "quick_release_valve.width",
        low=LEAST_CHECK_WIDTH,
        high=100e3,
        doc="Further difference to open either fully.",
    )
    conductance: float = parameter(
        "conductance",
        "quick_release_valve.conductance",
        above=0.0,
        doc="Sonic conductance from supply to delivery.",
    )
    exhaust_conductance: float = parameter(
        "conductance",
        "quick_release_valve.exhaust_conductance",
        above=0.0,
        doc="Sonic conductance from delivery to exhaust.",
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )
    plenum: float = parameter(
        "volume", "quick_release_valve.plenum", above=0.0, high=1e-2, doc="Air inside, at the delivery."
    )

    example = """\
pneusim: 1
title: A quick-release valve empties two chambers on the axle
components:
  source:  {type: supply, pressure: 0 bar}
  release: {type: quick_release_valve}
  left:    {type: brake_chamber, size: 20}
  right:   {like: left}
lines:
  feed:  {from: source.1, to: release.1, bore: 9 mm, length: 3 m}
  rod_l: {from: release.21, to: left.11, bore: 9 mm, length: 1 m}
  rod_r: {like: rod_l, from: release.22, to: right.11}
scenarios:
  apply_and_release:
    lasts: 3 s
    steps:
      - {at: 0.5 s, set: source.pressure, to: 6 bar, over: 0.1 s}
      - {at: 1.5 s, set: source.pressure, to: 0 bar, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """Two openings of the pressure difference, either way; no memory in the device."""
        inlet, delivery = b.node("1"), b.node("2")
        valve_air(b, delivery, self.plenum)
        supply, delivered = b.pressure(inlet), b.pressure(delivery)
        stuck = b.fault("stuck")
        forward = b.affine(0.0, (1.0, supply), (-1.0, delivered))
        backward = b.affine(0.0, (1.0, delivered), (-1.0, supply))
        opening = b.frozen(b.ramp(forward, self.crack, self.width), stuck)
        exhaust = b.frozen(b.ramp(backward, self.exhaust_differential, self.width), stuck)
        exhaust = b.maximum(exhaust, b.fault("leaking_seat"))
        b.restriction(inlet, delivery, self.conductance, self.critical_ratio, opening)
        b.restriction(delivery, b.node("3"), self.exhaust_conductance, self.critical_ratio, exhaust)
        volume_channels(b, delivery)
        b.channel("opening", opening)
        b.channel("exhaust_opening", exhaust)
