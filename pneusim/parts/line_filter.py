"""Line filter: keeps dirt from the valves behind it."""

from __future__ import annotations

from pneusim.parts._air import valve_air
from pneusim.parts.base import ChannelSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


class LineFilter(Part):
    """A restriction with a housing on either side; dirt and ice take a share of its passage."""

    type = "line_filter"
    title = "Line filter"
    symbol = "filter"
    ports = (PortSpec("1", "supply"), PortSpec("2", "delivery"))
    pipe = True
    faults = (
        FaultSpec(
            "clogged",
            "dirt or ice take this share of the passage",
            "fraction",
            default_of("line_filter.clogged", "fraction"),
            0.0,
            1.0,
        ),
    )
    channels = (
        ChannelSpec("opening", "fraction", "share of the passage that is free"),
        ChannelSpec("flow", "mass_flow", "mass flow from port 1 to port 2"),
    )
    characteristic = ("time", "vessel.pressure")

    conductance: float = parameter(
        "conductance", "line_filter.conductance", above=0.0, doc="Sonic conductance when clean."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )
    volume: float = parameter(
        "volume", "line_filter.volume", above=0.0, high=1e-2, doc="Air on each side of the element."
    )

    example = """\
pneusim: 1
title: A clogged line filter slows the filling of a vessel
components:
  source: {type: supply, pressure: 0 bar}
  filter: {type: line_filter}
  vessel: {type: test_volume, volume: 2 L}
lines:
  feed: {from: source.1, to: filter.1, bore: 9 mm, length: 2 m}
joints:
  - [filter.2, vessel.1]
scenarios:
  fill_clogged:
    lasts: 4 s
    steps:
      - {at: 0.1 s, fault: filter.clogged, to: 95 %}
      - {at: 0.5 s, set: source.pressure, to: 7 bar, over: 0.1 s}
      - {at: 2 s, mend: filter.clogged}
"""

    def lower(self, b: Builder) -> None:
        """A restriction times what is free of it."""
        inlet, outlet = b.node("1"), b.node("2")
        valve_air(b, inlet, self.volume)
        valve_air(b, outlet, self.volume)
        opening = b.affine(1.0, (-1.0, b.fault("clogged")))
        b.channel("opening", opening)
        b.channel("flow", b.restriction(inlet, outlet, self.conductance, self.critical_ratio, opening))
