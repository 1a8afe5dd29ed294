"""Plug: closes a port."""

from __future__ import annotations

from pneusim.parts.base import Part, PortSpec
from pneusim.parts.builder import Builder


class Plug(Part):
    """Closes the port it is joined to."""

    type = "plug"
    title = "Plug"
    symbol = "plug"
    ports = (PortSpec("1", "port", words="the port to close"),)

    example = """\
pneusim: 1
title: A plugged line fills and holds
components:
  source: {type: supply, pressure: 0 bar}
  joint:  {type: tee}
  cap:    {type: plug}
lines:
  feed: {from: source.1, to: joint.1, bore: 9 mm, length: 2 m}
joints:
  - [joint.2, cap.1]
scenarios:
  fill:
    lasts: 1 s
    steps:
      - {at: 0.2 s, set: source.pressure, to: 7 bar, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """Nothing: a closed port is a port without flow."""
