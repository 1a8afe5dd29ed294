"""Needle valve: a restriction set by a screw."""

from __future__ import annotations

from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder


class NeedleValve(Part):
    """Passes a share of its conductance, as far as its screw is open."""

    type = "needle_valve"
    title = "Needle valve"
    symbol = "throttle"
    ports = (PortSpec("1", "supply"), PortSpec("2", "delivery"))
    inputs = (InputSpec("screw", "fraction", 0.2, 0.0, 1.0, "screw"),)
    faults = (FaultSpec("clogged", "the needle is clogged"),)
    channels = (
        ChannelSpec("screw", "fraction", "how far the screw is open"),
        ChannelSpec("flow", "mass_flow", "mass flow from port 1 to port 2"),
    )
    characteristic = ("needle.screw", "needle.flow")

    conductance: float = parameter(
        "conductance", "needle_valve.conductance", above=0.0, doc="Sonic conductance, fully open."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )

    example = """\
pneusim: 1
title: A vessel fills through a needle valve
components:
  source: {type: supply, pressure: 8 bar}
  needle: {type: needle_valve}
  vessel: {type: test_volume, volume: 2 L}
joints:
  - [source.1, needle.1]
  - [needle.2, vessel.1]
scenarios:
  open:
    lasts: 10 s
    steps:
      - {at: 1 s, set: needle.screw, to: 100 %, over: 2 s}
"""

    def lower(self, b: Builder) -> None:
        """A restriction times the screw."""
        screw = b.input("screw")
        opening = b.forced(screw, b.fault("clogged"), 0.0)
        b.channel("screw", screw)
        b.channel("flow", b.restriction(b.node("1"), b.node("2"), self.conductance, self.critical_ratio, opening))
