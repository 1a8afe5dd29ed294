"""Stop-lamp switch: lights the stop lamps when the brakes are used."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder

FAR = 1e9  #: a pressure [Pa] that no event of a dead switch reaches


class StopLampSwitch(Part):
    """A contact that closes as a service pressure rises and opens again a little lower."""

    type = "stop_lamp_switch"
    title = "Stop-lamp switch"
    symbol = "switch"
    ports = (PortSpec("1", "supply", words="the service pressure watched"),)
    faults = (FaultSpec("dead", "the contact never closes"),)
    events = (
        EventSpec("lit", "mode", "{title} lit the stop lamps at {level}"),
        EventSpec("out", "mode", "{title} put the stop lamps out at {level}"),
    )
    channels = (
        ChannelSpec("pressure", "pressure", "pressure watched"),
        ChannelSpec("closed", "fraction", "whether the contact is closed"),
    )
    characteristic = ("lamps.pressure", "lamps.closed")

    closes_above: float = parameter(
        "pressure",
        "stop_lamp_switch.closes_above",
        above=0.0,
        high=1e6,
        doc="Rising pressure at which the contact closes.",
    )
    opens_below: float = parameter(
        "pressure",
        "stop_lamp_switch.opens_below",
        above=0.0,
        high=1e6,
        doc="Falling pressure at which the contact opens.",
    )

    example = """\
pneusim: 1
title: The stop lamps follow the service pressure
components:
  source: {type: supply, pressure: 0 bar}
  branch: {type: tee}
  lamps:  {type: stop_lamp_switch}
lines:
  feed: {from: source.1, to: branch.1, bore: 6 mm, length: 2 m}
joints:
  - [branch.2, lamps.1]
scenarios:
  brake:
    lasts: 4 s
    steps:
      - {at: 0.5 s, set: source.pressure, to: 1 bar, over: 1 s}
      - {at: 2 s, set: source.pressure, to: 0 bar, over: 1 s}
"""

    @model_validator(mode="after")
    def _order(self) -> Self:
        if not self.opens_below < self.closes_above:
            raise ValueError("opens_below must be less than closes_above")
        return self

    def lower(self, b: Builder) -> None:
        """Two events with a hysteresis; it never touches the flow."""
        pressure, dead = b.pressure(b.node("1")), b.fault("dead")
        contact = b.mode("closed", 0.0)
        rising, falling = b.forced(pressure, dead, -FAR), b.forced(pressure, dead, FAR)
        b.event("lit", rising, self.closes_above, +1, armed={contact: 0.0}, sets={contact: 1.0})
        b.event("out", falling, self.opens_below, -1, armed={contact: 1.0}, sets={contact: 0.0})
        b.channel("pressure", pressure)
        b.channel("closed", b.forced(contact, dead, 0.0))
