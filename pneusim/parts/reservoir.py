"""Air reservoir (energy storage device, ISO 611)."""

from __future__ import annotations

from pneusim.parts._air import volume_channels
from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


class Reservoir(Part):
    """A tank of compressed air with a drain cock."""

    type = "reservoir"
    title = "Air reservoir"
    symbol = "reservoir"
    ports = (PortSpec("*", "port", many=True, words="any number of connections, named as the file likes"),)
    pipe = True
    inputs = (
        InputSpec(
            "drain",
            "fraction",
            0.0,
            0.0,
            1.0,
            "drain cock",
            choices={"shut": 0.0, "open": 1.0},
        ),
    )
    faults = (
        FaultSpec(
            "lost",
            "the tank has a hole",
            "length",
            default_of("reservoir.lost", "length"),
            0.0,
            0.1,
        ),
    )
    channels = (
        ChannelSpec("pressure", "pressure", "pressure in the tank"),
        ChannelSpec("temperature", "temperature", "temperature of the air in the tank"),
        ChannelSpec("drain", "fraction", "opening of the drain cock"),
    )
    characteristic = ("time", "tank.pressure")

    volume: float = parameter("volume", above=0.0, high=10.0, doc="Inner volume.")
    pressure: float = parameter(
        "pressure", "reservoir.pressure", low=0.0, high=5e6, doc="Pressure at the start."
    )
    service: bool = parameter(
        "flag",
        "reservoir.service",
        doc="Whether it stores air for the service brakes and counts in volume rules.",
    )
    drain_conductance: float = parameter(
        "conductance",
        "reservoir.drain_conductance",
        above=0.0,
        doc="Sonic conductance of the open drain cock.",
    )
    drain_critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio of the drain cock."
    )

    example = """\
pneusim: 1
title: A tank is drained
components:
  tank: {type: reservoir, volume: 20 L, pressure: 8 bar}
  cap:  {type: plug}
joints:
  - [tank.21, cap.1]
scenarios:
  drain:
    lasts: 10 s
    steps:
      - {at: 1 s, set: tank.drain, to: open}
"""

    def lower(self, b: Builder) -> None:
        """A stored volume, a drain and a possible hole to atmosphere."""
        node = b.node("*")
        b.air(node, self.volume, default_of("heat.reservoir", "film"), pressure=self.pressure, storage=True)
        drain = b.input("drain")
        b.restriction(node, b.atmosphere, self.drain_conductance, self.drain_critical_ratio, drain)
        b.leak(node, b.fault("lost"))
        volume_channels(b, node)
        b.channel("drain", drain)
