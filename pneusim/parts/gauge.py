"""Gauge: shows a pressure to the driver or to the one who tests."""

from __future__ import annotations

from pneusim.parts._air import valve_air
from pneusim.parts.base import ChannelSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder


class Gauge(Part):
    """Shows the pressure at its port; a stuck one goes on showing what it showed."""

    type = "gauge"
    title = "Gauge"
    symbol = "gauge"
    ports = (PortSpec("1", "supply", words="the pressure shown"),)
    faults = (FaultSpec("stuck", "the pointer stays where it is"),)
    channels = (
        ChannelSpec("pressure", "pressure", "pressure at the port"),
        ChannelSpec("reading", "pressure", "pressure shown"),
    )
    characteristic = ("time", "dial.reading")

    volume: float = parameter("volume", "gauge.volume", above=0.0, high=1e-3, doc="Air in its tube.")

    example = """\
pneusim: 1
title: A gauge whose pointer sticks
components:
  source: {type: supply, pressure: 8 bar}
  branch: {type: tee}
  dial:   {type: gauge}
lines:
  feed: {from: source.1, to: branch.1, bore: 6 mm, length: 2 m}
  to_dial: {from: branch.2, to: dial.1, bore: 4 mm, length: 1 m}
scenarios:
  stick:
    lasts: 3 s
    steps:
      - {at: 0.5 s, set: source.pressure, to: 4 bar, over: 2 s}
      - {at: 1.5 s, fault: dial.stuck}
"""

    def lower(self, b: Builder) -> None:
        """A small volume, and a pointer that may be frozen."""
        node = b.node("1")
        valve_air(b, node, self.volume)
        b.channel("pressure", b.pressure(node))
        b.channel("reading", b.frozen(b.pressure(node), b.fault("stuck")))
