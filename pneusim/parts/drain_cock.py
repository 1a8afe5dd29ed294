"""Drain cock: lets water, and the air above it, out of a reservoir."""

from __future__ import annotations

from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder


class DrainCock(Part):
    """A cock to the atmosphere, shut unless someone opens it."""

    type = "drain_cock"
    title = "Drain cock"
    symbol = "drain"
    ports = (PortSpec("1", "supply", words="the vessel that it drains"),)
    inputs = (InputSpec("position", "fraction", 0.0, 0.0, 1.0, "cock", choices={"open": 1.0, "shut": 0.0}),)
    faults = (FaultSpec("left_open", "the cock was left open"),)
    channels = (
        ChannelSpec("position", "fraction", "how far the cock is open"),
        ChannelSpec("opening", "fraction", "opening to the atmosphere"),
        ChannelSpec("flow", "mass_flow", "mass flow to the atmosphere"),
    )
    characteristic = ("time", "tank.pressure")

    conductance: float = parameter(
        "conductance", "drain_cock.conductance", above=0.0, doc="Sonic conductance when open."
    )
    critical_ratio: float = parameter(
        "number", "drain_cock.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )

    example = """\
pneusim: 1
title: A tank is drained, then its cock is left open
components:
  tank:  {type: reservoir, volume: 10 L, pressure: 8 bar}
  drain: {type: drain_cock}
joints:
  - [tank.1, drain.1]
scenarios:
  drain_and_forget:
    lasts: 20 s
    steps:
      - {at: 1 s, set: drain.position, to: open, over: 0.2 s}
      - {at: 3 s, set: drain.position, to: shut, over: 0.2 s}
      - {at: 10 s, fault: drain.left_open}
"""

    def lower(self, b: Builder) -> None:
        """A restriction to the atmosphere times the position."""
        position = b.input("position")
        opening = b.forced(position, b.fault("left_open"), 1.0)
        flow = b.restriction(b.node("1"), b.atmosphere, self.conductance, self.critical_ratio, opening)
        b.channel("position", position)
        b.channel("opening", opening)
        b.channel("flow", flow)
