"""Tractor protection valve: shuts the trailer's control line when the supply line is lost."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from pneusim.parts._air import two_states, valve_air
from pneusim.parts._piston import LEAST_WIDTH
from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, Part, PortSpec, Way, parameter
from pneusim.parts.builder import Builder


class TractorProtectionValve(Part):
    """The supply passes straight; the towing side's supply pressure holds the control line open."""

    type = "tractor_protection_valve"
    title = "Tractor protection valve"
    symbol = "tractor_protection"
    ports = (
        PortSpec("11", "supply_in"),
        PortSpec("21", "supply_out"),
        PortSpec("12", "control_in"),
        PortSpec("22", "control_out"),
    )
    ways = (Way("11", "21", pipe=True), Way("12", "22", "11"))
    faults = (
        FaultSpec("stuck_open", "the control line stays open"),
        FaultSpec("stuck_shut", "the control line stays shut"),
    )
    events = (
        EventSpec("opened", "mode", "{title} opened the control line to the trailer"),
        EventSpec("shut", "trip", "{title} shut the control line to the trailer"),
    )
    channels = (
        ChannelSpec("supply_pressure", "pressure", "supply pressure on the towing side, which moves it"),
        ChannelSpec("control_pressure", "pressure", "control pressure towards the trailer"),
        ChannelSpec("opening", "fraction", "opening of the control line"),
    )
    characteristic = ("protect.supply_pressure", "protect.opening")

    opens: float = parameter(
        "pressure",
        "tractor_protection_valve.opens",
        above=0.0,
        high=2e6,
        doc="Rising supply pressure at which it begins to open.",
    )
    closes: float = parameter(
        "pressure",
        "tractor_protection_valve.closes",
        above=0.0,
        high=2e6,
        doc="Falling supply pressure at which it is shut.",
    )
    width: float = parameter(
        "pressure_difference",
        "tractor_protection_valve.width",
        low=LEAST_WIDTH,
        high=300e3,
        doc="Further pressure to open it fully.",
    )
    travel_time: float = parameter(
        "time",
        "tractor_protection_valve.travel_time",
        above=0.0,
        high=1.0,
        doc="Time constant of the spool's travel.",
    )
    conductance: float = parameter(
        "conductance",
        "tractor_protection_valve.conductance",
        above=0.0,
        doc="Sonic conductance of the control passage.",
    )
    supply_conductance: float = parameter(
        "conductance",
        "tractor_protection_valve.supply_conductance",
        above=0.0,
        doc="Sonic conductance of the supply passage, always open.",
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio of both."
    )
    plenum: float = parameter(
        "volume", "tractor_protection_valve.plenum", above=0.0, high=1e-2, doc="Air inside, at each outlet."
    )

    example = """\
pneusim: 1
title: The control line is shut when the supply line empties
components:
  supply:  {type: supply, pressure: 8 bar}
  signal:  {type: supply, pressure: 3 bar}
  protect: {type: tractor_protection_valve}
  trailer: {type: test_volume, volume: 1 L}
  control: {type: test_volume, volume: 385 cm3}
lines:
  supply_in:   {from: supply.1, to: protect.11, bore: 9.5 mm, length: 2 m}
  control_in:  {from: signal.1, to: protect.12, bore: 9.5 mm, length: 2 m}
  supply_out:  {from: protect.21, to: trailer.1, bore: 9.5 mm, length: 3 m}
  control_out: {from: protect.22, to: control.1, bore: 9.5 mm, length: 3 m}
scenarios:
  supply_lost:
    lasts: 5 s
    steps:
      - {at: 0.5 s, set: supply.pressure, to: 0 bar, over: 2 s}
      - {at: 3 s, set: signal.pressure, to: 6 bar, over: 0.2 s}
"""

    @model_validator(mode="after")
    def _order(self) -> Self:
        if not self.closes < self.opens:
            raise ValueError("closes must be less than opens")
        return self

    def lower(self, b: Builder) -> None:
        """A spool with memory, moved by the supply before its own passages so that it cannot hunt."""
        supply_in, supply_out, control_out = b.node("11"), b.node("21"), b.node("22")
        valve_air(b, supply_out, self.plenum)
        valve_air(b, control_out, self.plenum)
        supply = b.pressure(supply_in)
        spool = b.play(supply, self.opens, self.closes, self.width, self.travel_time)
        spool = b.forced(b.forced(spool, b.fault("stuck_open"), 1.0), b.fault("stuck_shut"), 0.0)
        opening = b.ramp(spool, 0.0, 1.0)
        b.restriction(supply_in, supply_out, self.supply_conductance, self.critical_ratio)
        b.restriction(b.node("12"), control_out, self.conductance, self.critical_ratio, opening)
        two_states(b, "open", spool, ("opened", 0.75), ("shut", 0.25))
        b.channel("supply_pressure", supply)
        b.channel("control_pressure", b.pressure(control_out))
        b.channel("opening", opening)
