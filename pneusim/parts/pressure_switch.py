"""Pressure switch: warns when a pressure is low."""

from __future__ import annotations

from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder

FAR = 1e9  #: a pressure [Pa] that no event of a dead switch reaches


class PressureSwitch(Part):
    """A contact that closes below a pressure and opens again a hysteresis above it."""

    type = "pressure_switch"
    title = "Pressure switch"
    symbol = "switch"
    ports = (PortSpec("1", "supply", words="the pressure watched"),)
    faults = (FaultSpec("dead", "the contact never closes"),)
    events = (
        EventSpec(
            "closed", "warning", "{title} closed its contact, because the pressure fell through {level}"
        ),
        EventSpec("opened", "mode", "{title} opened its contact, because the pressure rose through {level}"),
    )
    channels = (
        ChannelSpec("pressure", "pressure", "pressure watched"),
        ChannelSpec("closed", "fraction", "whether the contact is closed"),
    )
    characteristic = ("low.pressure", "low.closed")

    closes_below: float = parameter(
        "pressure",
        "pressure_switch.closes_below",
        low=0.0,
        high=3e6,
        doc="Pressure below which the contact closes.",
    )
    hysteresis: float = parameter(
        "pressure_difference",
        "pressure_switch.hysteresis",
        low=1e3,
        high=500e3,
        doc="By how much the pressure must exceed that for the contact to open.",
    )

    example = """\
pneusim: 1
title: A low-pressure warning
components:
  source: {type: supply, pressure: 8 bar}
  branch: {type: tee}
  low:    {type: pressure_switch, closes_below: 4.5 bar}
lines:
  feed: {from: source.1, to: branch.1, bore: 6 mm, length: 2 m}
joints:
  - [branch.2, low.1]
scenarios:
  loss:
    lasts: 3 s
    steps:
      - {at: 0.5 s, set: source.pressure, to: 3 bar, over: 1 s}
"""

    def lower(self, b: Builder) -> None:
        """Two events with a hysteresis; it never touches the flow."""
        pressure, dead = b.pressure(b.node("1")), b.fault("dead")
        contact = b.mode("closed", 0.0)
        b.event(
            "closed",
            b.forced(pressure, dead, FAR),
            self.closes_below,
            -1,
            armed={contact: 0.0},
            sets={contact: 1.0},
        )
        b.event(
            "opened",
            b.forced(pressure, dead, -FAR),
            self.closes_below + self.hysteresis,
            +1,
            armed={contact: 1.0},
            sets={contact: 0.0},
        )
        b.channel("pressure", pressure)
        b.channel("closed", b.forced(contact, dead, 0.0))
