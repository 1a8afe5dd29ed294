"""Rigid test volume, such as the 819 cm3 reservoir of a timing test."""

from __future__ import annotations

from pneusim.parts._air import volume_channels
from pneusim.parts.base import ChannelSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


class TestVolume(Part):
    """A rigid vessel that a test connects; it starts in balance with its circuit unless it stands alone."""

    __test__ = False

    type = "test_volume"
    title = "Test volume"
    symbol = "volume"
    ports = (PortSpec("1", "port", words="the connection"),)
    channels = (
        ChannelSpec("pressure", "pressure", "pressure in the vessel"),
        ChannelSpec("temperature", "temperature", "temperature of the air in the vessel"),
    )
    characteristic = ("time", "vessel.pressure")

    volume: float = parameter("volume", above=0.0, high=10.0, doc="Inner volume.")
    pressure: float = parameter(
        "pressure", "test_volume.pressure", low=0.0, high=5e6, doc="Pressure before the circuit settles."
    )

    example = """\
pneusim: 1
title: The rise time of a rigid test volume
components:
  source: {type: supply, pressure: 0 bar}
  vessel: {type: test_volume, volume: 819 cm3}
lines:
  hose: {from: source.1, to: vessel.1, bore: 6 mm, length: 3 m}
scenarios:
  fill:
    lasts: 2 s
    steps:
      - {at: 0.5 s, set: source.pressure, to: 7 bar}
    measure:
      - {name: rise, since: source.pressure, reach: vessel.pressure, level: 75 %}
"""

    def lower(self, b: Builder) -> None:
        """One volume."""
        node = b.node("1")
        b.air(node, self.volume, default_of("heat.reservoir", "film"), pressure=self.pressure)
        volume_channels(b, node)
