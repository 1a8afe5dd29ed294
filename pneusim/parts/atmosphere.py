"""The open air, as a place to connect to."""

from __future__ import annotations

from pneusim.parts.base import ChannelSpec, InputSpec, Part, PortSpec
from pneusim.parts.builder import Builder


class Atmosphere(Part):
    """The surroundings; a rig may draw their pressure down or raise it."""

    type = "atmosphere"
    title = "Atmosphere"
    symbol = "exhaust"
    ports = (PortSpec("*", "port", many=True, words="any number of connections"),)
    ways = ()
    inputs = (InputSpec("pressure", "pressure", 0.0, -90e3, 1e6, "pressure"),)
    channels = (ChannelSpec("pressure", "pressure", "pressure there"),)

    example = """\
pneusim: 1
title: A test volume empties through an orifice
components:
  vessel:  {type: test_volume, volume: 5 L, pressure: 6 bar}
  orifice: {type: restriction, conductance: 0.5 dm3/(s bar)}
  open_air: {type: atmosphere}
  cock:    {type: stop_valve}
joints:
  - [vessel.1, cock.1]
  - [cock.2, orifice.1]
  - [orifice.2, open_air.1]
scenarios:
  empty:
    lasts: 5 s
    begin: {cock.position: shut}
    steps:
      - {at: 1 s, set: cock.position, to: open}
"""

    def lower(self, b: Builder) -> None:
        """One ideal source at ambient pressure."""
        node = b.node("*")
        b.supply(node, b.input("pressure"))
        b.channel("pressure", b.pressure(node))
