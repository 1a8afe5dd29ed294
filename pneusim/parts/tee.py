"""Branch of lines."""

from __future__ import annotations

from pneusim.parts._air import valve_air, volume_channels
from pneusim.parts.base import ChannelSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder


class Tee(Part):
    """Three or more lines meet; losses belong to the lines."""

    type = "tee"
    title = "Tee"
    symbol = "junction"
    ports = (PortSpec("*", "port", many=True, words="any number of connections"),)
    pipe = True
    channels = (
        ChannelSpec("pressure", "pressure", "pressure at the branch"),
        ChannelSpec("temperature", "temperature", "temperature of the air at the branch"),
    )

    volume: float = parameter("volume", "tee.volume", above=0.0, high=1e-3, doc="Air inside the fitting.")

    example = """\
pneusim: 1
title: One supply feeds two test volumes through a tee
components:
  source: {type: supply, pressure: 0 bar}
  branch: {type: tee}
  near:   {type: test_volume, volume: 385 cm3}
  far:    {type: test_volume, volume: 385 cm3}
lines:
  feed:  {from: source.1, to: branch.1, bore: 9 mm, length: 2 m}
  short: {from: branch.2, to: near.1, bore: 6 mm, length: 1 m}
  long:  {from: branch.3, to: far.1, bore: 6 mm, length: 6 m}
scenarios:
  fill:
    lasts: 2 s
    steps:
      - {at: 0.5 s, set: source.pressure, to: 7 bar, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """One small volume."""
        node = b.node("*")
        valve_air(b, node, self.volume)
        volume_channels(b, node)
