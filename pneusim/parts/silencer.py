"""Silencer: at the exhaust of a valve."""

from __future__ import annotations

from pneusim.parts._air import valve_air
from pneusim.parts.base import ChannelSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


class Silencer(Part):
    """A small volume behind an exhaust and a restriction to the atmosphere; dirt and ice take a share of it."""

    type = "silencer"
    title = "Silencer"
    symbol = "silencer"
    ports = (
        PortSpec("1", "supply", words="the exhaust port that it silences"),
        PortSpec("3", "exhaust", exhaust=True),
    )
    faults = (
        FaultSpec(
            "clogged",
            "dirt or ice take this share of the passage",
            "fraction",
            default_of("silencer.clogged", "fraction"),
            0.0,
            1.0,
        ),
    )
    channels = (
        ChannelSpec("pressure", "pressure", "pressure in the silencer"),
        ChannelSpec("opening", "fraction", "share of the passage that is free"),
        ChannelSpec("flow", "mass_flow", "mass flow from port 1 to port 3"),
    )
    characteristic = ("time", "left.service_pressure")

    conductance: float = parameter(
        "conductance", "silencer.conductance", above=0.0, doc="Sonic conductance when clean."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )
    volume: float = parameter("volume", "silencer.volume", above=0.0, high=1e-2, doc="Air inside.")

    example = """\
pneusim: 1
title: An iced silencer holds a chamber's air back
components:
  source:   {type: supply, pressure: 0 bar}
  release:  {type: quick_release_valve}
  silencer: {type: silencer}
  left:     {type: brake_chamber, size: 20}
lines:
  feed: {from: source.1, to: release.1, bore: 9 mm, length: 3 m}
  rod:  {from: release.21, to: left.11, bore: 9 mm, length: 1 m}
joints:
  - [release.3, silencer.1]
scenarios:
  release_iced:
    lasts: 6 s
    steps:
      - {at: 0.5 s, set: source.pressure, to: 6 bar, over: 0.1 s}
      - {at: 1 s, fault: silencer.clogged, to: 98 %}
      - {at: 1.5 s, set: source.pressure, to: 0 bar, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """A volume and a restriction times what is free of it."""
        inside = b.node("1")
        valve_air(b, inside, self.volume)
        opening = b.affine(1.0, (-1.0, b.fault("clogged")))
        b.channel("pressure", b.pressure(inside))
        b.channel("opening", opening)
        b.channel("flow", b.restriction(inside, b.node("3"), self.conductance, self.critical_ratio, opening))
