"""What the valves that follow a target pressure share: inlet, delivery, exhaust, and how they fail."""

from __future__ import annotations

from pneusim.parts._air import leaking_seat, valve_air, volume_channels
from pneusim.parts._piston import half_band_parameter, lag_parameter, width_parameter
from pneusim.parts.base import ChannelSpec, FaultSpec, Part, parameter
from pneusim.parts.builder import Builder, Node, Signal

REST_BIAS = 4.0  #: how much stronger a pressure below the crack pressure pulls the exhaust open [-]
STUCK_OR_LEAKING = (
    FaultSpec("stuck_open", "the inlet stays open: the supply passes to the delivery"),
    FaultSpec("stuck_shut", "the piston stays with inlet and exhaust shut"),
    leaking_seat("the inlet's seat leaks a share of its opening"),
    leaking_seat("the exhaust's seat leaks a share of its opening", "leaking_exhaust"),
)
DELIVERED = (
    ChannelSpec("pressure", "pressure", "delivered pressure"),
    ChannelSpec("temperature", "temperature", "temperature of the air delivered"),
)
OPENINGS = (
    ChannelSpec("opening", "fraction", "opening from supply to delivery"),
    ChannelSpec("exhaust_opening", "fraction", "opening from delivery to exhaust"),
)


def biased(b: Builder, above_crack: Signal, target: Signal) -> Signal:
    """The target while there is pressure above the crack; below it a pull that holds the exhaust open."""
    return b.minimum(target, b.affine(0.0, (REST_BIAS, above_crack)))


class Following(Part):
    """A piston that lets air from port 1 to 2 below its target and from 2 to 3 above it."""

    half_band: float = half_band_parameter("relay_valve.half_band")
    width: float = width_parameter()
    lag: float = lag_parameter()
    conductance: float = parameter(
        "conductance", "relay_valve.conductance", above=0.0, doc="Sonic conductance of the inlet."
    )
    exhaust_conductance: float = parameter(
        "conductance", "relay_valve.exhaust_conductance", above=0.0, doc="Sonic conductance of the exhaust."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )
    plenum: float = parameter(
        "volume", "relay_valve.plenum", above=0.0, high=1e-2, doc="Air inside, at the delivery."
    )

    def ends(self, b: Builder) -> tuple[Node, Node]:
        """Inlet and delivery, with the air inside the valve at the delivery."""
        inlet, delivery = b.node("1"), b.node("2")
        valve_air(b, delivery, self.plenum)
        return inlet, delivery

    def deliver(self, b: Builder, target: Signal, exhaust: Node | None) -> None:
        """The piston between port 1 and the deliveries; without an exhaust it relieves nothing."""
        self.pass_on(b, target, b.node("1"), b.node("2"), exhaust)

    def pass_on(self, b: Builder, target: Signal, inlet: Node, delivery: Node, exhaust: Node | None) -> None:
        """The piston, its two passages and its channels."""
        opening, vent = b.follower(target, b.pressure(delivery), self.half_band, self.width, self.lag)
        stuck_open, stuck_shut = b.fault("stuck_open"), b.fault("stuck_shut")
        opening = b.maximum(opening, b.fault("leaking_seat"))
        vent = b.maximum(vent, b.fault("leaking_exhaust"))
        opening = b.forced(b.forced(opening, stuck_open, 1.0), stuck_shut, 0.0)
        vent = b.forced(b.forced(vent, stuck_open, 0.0), stuck_shut, 0.0)
        b.restriction(inlet, delivery, self.conductance, self.critical_ratio, opening)
        if exhaust is None:
            vent = b.constant(0.0)
        else:
            b.restriction(delivery, exhaust, self.exhaust_conductance, self.critical_ratio, vent)
        volume_channels(b, delivery)
        b.channel("opening", opening)
        b.channel("exhaust_opening", vent)
