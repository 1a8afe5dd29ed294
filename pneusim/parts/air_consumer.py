"""Air consumer: suspension, doors, a horn, anything that takes air and does not brake."""

from __future__ import annotations

from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


class AirConsumer(Part):
    """A volume behind an inlet, out of which the consumer lets air as far as its own valves stand open."""

    type = "air_consumer"
    title = "Air consumer"
    symbol = "consumer"
    ports = (PortSpec("1", "supply", words="behind a protection valve, as a rule"),)
    inputs = (InputSpec("draw", "fraction", 0.0, 0.0, 1.0, "draw"),)
    faults = (
        FaultSpec(
            "burst",
            "it bursts, equal to a hole",
            "length",
            default_of("air_consumer.burst", "length"),
            0.0,
            0.1,
        ),
    )
    channels = (
        ChannelSpec("pressure", "pressure", "pressure in the consumer"),
        ChannelSpec("temperature", "temperature", "temperature of its air"),
        ChannelSpec("draw", "fraction", "how far its own valves are open"),
        ChannelSpec("flow", "mass_flow", "mass flow that it takes"),
        ChannelSpec("used", "mass_flow", "mass flow that it lets out"),
    )
    characteristic = ("time", "bellows.pressure")

    volume: float = parameter(
        "volume", "air_consumer.volume", above=0.0, high=0.1, doc="Air in bellows, cylinders and their pipes."
    )
    conductance: float = parameter(
        "conductance", "air_consumer.conductance", above=0.0, doc="Sonic conductance of its inlet."
    )
    draw_conductance: float = parameter(
        "conductance",
        "air_consumer.draw_conductance",
        above=0.0,
        doc="Sonic conductance of its own valves, fully open.",
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio of both."
    )

    example = """\
pneusim: 1
title: Doors draw air from a tank behind a protection valve
components:
  tank:    {type: reservoir, volume: 20 L, pressure: 8 bar}
  protect: {type: protection_valve}
  bellows: {type: air_consumer, volume: 10 L}
lines:
  feed: {from: protect.2, to: bellows.1, bore: 6 mm, length: 3 m}
joints:
  - [tank.1, protect.1]
scenarios:
  draw_and_burst:
    lasts: 40 s
    steps:
      - {at: 1 s, set: bellows.draw, to: 50 %, over: 0.2 s}
      - {at: 6 s, set: bellows.draw, to: 0 %, over: 0.2 s}
      - {at: 10 s, fault: bellows.burst, to: 8 mm}
"""

    def lower(self, b: Builder) -> None:
        """A vessel behind a restriction, with a variable way out."""
        inside = b.plenum("inside", self.volume, default_of("heat.reservoir", "film"))
        draw = b.input("draw")
        b.channel("flow", b.restriction(b.node("1"), inside, self.conductance, self.critical_ratio))
        b.channel("used", b.restriction(inside, b.atmosphere, self.draw_conductance, self.critical_ratio, draw))
        b.leak(inside, b.fault("burst"))
        b.channel("pressure", b.pressure(inside))
        b.channel("temperature", b.temperature(inside))
        b.channel("draw", draw)
