"""What all relays share: a control chamber, whose pressure above the crack a ratio turns into the target."""

from __future__ import annotations

from pneusim.parts._air import valve_air
from pneusim.parts._following import DELIVERED, OPENINGS, REST_BIAS, STUCK_OR_LEAKING, Following, biased
from pneusim.parts.base import ChannelSpec, FaultSpec, PortSpec, parameter
from pneusim.parts.builder import Builder, Node, Signal

PORTS = (
    PortSpec("1", "supply"),
    PortSpec("2", "delivery", many=True),
    PortSpec("3", "exhaust", exhaust=True),
)
FAULTS = (*STUCK_OR_LEAKING, FaultSpec("torn", "the diaphragm between control and delivery is torn"))
CHANNELS = (*DELIVERED, ChannelSpec("control_pressure", "pressure", "control pressure in the valve"), *OPENINGS)


class Relay(Following):
    """Delivers ratio x (control pressure - crack) from port 1; vents through port 3 as the control falls."""

    crack: float = parameter(
        "pressure_difference",
        "relay_valve.crack",
        low=0.0,
        high=200e3,
        doc="Control pressure below which nothing is delivered.",
    )
    control_volume: float = parameter(
        "volume", "relay_valve.control_volume", above=0.0, high=1e-2, doc="Air above the control piston."
    )
    torn_conductance: float = parameter(
        "conductance",
        "relay_valve.torn_conductance",
        above=0.0,
        doc="Sonic conductance of the tear between control and delivery.",
    )

    def body(self, b: Builder, control: str) -> Node:
        """The air at the delivery and in the dead-end control chamber at a port; returns the chamber."""
        self.ends(b)
        chamber = b.node(control)
        valve_air(b, chamber, self.control_volume)
        return chamber

    def repeat(self, b: Builder, control: Node, ratio: float | Signal) -> None:
        """Follow the ratio (at most ``REST_BIAS``) times the control pressure above the crack."""
        above_crack = b.affine(-self.crack, (1.0, b.pressure(control)))
        target = b.affine(0.0, (ratio, above_crack)) if isinstance(ratio, float) else b.product(ratio, above_crack)
        self.deliver(b, biased(b, above_crack, target), b.node("3"))
        b.restriction(control, b.node("2"), self.torn_conductance, self.critical_ratio, b.fault("torn"))
        b.channel("control_pressure", b.pressure(control))


def ratio_parameter(key: str, doc: str = "Delivered pressure over control pressure above crack.") -> float:
    """Declare a ratio with its own default."""
    ratio: float = parameter("number", key, above=0.0, high=REST_BIAS, doc=doc)
    return ratio
