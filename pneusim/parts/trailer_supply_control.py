"""Trailer supply control: the driver's control of the trailer's supply line."""

from __future__ import annotations

from pneusim.parts._push_pull import CHANNELS, STUCK, PushPull
from pneusim.parts.base import ChannelSpec, EventSpec, InputSpec, PortSpec, parameter
from pneusim.parts.builder import Builder, Signal


class TrailerSupplyControl(PushPull):
    """Pushed in it feeds the supply line, out it vents it; it pops out when the line it feeds is lost.

    Interlocked with a park control, it pops out too when that is applied, by hand or by itself, and may be pushed in
    again; releasing the park control does not move it (common practice, no source).
    """

    type = "trailer_supply_control"
    title = "Trailer supply control"
    symbol = "push_pull"
    ports = (PortSpec("1", "supply"), PortSpec("2", "delivery"), PortSpec("3", "exhaust", exhaust=True))
    inputs = (
        InputSpec(
            "knob",
            "fraction",
            0.0,
            0.0,
            1.0,
            "knob",
            choices={"in": 1.0, "out": 0.0},
            latched=True,
        ),
    )
    faults = STUCK
    events = (
        EventSpec("tripped", "trip", "{title} popped out, because its delivery fell through {level}"),
        EventSpec("refused", "trip", "{title} did not stay in, because its supply was below {level}"),
        EventSpec("charged", "mode", "{title} can hold: its delivery rose through {level}"),
        EventSpec("vented", "mode", "{title} can no longer hold: its delivery fell through {level}"),
        EventSpec("joined", "mode", "{title} goes out with the park control from now on"),
        EventSpec("parted", "mode", "{title} is out before the park control"),
        EventSpec("interlocked", "mode", "{title} popped out, because the park control was applied"),
    )
    channels = (ChannelSpec("knob", "fraction", "position of the knob, 1 = in"), *CHANNELS)
    characteristic = ("time", "trailer_supply.pressure")

    trip: float = parameter(
        "pressure",
        "trailer_supply_control.trip",
        low=0.0,
        high=1e6,
        doc="Delivered pressure at which it pops out.",
    )
    feed: float = parameter(
        "conductance",
        "trailer_supply_control.feed",
        above=0.0,
        doc="Sonic conductance from supply to delivery; well under that of a broken line.",
    )
    vent: float = parameter(
        "conductance",
        "trailer_supply_control.vent",
        above=0.0,
        doc="Sonic conductance from delivery to exhaust.",
    )

    interlocked_with: str | None = parameter(
        "name",
        optional=True,
        names="park_control",
        doc="The park control whose application pops it out; none = two separate controls.",
    )

    example = """\
pneusim: 1
title: The trailer supply control pops out when the supply line breaks
components:
  tank:    {type: reservoir, volume: 60 L, pressure: 8 bar}
  trailer_supply: {type: trailer_supply_control}
  trailer: {type: test_volume, volume: 2 L}
lines:
  supply_line: {from: trailer_supply.2, to: trailer.1, bore: 9.5 mm, length: 6 m}
joints:
  - [tank.21, trailer_supply.1]
scenarios:
  line_break:
    lasts: 3 s
    begin: {trailer_supply.knob: in}
    steps:
      - {at: 0.5 s, break: supply_line, where: 50 %}
"""

    def lower(self, b: Builder) -> None:
        """A latched spool that its own delivery holds in."""
        knob = b.mode("knob", 0.0)
        delivery = self.spool(b, knob, self.feed, self.vent)
        self.holding(b, knob, b.pressure(delivery), b.pressure(b.node("1")), self.trip)
        if self.interlocked_with is None:
            park = b.constant(0.0)
        else:
            park = b.mode("lever", 0.0, b.partner(self.interlocked_with, "park_control"))
        self._interlock(b, knob, park)
        b.channel("knob", knob)

    def _interlock(self, b: Builder, knob: Signal, park: Signal) -> None:
        """The mode ``together`` remembers that both were in, so that only the moment of applying the park counts."""
        together, stuck = b.mode("together", 0.0), b.fault("stuck")
        both = b.forced(b.minimum(knob, park), stuck, 0.0)
        applied = b.forced(park, stuck, 1.0)
        b.event("joined", both, 0.5, +1, armed={together: 0.0}, sets={together: 1.0})
        b.event("parted", both, 0.5, -1, armed={together: 1.0, knob: 0.0}, sets={together: 0.0})
        b.event(
            "interlocked", applied, 0.5, -1, armed={together: 1.0, knob: 1.0}, sets={together: 0.0, knob: 0.0}
        )
