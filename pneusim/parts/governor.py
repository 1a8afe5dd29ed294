"""Governor (pressure regulator): loads and unloads the compressor."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder

FAR = 1e9  #: a pressure [Pa] that no event of a stuck governor reaches


class Governor(Part):
    """Unloads the compressor at the cut-out pressure and loads it again at the cut-in pressure."""

    type = "governor"
    title = "Governor"
    symbol = "governor"
    ports = (PortSpec("1", "supply", words="the pressure sensed"),)
    faults = (
        FaultSpec("stuck_loaded", "it stays in the position that loads the compressor"),
        FaultSpec("stuck_unloaded", "it stays in the position that unloads the compressor"),
    )
    events = (
        EventSpec(
            "cut_out", "mode", "{title} unloaded the compressor, because its pressure rose through {level}"
        ),
        EventSpec(
            "cut_in", "mode", "{title} loaded the compressor, because its pressure fell through {level}"
        ),
        EventSpec("held_loaded", "mode", "{title} loaded the compressor, because it is stuck"),
        EventSpec("held_unloaded", "mode", "{title} unloaded the compressor, because it is stuck"),
    )
    channels = (
        ChannelSpec("pressure", "pressure", "pressure sensed"),
        ChannelSpec("mode", "fraction", "1 = the compressor is loaded"),
    )
    characteristic = ("governor.pressure", "governor.mode")

    compressor: str | None = parameter(
        "name", optional=True, doc="The compressor it governs; needed where a unit has several."
    )
    cut_out: float = parameter(
        "pressure",
        "governor.cut_out",
        above=0.0,
        high=3e6,
        doc="Pressure at which it unloads the compressor.",
    )
    cut_in: float = parameter(
        "pressure", "governor.cut_in", above=0.0, high=3e6, doc="Pressure at which it loads the compressor."
    )

    example = """\
pneusim: 1
title: A governor cuts in as air is used and out when the tank is full
components:
  engine_air: {type: compressor}
  keep:       {type: check_valve}
  tank:       {type: reservoir, volume: 5 L, pressure: 8 bar}
  governor:   {type: governor, cut_in: 7.3 bar, cut_out: 8.5 bar}
lines:
  pipe: {from: engine_air.2, to: keep.1, bore: 12 mm, length: 2 m}
joints:
  - [keep.2, tank.1, governor.1]
scenarios:
  use_and_charge:
    lasts: 15 s
    begin: {engine_air.speed: 2000 rpm}
    steps:
      - {at: 4 s, set: tank.drain, to: open}
      - {at: 6 s, set: tank.drain, to: shut}
"""

    @model_validator(mode="after")
    def _order(self) -> Self:
        if not self.cut_in < self.cut_out:
            raise ValueError("cut_in must be less than cut_out")
        return self

    def lower(self, b: Builder) -> None:
        """Two events on the sensed pressure, and two that a stuck governor brings about; it draws no air."""
        pressure = b.pressure(b.node("1"))
        loaded = b.mode("loaded", 1.0, b.partner(self.compressor, "compressor"))
        stuck_loaded, stuck_unloaded = b.fault("stuck_loaded"), b.fault("stuck_unloaded")
        load, unload = {loaded: 1.0}, {loaded: 0.0}
        b.event("cut_out", b.forced(pressure, stuck_loaded, -FAR), self.cut_out, +1, armed=load, sets=unload)
        b.event("cut_in", b.forced(pressure, stuck_unloaded, FAR), self.cut_in, -1, armed=unload, sets=load)
        b.event("held_loaded", stuck_loaded, 0.5, +1, armed=unload, sets=load)
        b.event("held_unloaded", stuck_unloaded, 0.5, +1, armed=load, sets=unload)
        b.channel("pressure", pressure)
        b.channel("mode", loaded)
