"""Bobtail proportioning valve: a relay that brakes a tractor's drive axles less when it has no trailer."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from pneusim.parts._air import two_states, valve_air
from pneusim.parts._relay import CHANNELS, FAULTS, PORTS, Relay, ratio_parameter
from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, PortSpec, Way, parameter
from pneusim.parts.builder import Builder


class BobtailValve(Relay):
    """A relay whose ratio falls smoothly to a lower one as the pressure of the trailer's supply line is lost.

    The supply line's pressure acts on a piston of its own, a dead end.
    """

    type = "bobtail_valve"
    title = "Bobtail proportioning valve"
    symbol = "bobtail"
    ports = (*PORTS, PortSpec("41", "control"), PortSpec("42", "trailer_supply"))
    ways = (Way("1", "2x", "41"),)
    faults = (*FAULTS, FaultSpec("changeover_stuck", "the piston that changes the ratio stays where it is"))
    events = (
        EventSpec("full", "mode", "{title} brakes the drive axles fully: there is a trailer"),
        EventSpec("reduced", "mode", "{title} brakes the drive axles less: there is no trailer supply pressure"),
    )
    channels = (
        *CHANNELS,
        ChannelSpec("signal_pressure", "pressure", "pressure of the trailer's supply line in the valve"),
        ChannelSpec("ratio", "number", "delivered pressure over control pressure above crack"),
    )
    characteristic = ("foot.pressure", "drive.pressure")

    ratio: float = ratio_parameter(
        "relay_valve.ratio", "Delivered pressure over control pressure above crack, with a trailer."
    )
    ratio_alone: float = ratio_parameter("bobtail_valve.ratio_alone", "The same without a trailer.")
    changes_from: float = parameter(
        "pressure",
        "bobtail_valve.changes_from",
        low=0.0,
        high=2e6,
        doc="Trailer supply pressure up to which the tractor counts as alone.",
    )
    changes_over: float = parameter(
        "pressure_difference",
        "bobtail_valve.changes_over",
        low=1e3,
        high=1e6,
        doc="Further trailer supply pressure until the ratio is that with a trailer.",
    )

    example = """\
pneusim: 1
title: The drive axles are braked less when the trailer's supply line is empty
components:
  tank:    {type: reservoir, volume: 40 L, pressure: 8 bar}
  foot:    {type: supply, pressure: 0 bar}
  trailer: {type: supply, pressure: 8 bar}
  drive:   {type: bobtail_valve}
  left:    {type: brake_chamber, size: 30}
  right:   {like: left}
lines:
  feed:   {from: tank.21, to: drive.1, bore: 12 mm, length: 2 m}
  pilot:  {from: foot.1, to: drive.41, bore: 6 mm, length: 5 m}
  signal: {from: trailer.1, to: drive.42, bore: 6 mm, length: 3 m}
  rod_l:  {from: drive.21, to: left.11, bore: 9 mm, length: 1 m}
  rod_r:  {like: rod_l, from: drive.22, to: right.11}
scenarios:
  towing_then_alone:
    lasts: 9 s
    steps:
      - {at: 0.5 s, set: foot.pressure, to: 6 bar, over: 1 s}
      - {at: 2.5 s, set: foot.pressure, to: 0 bar, over: 1 s}
      - {at: 4.5 s, set: trailer.pressure, to: 0 bar, over: 0.5 s}
      - {at: 5.5 s, set: foot.pressure, to: 6 bar, over: 1 s}
      - {at: 7.5 s, set: foot.pressure, to: 0 bar, over: 1 s}
"""

    @model_validator(mode="after")
    def _reduces(self) -> Self:
        if not self.ratio_alone <= self.ratio:
            raise ValueError("ratio_alone must not be more than ratio")
        return self

    def lower(self, b: Builder) -> None:
        """A relay; its ratio is a smooth step of the second control pressure."""
        signal = b.node("42")
        valve_air(b, signal, self.control_volume)
        towing = b.ramp(b.pressure(signal), self.changes_from, self.changes_over)
        towing = b.frozen(towing, b.fault("changeover_stuck"))
        ratio = b.affine(self.ratio_alone, (self.ratio - self.ratio_alone, towing))
        self.repeat(b, self.body(b, "41"), ratio)
        two_states(b, "towing", towing, ("full", 0.75), ("reduced", 0.25))
        b.channel("signal_pressure", b.pressure(signal))
        b.channel("ratio", ratio)
