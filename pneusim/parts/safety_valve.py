"""Safety valve: limits the pressure of what it protects."""

from __future__ import annotations

from pneusim.parts._air import two_states
from pneusim.parts._piston import LEAST_WIDTH
from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder


class SafetyValve(Part):
    """Blows off above its set pressure."""

    type = "safety_valve"
    title = "Safety valve"
    symbol = "relief"
    ports = (PortSpec("1", "supply"), PortSpec("3", "exhaust", exhaust=True))
    faults = (
        FaultSpec("stuck_open", "the seat stays open"),
        FaultSpec("stuck_shut", "the seat stays shut"),
    )
    events = (
        EventSpec("lifted", "warning", "{title} blew off"),
        EventSpec("reseated", "mode", "{title} shut again"),
    )
    channels = (
        ChannelSpec("opening", "fraction", "opening of the seat"),
        ChannelSpec("flow", "mass_flow", "mass flow blown off"),
    )
    characteristic = ("tank.pressure", "safety.flow")

    opens: float = parameter(
        "pressure", "safety_valve.opens", above=0.0, high=5e6, doc="Pressure at which it begins to blow off."
    )
    width: float = parameter(
        "pressure_difference",
        "safety_valve.width",
        low=LEAST_WIDTH,
        high=1e6,
        doc="Further pressure to open it fully.",
    )
    conductance: float = parameter(
        "conductance", "safety_valve.conductance", above=0.0, doc="Sonic conductance when open."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )

    example = """\
pneusim: 1
title: A safety valve limits the pressure when the governor is stuck
components:
  engine_air: {type: compressor}
  tank:       {type: reservoir, volume: 3 L, pressure: 9.5 bar}
  keep:       {type: check_valve}
  safety:     {type: safety_valve}
lines:
  pipe: {from: engine_air.2, to: keep.1, bore: 12 mm, length: 2 m}
joints:
  - [keep.2, tank.1, safety.1]
scenarios:
  overcharge:
    lasts: 20 s
    begin: {engine_air.speed: 2000 rpm}
"""

    def lower(self, b: Builder) -> None:
        """An opening of the pressure above the setting."""
        node = b.node("1")
        opening = b.ramp(b.pressure(node), self.opens, self.width)
        opening = b.forced(opening, b.fault("stuck_open"), 1.0)
        opening = b.forced(opening, b.fault("stuck_shut"), 0.0)
        two_states(b, "blowing", opening, ("lifted", 0.02), ("reseated", 0.001))
        b.channel("opening", opening)
        b.channel("flow", b.restriction(node, b.node("3"), self.conductance, self.critical_ratio, opening))
