"""Check valve (non-return valve)."""

from __future__ import annotations

from pneusim.parts._air import leaking_seat
from pneusim.parts._piston import LEAST_CHECK_WIDTH
from pneusim.parts.base import ChannelSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder


class CheckValve(Part):
    """Lets air pass from 1 to 2 and holds it there."""

    type = "check_valve"
    title = "Check valve"
    symbol = "check"
    ports = (PortSpec("1", "supply"), PortSpec("2", "delivery"))
    faults = (
        FaultSpec("stuck_open", "the seat stays open, both ways"),
        FaultSpec("stuck_shut", "the seat stays shut"),
        leaking_seat("the seat leaks a share of its opening"),
    )
    channels = (
        ChannelSpec("opening", "fraction", "opening of the seat"),
        ChannelSpec("flow", "mass_flow", "mass flow from port 1 to port 2"),
    )
    characteristic = ("source.pressure", "tank.pressure")

    crack: float = parameter(
        "pressure_difference",
        "check_valve.crack",
        low=0.0,
        high=200e3,
        doc="Pressure difference at which the seat begins to open.",
    )
    width: float = parameter(
        "pressure_difference",
        "check_valve.width",
        low=LEAST_CHECK_WIDTH,
        high=200e3,
        doc="Further pressure difference to open it fully.",
    )
    conductance: float = parameter(
        "conductance", "check_valve.conductance", above=0.0, doc="Sonic conductance when open."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )

    example = """\
pneusim: 1
title: A check valve keeps the air of a tank when the supply is lost
components:
  source: {type: supply, pressure: 8 bar}
  check:  {type: check_valve}
  tank:   {type: reservoir, volume: 10 L, pressure: 6 bar}
lines:
  feed: {from: source.1, to: check.1, bore: 9 mm, length: 1 m}
joints:
  - [check.2, tank.1]
scenarios:
  supply_lost:
    lasts: 6 s
    steps:
      - {at: 3 s, set: source.pressure, to: 0 bar, over: 0.5 s}
"""

    def lower(self, b: Builder) -> None:
        """A one-way opening of the pressure difference; no memory in the device."""
        inlet, outlet = b.node("1"), b.node("2")
        difference = b.affine(0.0, (1.0, b.pressure(inlet)), (-1.0, b.pressure(outlet)))
        opening = b.maximum(b.ramp(difference, self.crack, self.width), b.fault("leaking_seat"))
        opening = b.forced(opening, b.fault("stuck_open"), 1.0)
        opening = b.forced(opening, b.fault("stuck_shut"), 0.0)
        b.channel("opening", opening)
        b.channel("flow", b.restriction(inlet, outlet, self.conductance, self.critical_ratio, opening))
