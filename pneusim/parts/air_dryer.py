"""Air dryer: a cartridge for the compressor's air, blown out while the compressor is unloaded."""

from __future__ import annotations

from pneusim.parts._air import volume_channels
from pneusim.parts._piston import LEAST_CHECK_WIDTH
from pneusim.parts.base import ChannelSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


class AirDryer(Part):
    """A volume with a check valve towards its delivery and a purge valve; the air is dry throughout.

    A regeneration reservoir at port 22 is filled through a throttle while the compressor delivers; unloaded, its dry
    air flows back through the cartridge and out of the purge valve.
    """

    type = "air_dryer"
    title = "Air dryer"
    symbol = "dryer"
    ports = (
        PortSpec("1", "supply"),
        PortSpec("2", "delivery"),
        PortSpec("22", "regeneration", optional=True, words="to a regeneration reservoir"),
        PortSpec("3", "purge", exhaust=True),
    )
    faults = (FaultSpec("purge_stuck_open", "the purge valve stays open"),)
    channels = (
        ChannelSpec("pressure", "pressure", "pressure in the cartridge"),
        ChannelSpec("temperature", "temperature", "temperature of the air in the cartridge"),
        ChannelSpec("opening", "fraction", "opening of the check valve to the delivery"),
        ChannelSpec("purge_opening", "fraction", "opening of the purge valve"),
    )
    characteristic = ("time", "dryer.pressure")

    compressor: str | None = parameter(
        "name", optional=True, doc="The compressor it serves; needed where a unit has several."
    )
    volume: float = parameter("volume", "air_dryer.volume", above=0.0, high=0.1, doc="Air in the cartridge.")
    conductance: float = parameter(
        "conductance", "air_dryer.conductance", above=0.0, doc="Sonic conductance to the delivery."
    )
    crack: float = parameter(
        "pressure_difference",
        "check_valve.crack",
        low=0.0,
        high=200e3,
        doc="Pressure difference at which its check valve begins to open.",
    )
    width: float = parameter(
        "pressure_difference",
        "check_valve.width",
        low=LEAST_CHECK_WIDTH,
        high=200e3,
        doc="Further difference to open that fully.",
    )
    purge: float = parameter(
        "conductance", "air_dryer.purge", above=0.0, doc="Sonic conductance of the purge valve."
    )
    regeneration: float = parameter(
        "conductance",
        "air_dryer.regeneration",
        above=0.0,
        doc="Sonic conductance of the throttle of the regeneration reservoir.",
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio of all passages."
    )

    example = """\
pneusim: 1
title: A dryer purges when the governor cuts out
components:
  engine_air: {type: compressor}
  dryer:      {type: air_dryer}
  tank:       {type: reservoir, volume: 10 L, pressure: 8.4 bar}
  governor:   {type: governor}
lines:
  pipe: {from: engine_air.2, to: dryer.1, bore: 12 mm, length: 2 m}
joints:
  - [dryer.2, tank.1, governor.1]
scenarios:
  charge:
    lasts: 15 s
    begin: {engine_air.speed: 2000 rpm}
"""

    def lower(self, b: Builder) -> None:
        """A volume, a one-way outlet, and a purge that opens while the compressor is unloaded."""
        node, outlet = b.node("1"), b.node("2")
        b.air(node, self.volume, default_of("heat.reservoir", "film"))
        difference = b.affine(0.0, (1.0, b.pressure(node)), (-1.0, b.pressure(outlet)))
        opening = b.ramp(difference, self.crack, self.width)
        loaded = b.mode("loaded", 1.0, b.partner(self.compressor, "compressor"))
        purge = b.forced(b.affine(1.0, (-1.0, loaded)), b.fault("purge_stuck_open"), 1.0)
        b.restriction(node, outlet, self.conductance, self.critical_ratio, opening)
        b.restriction(node, b.node("3"), self.purge, self.critical_ratio, purge)
        if b.connected("22"):
            b.restriction(node, b.node("22"), self.regeneration, self.critical_ratio)
        volume_channels(b, node)
        b.channel("opening", opening)
        b.channel("purge_opening", purge)
