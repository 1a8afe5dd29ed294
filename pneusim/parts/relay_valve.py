"""Relay valve: repeats a control pressure with air from its own supply."""

from __future__ import annotations

from pneusim.parts._relay import CHANNELS, FAULTS, PORTS, Relay, ratio_parameter
from pneusim.parts.base import PortSpec
from pneusim.parts.builder import Builder


class RelayValve(Relay):
    """Delivers ratio x (control pressure - crack) from port 1; vents through port 3 as the control falls."""

    type = "relay_valve"
    title = "Relay valve"
    symbol = "relay"
    ports = (*PORTS, PortSpec("4", "control"))
    faults = FAULTS
    channels = CHANNELS
    characteristic = ("signal.pressure", "relay.pressure")

    ratio: float = ratio_parameter("relay_valve.ratio")

    example = """\
pneusim: 1
title: A relay valve applies two chambers
components:
  tank:   {type: reservoir, volume: 30 L, pressure: 8 bar}
  signal: {type: supply, pressure: 0 bar}
  relay:  {type: relay_valve}
  left:   {type: brake_chamber, size: 30}
  right:  {like: left}
lines:
  feed:  {from: tank.21, to: relay.1, bore: 12 mm, length: 2 m}
  pilot: {from: signal.1, to: relay.4, bore: 6 mm, length: 5 m}
  rod_l: {from: relay.21, to: left.11, bore: 9 mm, length: 1 m}
  rod_r: {like: rod_l, from: relay.22, to: right.11}
scenarios:
  apply_and_release:
    lasts: 3 s
    steps:
      - {at: 0.5 s, set: signal.pressure, to: 6 bar, over: 0.1 s}
      - {at: 1.5 s, set: signal.pressure, to: 0 bar, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """A follower of its own plenum, biased to exhaust at rest."""
        self.repeat(b, self.body(b, "4"), self.ratio)
