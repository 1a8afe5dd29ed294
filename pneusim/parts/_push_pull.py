"""What the push-pull controls of the dash share: a knob or lever held by the air it controls."""

from __future__ import annotations

from pneusim.parts._air import valve_air, volume_channels
from pneusim.parts.base import ChannelSpec, FaultSpec, Part, parameter
from pneusim.parts.builder import Builder, Node, Signal

STUCK = (FaultSpec("stuck", "the spool stays where it is"),)
CHANNELS = (
    ChannelSpec("position", "fraction", "position of the spool, 1 = feeding"),
    ChannelSpec("pressure", "pressure", "delivered pressure"),
    ChannelSpec("temperature", "temperature", "temperature of the air delivered"),
    ChannelSpec("supply_pressure", "pressure", "pressure at the supply port"),
    ChannelSpec("opening", "fraction", "opening from supply to delivery"),
    ChannelSpec("exhaust_opening", "fraction", "opening from delivery to exhaust"),
)
FAR = 1e9  #: a pressure [Pa] that no event of a stuck control reaches


class PushPull(Part):
    """Feeds its delivery or vents it; trips when the pressure that holds it is lost."""

    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio of both passages."
    )
    plenum: float = parameter(
        "volume", "push_pull.plenum", above=0.0, high=1e-2, doc="Air inside, at the delivery."
    )
    travel_time: float = parameter(
        "time", "push_pull.travel_time", above=0.0, high=1.0, doc="Time constant of the spool's travel."
    )
    holds_above_trip: float = parameter(
        "pressure_difference",
        "push_pull.holds_above_trip",
        low=1e3,
        high=300e3,
        doc="Excess over the trip pressure at which the control holds by itself.",
    )

    def spool(self, b: Builder, knob: Signal, feed: float, vent: float) -> Node:
        """The spool moved by the knob, its two passages and its channels; returns the delivery."""
        inlet, delivery = b.node("1"), b.node("2")
        valve_air(b, delivery, self.plenum)
        position = b.frozen(b.travel(knob, self.travel_time), b.fault("stuck"))
        opening = b.ramp(position, 0.5, 0.5)
        exhaust = b.ramp(b.affine(1.0, (-1.0, position)), 0.5, 0.5)
        b.restriction(inlet, delivery, feed, self.critical_ratio, opening)
        b.restriction(delivery, b.node("3"), vent, self.critical_ratio, exhaust)
        volume_channels(b, delivery)
        b.channel("position", position)
        b.channel("supply_pressure", b.pressure(inlet))
        b.channel("opening", opening)
        b.channel("exhaust_opening", exhaust)
        return delivery

    def holding(self, b: Builder, knob: Signal, sensed: Signal, supply: Signal, trip: float) -> None:
        """Trip when the sensed pressure is lost; do not hold before it has been there.

        The mode ``armed`` remembers that the sensed pressure is there: it has risen above trip +
        holds_above_trip and not yet fallen to trip again.
        """
        armed = b.mode("armed", 0.0)
        stuck = b.fault("stuck")
        falling = b.forced(sensed, stuck, FAR)
        b.event(
            "charged",
            b.forced(sensed, stuck, -FAR),
            trip + self.holds_above_trip,
            +1,
            armed={armed: 0.0},
            sets={armed: 1.0},
        )
        b.event("tripped", falling, trip, -1, armed={armed: 1.0, knob: 1.0}, sets={armed: 0.0, knob: 0.0})
        b.event("vented", falling, trip, -1, armed={armed: 1.0, knob: 0.0}, sets={armed: 0.0})
        b.event(
            "refused", b.forced(supply, stuck, FAR), trip, -1, armed={armed: 0.0, knob: 1.0}, sets={knob: 0.0}
        )
