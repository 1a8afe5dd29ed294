"""Ratio relay valve: a relay that delivers a fixed share of its control pressure."""

from __future__ import annotations

from pneusim.parts._relay import CHANNELS, FAULTS, PORTS, Relay, ratio_parameter
from pneusim.parts.base import PortSpec
from pneusim.parts.builder import Builder


class RatioRelayValve(Relay):
    """Delivers ratio x (control pressure - crack), the ratio being less than one: for an axle that needs less.

    No published figure fixes the ratio.  US Army TM 5-3895-370-14&P, table 4-4 (p. 4-37 and 4-39), asks for 414
    +/- 34 kPa at the chambers of a truck both behind its ratio relay and behind a plain relay, so the figure does
    not tell one from the other.
    """

    type = "ratio_relay_valve"
    title = "Ratio relay valve"
    symbol = "ratio_relay"
    ports = (*PORTS, PortSpec("4", "control"))
    faults = FAULTS
    channels = CHANNELS
    characteristic = ("signal.pressure", "reducing.pressure")

    ratio: float = ratio_parameter("ratio_relay_valve.ratio")

    example = """\
pneusim: 1
title: A ratio relay gives its axle 60 % of what a plain relay gives
components:
  tank:     {type: reservoir, volume: 40 L, pressure: 8 bar}
  signal:   {type: supply, pressure: 0 bar}
  plain:    {type: relay_valve}
  reducing: {type: ratio_relay_valve}
  rear:     {type: brake_chamber, size: 30}
  front:    {type: brake_chamber, size: 20}
lines:
  feed_r:  {from: tank.21, to: plain.1, bore: 12 mm, length: 2 m}
  feed_f:  {from: tank.22, to: reducing.1, bore: 12 mm, length: 2 m}
  pilot_r: {from: signal.1, to: plain.4, bore: 6 mm, length: 3 m}
  pilot_f: {from: signal.2, to: reducing.4, bore: 6 mm, length: 3 m}
  rod_r:   {from: plain.21, to: rear.11, bore: 9 mm, length: 1 m}
  rod_f:   {from: reducing.21, to: front.11, bore: 9 mm, length: 1 m}
scenarios:
  grade:
    lasts: 7 s
    steps:
      - {at: 0.5 s, set: signal.pressure, to: 6 bar, over: 2.5 s}
      - {at: 3.5 s, set: signal.pressure, to: 0 bar, over: 2.5 s}
"""

    def lower(self, b: Builder) -> None:
        """A relay with its own ratio."""
        self.repeat(b, self.body(b, "4"), self.ratio)
