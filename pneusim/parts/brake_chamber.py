"""Brake chamber: a diaphragm that pushes the brake."""

from __future__ import annotations

from typing import Literal

from pneusim.parts._chamber import CHANNELS, FAULTS, ServiceChamber
from pneusim.parts.base import PortSpec, parameter
from pneusim.parts.builder import Builder

Size = Literal["6", "9", "12", "14", "16", "18", "20", "24", "30", "36"]


class BrakeChamber(ServiceChamber):
    """A service chamber named by its area in square inches."""

    type = "brake_chamber"
    title = "Brake chamber"
    symbol = "chamber"
    ports = (PortSpec("11", "service"),)
    faults = FAULTS
    channels = CHANNELS
    characteristic = ("left.service_pressure", "left.pushrod_force")

    size: Size = parameter("word", "brake_chamber.size", doc="Size: nominal area in square inches.")

    example = """\
pneusim: 1
title: A brake chamber out of adjustment
components:
  source: {type: supply, pressure: 0 bar}
  left:   {type: brake_chamber, size: 30}
lines:
  rod: {from: source.1, to: left.11, bore: 9 mm, length: 3 m}
scenarios:
  apply:
    lasts: 2 s
    steps:
      - {at: 0.2 s, fault: left.out_of_adjustment, to: 45 mm}
      - {at: 0.5 s, set: source.pressure, to: 6 bar, over: 0.1 s}
"""

    def sizes(self) -> dict[str, str]:
        """The service size."""
        return {"service": self.size}

    def lower(self, b: Builder) -> None:
        """One chamber on its node."""
        node = b.node("11")
        stroke, force = b.brake_chamber(node, **self.service(b, node))
        b.channel("stroke", stroke)
        b.channel("pushrod_force", force)
