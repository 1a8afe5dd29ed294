"""Test connection: where a gauge or a tester is joined to a circuit (ISO 3583)."""

from __future__ import annotations

from pneusim.parts._air import valve_air
from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


class TestConnection(Part):
    """Shut by its own valve; pressed open without a tester it bleeds to the atmosphere."""

    __test__ = False

    type = "test_connection"
    title = "Test connection"
    symbol = "test_point"
    ports = (PortSpec("1", "supply", words="the pressure that can be measured"),)
    inputs = (InputSpec("valve", "fraction", 0.0, 0.0, 1.0, "valve", choices={"open": 1.0, "shut": 0.0}),)
    faults = (
        FaultSpec(
            "leaking",
            "its valve leaks, equal to a hole",
            "length",
            default_of("test_connection.leaking", "length"),
            0.0,
            0.01,
        ),
    )
    channels = (
        ChannelSpec("pressure", "pressure", "pressure at the connection"),
        ChannelSpec("valve", "fraction", "how far its valve is open"),
    )
    characteristic = ("time", "point.pressure")

    bore: float = parameter("length", "test_connection.bore", above=0.0, high=0.02, doc="Bore of its valve.")
    volume: float = parameter("volume", "test_connection.volume", above=0.0, high=1e-3, doc="Air inside.")

    example = """\
pneusim: 1
title: The valve of a test connection is pressed open
components:
  tank:  {type: reservoir, volume: 5 L, pressure: 8 bar}
  point: {type: test_connection}
joints:
  - [tank.1, point.1]
scenarios:
  bleed:
    lasts: 10 s
    steps:
      - {at: 1 s, set: point.valve, to: open, over: 0.1 s}
      - {at: 4 s, set: point.valve, to: shut, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """A small volume and a hole as wide as its valve is open."""
        node, valve = b.node("1"), b.input("valve")
        valve_air(b, node, self.volume)
        b.leak(node, b.affine(0.0, (self.bore, valve)))
        b.leak(node, b.fault("leaking"))
        b.channel("pressure", b.pressure(node))
        b.channel("valve", valve)
