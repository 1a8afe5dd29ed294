"""Stop valve: a cock that someone turns."""

from __future__ import annotations

from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder


class StopValve(Part):
    """A cock between two ports, open unless the scenario shuts it."""

    type = "stop_valve"
    title = "Stop valve"
    symbol = "shutoff"
    ports = (PortSpec("1", "supply"), PortSpec("2", "delivery"))
    pipe = True
    inputs = (
        InputSpec(
            "position",
            "fraction",
            1.0,
            0.0,
            1.0,
            "cock",
            choices={"open": 1.0, "shut": 0.0},
        ),
    )
    faults = (FaultSpec("stuck", "the cock stays where it is"),)
    channels = (
        ChannelSpec("position", "fraction", "how far the cock is open"),
        ChannelSpec("opening", "fraction", "opening of the passage"),
        ChannelSpec("flow", "mass_flow", "mass flow from port 1 to port 2"),
    )
    characteristic = ("cock.position", "cock.flow")

    conductance: float = parameter(
        "conductance", "stop_valve.conductance", above=0.0, doc="Sonic conductance when open."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )

    example = """\
pneusim: 1
title: A cock shuts off a line
components:
  tank:   {type: reservoir, volume: 20 L, pressure: 8 bar}
  cock:   {type: stop_valve}
  vessel: {type: test_volume, volume: 819 cm3}
lines:
  feed: {from: cock.2, to: vessel.1, bore: 9 mm, length: 2 m}
joints:
  - [tank.21, cock.1]
scenarios:
  open:
    lasts: 2 s
    begin: {cock.position: shut}
    steps:
      - {at: 0.5 s, set: cock.position, to: open, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """A restriction times the position."""
        position = b.frozen(b.input("position"), b.fault("stuck"))
        flow = b.restriction(b.node("1"), b.node("2"), self.conductance, self.critical_ratio, position)
        b.channel("position", position)
        b.channel("opening", position)
        b.channel("flow", flow)
