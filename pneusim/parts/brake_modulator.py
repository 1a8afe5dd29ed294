"""Brake modulator: the anti-lock valve between a relay or brake valve and a chamber."""

from __future__ import annotations

from pneusim.parts._air import valve_air, volume_channels
from pneusim.parts._following import DELIVERED, OPENINGS
from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder

APPLY, HOLD, RELEASE = 1.0, 0.0, -1.0


class BrakeModulator(Part):
    """Passes the pressure, holds it, or releases it, as commanded.

    Apply opens 1 to 2, both ways, and is what it does without current; hold shuts both seats; release opens 2 to 3.
    """

    type = "brake_modulator"
    title = "Brake modulator"
    symbol = "modulator"
    ports = (PortSpec("1", "supply"), PortSpec("2", "delivery", many=True), PortSpec("3", "exhaust", exhaust=True))
    inputs = (
        InputSpec(
            "command",
            "fraction",
            APPLY,
            RELEASE,
            APPLY,
            "command",
            choices={"apply": APPLY, "hold": HOLD, "release": RELEASE},
            latched=True,
        ),
    )
    faults = (
        FaultSpec("stuck_apply", "the valve stays in apply: it never holds nor releases"),
        FaultSpec("stuck_hold", "the valve stays in hold: both seats shut"),
        FaultSpec("stuck_release", "the valve stays in release: the delivery is vented"),
    )
    channels = (
        ChannelSpec("command", "fraction", "command: 1 = apply, 0 = hold, -1 = release"),
        *DELIVERED,
        *OPENINGS,
    )
    characteristic = ("time", "modulator.pressure")

    conductance: float = parameter(
        "conductance", "brake_modulator.conductance", above=0.0, doc="Sonic conductance from supply to delivery."
    )
    exhaust_conductance: float = parameter(
        "conductance",
        "brake_modulator.exhaust_conductance",
        above=0.0,
        doc="Sonic conductance from delivery to exhaust.",
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )
    plenum: float = parameter(
        "volume", "brake_modulator.plenum", above=0.0, high=1e-2, doc="Air inside, at the delivery."
    )
    lag: float = parameter(
        "time",
        "brake_modulator.lag",
        low=0.0,
        high=0.2,
        doc="First-order lag of the valve behind its command, 0 = none.",
    )

    example = """\
pneusim: 1
title: A modulator releases, holds and reapplies a brake
components:
  source:    {type: supply, pressure: 0 bar}
  modulator: {type: brake_modulator}
  left:      {type: brake_chamber, size: 24}
lines:
  feed: {from: source.1, to: modulator.1, bore: 9 mm, length: 2 m}
  rod:  {from: modulator.21, to: left.11, bore: 9 mm, length: 1 m}
scenarios:
  cycle:
    lasts: 3 s
    steps:
      - {at: 0.2 s, set: source.pressure, to: 6 bar, over: 0.1 s}
      - {at: 1 s, set: modulator.command, to: release}
      - {at: 1.06 s, set: modulator.command, to: hold}
      - {at: 1.6 s, set: modulator.command, to: apply}
      - {at: 2.2 s, fault: modulator.stuck_release}
"""

    def lower(self, b: Builder) -> None:
        """Two openings of the command."""
        delivery, command = b.node("2"), b.mode("command", APPLY)
        valve_air(b, delivery, self.plenum)
        position = b.travel(command, self.lag) if self.lag > 0.0 else command
        for fault, stays in (("stuck_apply", APPLY), ("stuck_hold", HOLD), ("stuck_release", RELEASE)):
            position = b.forced(position, b.fault(fault), stays)
        opening, vent = b.ramp(position, 0.0, 1.0), b.ramp(b.affine(0.0, (-1.0, position)), 0.0, 1.0)
        b.restriction(b.node("1"), delivery, self.conductance, self.critical_ratio, opening)
        b.restriction(delivery, b.node("3"), self.exhaust_conductance, self.critical_ratio, vent)
        volume_channels(b, delivery)
        b.channel("command", command)
        b.channel("opening", opening)
        b.channel("exhaust_opening", vent)
