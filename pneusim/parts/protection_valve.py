"""Protection valve (overflow valve): feeds a circuit from a pressure up, keeps the rest if it fails."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from pneusim.parts._air import leaking_seat, two_states
from pneusim.parts._piston import LEAST_CHECK_WIDTH, LEAST_WIDTH
from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder, Node, Signal


def area_ratio_piston(
    b: Builder, inlet: Node, outlet: Node, opens: float, closes: float, width: float
) -> Signal:
    """Opening of a piston on which the inlet acts over the seat's area and the outlet over the rest.

    It opens at ``opens`` when the outlet is empty; once open both pressures act together, and it shuts at
    ``closes``: with a = closes/opens, the balance is a p1 + (1 - a) p2 = closes.
    """
    a = closes / opens
    balance = b.affine(0.0, (a, b.pressure(inlet)), (1.0 - a, b.pressure(outlet)))
    return b.ramp(balance, closes, width)


def one_way(b: Builder, inlet: Node, outlet: Node, width: float) -> Signal:
    """Factor 0..1 that stops flow from the outlet back to the inlet."""
    return b.ramp(b.affine(0.0, (1.0, b.pressure(inlet)), (-1.0, b.pressure(outlet))), 0.0, width)


class ProtectionValve(Part):
    """Opens at a pressure and shuts at a lower one, with or without back flow."""

    type = "protection_valve"
    title = "Protection valve"
    symbol = "protection"
    ports = (PortSpec("1", "supply"), PortSpec("2", "delivery"))
    faults = (
        FaultSpec("stuck_open", "the piston stays open, both ways"),
        FaultSpec("stuck_shut", "the piston stays shut"),
        leaking_seat("the seat leaks a share of its opening, both ways"),
    )
    events = (
        EventSpec("opened", "mode", "{title} opened"),
        EventSpec("shut", "trip", "{title} shut: its two sides are apart"),
    )
    channels = (
        ChannelSpec("opening", "fraction", "opening of the passage"),
        ChannelSpec("flow", "mass_flow", "mass flow from port 1 to port 2"),
    )
    characteristic = ("source.pressure", "tank.pressure")

    opens: float = parameter(
        "pressure",
        "protection_valve.opens",
        above=0.0,
        high=3e6,
        doc="Supply pressure that opens it towards an empty circuit; the pressure it secures.",
    )
    closes: float = parameter(
        "pressure",
        "protection_valve.closes",
        above=0.0,
        high=3e6,
        doc="Pressure at which it shuts when both sides fall together.",
    )
    back_flow: bool = parameter(
        "flag", "protection_valve.back_flow", doc="Whether air may return while it is open."
    )
    width: float = parameter(
        "pressure_difference",
        "valve.width",
        low=LEAST_WIDTH,
        high=300e3,
        doc="Pressure beyond the balance that opens it fully.",
    )
    one_way_width: float = parameter(
        "pressure_difference",
        "check_valve.width",
        low=LEAST_CHECK_WIDTH,
        high=200e3,
        doc="Pressure difference that opens its check valve fully.",
    )
    conductance: float = parameter(
        "conductance", "protection_valve.conductance", above=0.0, doc="Sonic conductance when open."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )

    example = """\
pneusim: 1
title: A protection valve fills a tank late and keeps its air
components:
  source:  {type: supply, pressure: 4 bar}
  protect: {type: protection_valve}
  tank:    {type: reservoir, volume: 5 L}
lines:
  feed: {from: source.1, to: protect.1, bore: 9 mm, length: 2 m}
joints:
  - [protect.2, tank.1]
scenarios:
  fill_and_lose:
    lasts: 12 s
    steps:
      - {at: 1 s, set: source.pressure, to: 8 bar, over: 2 s}
      - {at: 8 s, set: source.pressure, to: 0 bar, over: 2 s}
"""

    @model_validator(mode="after")
    def _order(self) -> Self:
        if not self.closes < self.opens:
            raise ValueError("closes must be less than opens")
        return self

    def lower(self, b: Builder) -> None:
        """The area-ratio piston, times a check valve where air may not return."""
        inlet, outlet = b.node("1"), b.node("2")
        piston = area_ratio_piston(b, inlet, outlet, self.opens, self.closes, self.width)
        opening = (
            piston if self.back_flow else b.product(piston, one_way(b, inlet, outlet, self.one_way_width))
        )
        opening = b.maximum(opening, b.fault("leaking_seat"))
        stuck_open, stuck_shut = b.fault("stuck_open"), b.fault("stuck_shut")
        opening = b.forced(b.forced(opening, stuck_open, 1.0), stuck_shut, 0.0)
        piston = b.forced(b.forced(piston, stuck_open, 1.0), stuck_shut, 0.0)
        two_states(b, "open", piston, ("opened", 0.75), ("shut", 0.25))
        b.channel("opening", opening)
        b.channel("flow", b.restriction(inlet, outlet, self.conductance, self.critical_ratio, opening))
