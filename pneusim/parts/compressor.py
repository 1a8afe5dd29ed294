"""Compressor: the energy supplying device."""

from __future__ import annotations

from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


class Compressor(Part):
    """Delivers air from the atmosphere while the engine runs and a governor leaves it loaded."""

    type = "compressor"
    title = "Compressor"
    symbol = "compressor"
    ports = (PortSpec("2", "delivery", words="the suction, port 0, is the atmosphere"),)
    inputs = (
        InputSpec(
            "speed",
            "rotation",
            default_of("compressor.speed", "rotation"),
            0.0,
            200.0,
            "speed",
        ),
        InputSpec(
            "running",
            "fraction",
            1.0,
            0.0,
            1.0,
            "drive by the engine",
            choices={"on": 1.0, "off": 0.0},
        ),
    )
    faults = (FaultSpec("dead", "it delivers nothing"),)
    channels = (
        ChannelSpec("delivery", "mass_flow", "mass flow delivered"),
        ChannelSpec("speed", "rotation", "speed of the shaft"),
        ChannelSpec("running", "fraction", "whether the engine drives it"),
        ChannelSpec("loaded", "fraction", "whether the governor has it loaded"),
    )
    characteristic = ("tank.pressure", "engine_air.delivery")

    displacement: float = parameter(
        "displacement", "compressor.displacement", above=0.0, doc="Swept volume per revolution."
    )
    efficiency: float = parameter(
        "fraction",
        "compressor.efficiency",
        above=0.0,
        high=1.0,
        doc="Volumetric efficiency without back pressure.",
    )
    clearance: float = parameter(
        "number",
        "compressor.clearance",
        low=0.0,
        high=0.5,
        doc="Clearance share, by which the efficiency falls with back pressure.",
    )
    temperature: float = parameter(
        "temperature",
        "compressor.temperature",
        above=200.0,
        high=600.0,
        doc="Temperature of the air delivered, after its cooling pipe.",
    )

    example = """\
pneusim: 1
title: A compressor charges a tank until its governor cuts out
components:
  engine_air: {type: compressor}
  tank:       {type: reservoir, volume: 10 L, pressure: 8.4 bar}
  governor:   {type: governor}
  keep:       {type: check_valve}
lines:
  pipe: {from: engine_air.2, to: keep.1, bore: 12 mm, length: 2 m}
joints:
  - [keep.2, tank.1, governor.1]
scenarios:
  charge:
    lasts: 15 s
    begin: {engine_air.speed: 2000 rpm}
"""

    def lower(self, b: Builder) -> None:
        """A source of air, on while loaded, running and not dead."""
        speed, running, loaded = b.input("speed"), b.input("running"), b.mode("loaded", 1.0)
        on = b.forced(b.product(loaded, running), b.fault("dead"), 0.0)
        delivery = b.compressor(
            b.node("2"),
            speed,
            on,
            displacement=self.displacement,
            efficiency=self.efficiency,
            clearance=self.clearance,
            temperature=self.temperature,
        )
        b.channel("delivery", delivery)
        b.channel("speed", speed)
        b.channel("running", running)
        b.channel("loaded", loaded)
