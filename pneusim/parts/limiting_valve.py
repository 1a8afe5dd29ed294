"""Pressure limiting valve: passes its supply up to a set pressure."""

from __future__ import annotations

from pneusim.parts._following import DELIVERED, OPENINGS, STUCK_OR_LEAKING, Following
from pneusim.parts.base import PortSpec, parameter
from pneusim.parts.builder import Builder


class LimitingValve(Following):
    """Delivers the supply pressure, but at most the set pressure; relieves what is above it, or does not."""

    type = "limiting_valve"
    title = "Pressure limiting valve"
    symbol = "limiting"
    ports = (
        PortSpec("1", "supply"),
        PortSpec("2", "delivery", many=True),
        PortSpec("3", "exhaust", exhaust=True, words="not used when it relieves nothing"),
    )
    faults = STUCK_OR_LEAKING
    channels = (*DELIVERED, *OPENINGS)
    characteristic = ("source.pressure", "limit.pressure")

    set_pressure: float = parameter(
        "pressure", "limiting_valve.set_pressure", above=0.0, high=2e6, doc="Highest pressure delivered."
    )
    relieving: bool = parameter(
        "flag", "limiting_valve.relieving", doc="Whether a delivery above the set pressure is vented."
    )
    conductance: float = parameter(
        "conductance", "limiting_valve.conductance", above=0.0, doc="Sonic conductance of the inlet."
    )
    exhaust_conductance: float = parameter(
        "conductance",
        "limiting_valve.exhaust_conductance",
        above=0.0,
        doc="Sonic conductance of the exhaust.",
    )

    example = """\
pneusim: 1
title: A limiting valve feeds a volume at 550 kPa
components:
  source: {type: supply, pressure: 0 bar}
  limit:  {type: limiting_valve}
  vessel: {type: test_volume, volume: 1 L}
lines:
  feed: {from: source.1, to: limit.1, bore: 9 mm, length: 1 m}
  out:  {from: limit.21, to: vessel.1, bore: 9 mm, length: 1 m}
scenarios:
  rise_and_fall:
    lasts: 7 s
    steps:
      - {at: 0.5 s, set: source.pressure, to: 8 bar, over: 2.5 s}
      - {at: 4 s, set: source.pressure, to: 0 bar, over: 2.5 s}
"""

    def lower(self, b: Builder) -> None:
        """A follower of a constant; at less than the set pressure its inlet stands open, both ways."""
        self.ends(b)
        self.deliver(b, b.constant(self.set_pressure), b.node("3") if self.relieving else None)
