"""Park control: the driver's control of the spring brakes."""

from __future__ import annotations

from typing import Literal

from pneusim.parts._push_pull import CHANNELS, STUCK, PushPull
from pneusim.parts.base import ChannelSpec, EventSpec, InputSpec, PortSpec, parameter
from pneusim.parts.builder import Builder


class ParkControl(PushPull):
    """Released it feeds the spring brakes, applied it vents them; it applies itself when air is lost."""

    type = "park_control"
    title = "Park control"
    symbol = "push_pull"
    ports = (
        PortSpec("1", "supply"),
        PortSpec("2", "delivery", many=True),
        PortSpec("3", "exhaust", exhaust=True),
    )
    inputs = (
        InputSpec(
            "lever",
            "fraction",
            0.0,
            0.0,
            1.0,
            "lever",
            choices={"released": 1.0, "applied": 0.0},
            latched=True,
        ),
    )
    faults = STUCK
    events = (
        EventSpec(
            "tripped",
            "trip",
            "{title} applied by itself, because the pressure it senses fell through {level}",
        ),
        EventSpec("refused", "trip", "{title} did not stay released, because its supply was below {level}"),
        EventSpec("charged", "mode", "{title} can hold: the pressure it senses rose through {level}"),
        EventSpec(
            "vented", "mode", "{title} can no longer hold: the pressure it senses fell through {level}"
        ),
    )
    channels = (ChannelSpec("lever", "fraction", "position of the lever, 1 = released"), *CHANNELS)
    characteristic = ("time", "park.pressure")

    trip: float = parameter(
        "pressure",
        "park_control.trip",
        low=0.0,
        high=1e6,
        doc="Sensed pressure at which it applies by itself.",
    )
    senses: Literal["supply", "delivery"] = parameter(
        "word", "park_control.senses", doc="Which side's pressure holds it released."
    )
    feed: float = parameter(
        "conductance", "park_control.feed", above=0.0, doc="Sonic conductance from supply to delivery."
    )
    vent: float = parameter(
        "conductance", "park_control.vent", above=0.0, doc="Sonic conductance from delivery to exhaust."
    )

    example = """\
pneusim: 1
title: The parking brake is applied, or applies by itself
components:
  source: {type: supply, pressure: 8 bar}
  park:   {type: park_control}
  left:   {type: spring_brake_actuator, size: 30/30}
  open_air: {type: atmosphere}
lines:
  feed:   {from: source.1, to: park.1, bore: 8 mm, length: 2 m}
  spring: {from: park.21, to: left.12, bore: 8 mm, length: 3 m}
joints:
  - [left.11, open_air.1]
scenarios:
  apply:
    lasts: 4 s
    begin: {park.lever: released}
    steps:
      - {at: 0.5 s, set: park.lever, to: applied}
  supply_lost:
    lasts: 8 s
    begin: {park.lever: released}
    steps:
      - {at: 0.5 s, set: source.pressure, to: 0 bar, over: 5 s}
"""

    def lower(self, b: Builder) -> None:
        """A latched spool; supply or delivery holds it."""
        lever = b.mode("lever", 0.0)
        delivery = self.spool(b, lever, self.feed, self.vent)
        supply = b.pressure(b.node("1"))
        sensed = supply if self.senses == "supply" else b.pressure(delivery)
        self.holding(b, lever, sensed, supply, self.trip)
        b.channel("lever", lever)
