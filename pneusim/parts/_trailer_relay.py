"""What the relays of the trailer lines share: air taken from one of several ports, delivered at another."""

from __future__ import annotations

from pneusim.parts._air import valve_air
from pneusim.parts._following import DELIVERED, OPENINGS, Following
from pneusim.parts.base import ChannelSpec, parameter
from pneusim.parts.builder import Builder, Signal

CHANNELS = (*DELIVERED, *OPENINGS, ChannelSpec("supply_pressure", "pressure", "pressure of the supply line"))


class TrailerRelay(Following):
    """A piston that lets air from a source to the delivery below its target, and out of it above."""

    crack: float = parameter(
        "pressure_difference",
        "relay_valve.crack",
        low=0.0,
        high=200e3,
        doc="Control pressure below which nothing is delivered.",
    )
    control_volume: float = parameter(
        "volume", "relay_valve.control_volume", above=0.0, high=1e-2, doc="Air at each control piston."
    )

    def control(self, b: Builder, port: str) -> Signal:
        """Pressure in the dead-end chamber of a control port."""
        chamber = b.node(port)
        valve_air(b, chamber, self.control_volume)
        return b.pressure(chamber)
