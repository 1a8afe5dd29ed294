"""Ideal air supply, such as a shop-air connection of a test rig."""

from __future__ import annotations

from pneusim.parts.base import ChannelSpec, InputSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder


class Supply(Part):
    """A source whose pressure never yields, at the ambient temperature."""

    type = "supply"
    title = "Ideal supply"
    symbol = "source"
    ports = (PortSpec("*", "port", many=True, words="any number of connections"),)
    ways = ()
    inputs = (InputSpec("pressure", "pressure", 0.0, -90e3, 5e6, "pressure"),)
    channels = (ChannelSpec("pressure", "pressure", "pressure of the source"),)
    characteristic = ("time", "source.pressure")

    pressure: float = parameter(
        "pressure", "supply.pressure", low=-90e3, high=5e6, doc="Pressure at the start."
    )

    example = """\
pneusim: 1
title: A shop-air connection fills a test volume
components:
  source: {type: supply, pressure: 0 bar}
  vessel: {type: test_volume, volume: 819 cm3}
lines:
  hose: {from: source.1, to: vessel.1, bore: 9 mm, length: 2 m}
scenarios:
  fill:
    lasts: 2 s
    steps:
      - {at: 0.5 s, set: source.pressure, to: 7 bar, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """One ideal source."""
        node = b.node("*")
        b.supply(node, b.input("pressure", self.pressure))
        b.channel("pressure", b.pressure(node))
