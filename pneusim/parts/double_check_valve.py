"""Double check valve (shuttle): the higher of two pressures passes."""

from __future__ import annotations

from pneusim.parts._air import valve_air, volume_channels
from pneusim.parts._double_check import shuttle, stuck_sides
from pneusim.parts._piston import LEAST_CHECK_WIDTH
from pneusim.parts.base import ChannelSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder


class DoubleCheckValve(Part):
    """Two inlets, one outlet; the two sides never exchange air, and the outlet never stays above both."""

    type = "double_check_valve"
    title = "Double check valve"
    symbol = "shuttle"
    ports = (PortSpec("11", "supply_1"), PortSpec("12", "supply_2"), PortSpec("2", "delivery"))
    faults = stuck_sides("11", "12")
    channels = (
        ChannelSpec("pressure", "pressure", "delivered pressure"),
        ChannelSpec("temperature", "temperature", "temperature of the air delivered"),
        ChannelSpec("opening", "fraction", "openings of both sides together"),
        ChannelSpec("opening_11", "fraction", "opening from port 11"),
        ChannelSpec("opening_12", "fraction", "opening from port 12"),
    )
    characteristic = ("two.pressure", "higher.pressure")

    width: float = parameter(
        "pressure_difference",
        "double_check_valve.width",
        low=LEAST_CHECK_WIDTH,
        high=50e3,
        doc="Pressure difference that opens a side fully.",
    )
    conductance: float = parameter(
        "conductance",
        "double_check_valve.conductance",
        above=0.0,
        doc="Sonic conductance of one side when open.",
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )
    plenum: float = parameter(
        "volume", "double_check_valve.plenum", above=0.0, high=1e-2, doc="Air inside, at the delivery."
    )

    example = """\
pneusim: 1
title: The higher of two supplies feeds a volume
components:
  one:    {type: supply, pressure: 6 bar}
  two:    {type: supply, pressure: 0 bar}
  higher: {type: double_check_valve}
  vessel: {type: test_volume, volume: 819 cm3}
lines:
  feed: {from: higher.2, to: vessel.1, bore: 9 mm, length: 2 m}
joints:
  - [one.1, higher.11]
  - [two.1, higher.12]
scenarios:
  change_over:
    lasts: 3 s
    steps:
      - {at: 0.5 s, set: two.pressure, to: 8 bar, over: 0.5 s}
      - {at: 2 s, set: two.pressure, to: 0 bar, over: 0.5 s}
"""

    def lower(self, b: Builder) -> None:
        """The exclusive law; a stuck shuttle shuts one side and leaves the other open."""
        inlets, middle = {port: b.node(port) for port in ("11", "12")}, b.node("2")
        valve_air(b, middle, self.plenum)
        opening_11, opening_12 = shuttle(
            b, inlets, middle, self.width, self.conductance, self.critical_ratio
        )
        volume_channels(b, middle)
        b.channel("opening", b.affine(0.0, (1.0, opening_11), (1.0, opening_12)))
        b.channel("opening_11", opening_11)
        b.channel("opening_12", opening_12)
