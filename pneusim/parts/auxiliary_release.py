"""Auxiliary release: air of its own reserve frees the spring brakes when their circuit is empty."""

from __future__ import annotations

from pneusim.parts._air import valve_air, volume_channels
from pneusim.parts._double_check import shuttle, stuck_sides
from pneusim.parts._piston import LEAST_CHECK_WIDTH
from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part, PortSpec, Way, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


class AuxiliaryRelease(Part):
    """A handle that feeds a reserve to the springs through a double check valve (UN R13 Annex 8, 3, from memory).

    In its normal position the handle's side is vented, and the park line alone holds the springs off.
    """

    type = "auxiliary_release"
    title = "Auxiliary release control"
    symbol = "auxiliary_release"
    ports = (
        PortSpec("11", "park", words="line of the park control"),
        PortSpec("12", "reserve", words="from the reserve that the parking circuit does not share"),
        PortSpec("2", "spring", many=True, words="to the spring sides of the actuators"),
        PortSpec("3", "exhaust", exhaust=True),
    )
    ways = (Way("11", "2x"),)  # from 12 only while someone holds the handle
    inputs = (
        InputSpec("handle", "fraction", 0.0, 0.0, 1.0, "handle", choices={"normal": 0.0, "release": 1.0}),
    )
    faults = (FaultSpec("stuck", "the handle stays where it is"), *stuck_sides("11", "12"))
    channels = (
        ChannelSpec("handle", "fraction", "position of the handle"),
        ChannelSpec("pressure", "pressure", "pressure delivered to the springs"),
        ChannelSpec("temperature", "temperature", "temperature of the air delivered"),
        ChannelSpec("reserve_pressure", "pressure", "pressure that the handle lets through"),
        ChannelSpec("opening", "fraction", "opening from the reserve to the springs"),
    )
    characteristic = ("time", "left.pushrod_force")

    conductance: float = parameter(
        "conductance", "auxiliary_release.conductance", above=0.0, doc="Sonic conductance of every passage."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )
    width: float = parameter(
        "pressure_difference",
        "double_check_valve.width",
        low=LEAST_CHECK_WIDTH,
        high=50e3,
        doc="Pressure difference that opens a side of the double check valve fully.",
    )
    plenum: float = parameter(
        "volume", "auxiliary_release.plenum", above=0.0, high=1e-2, doc="Air inside, on each side of the valve."
    )

    example = """\
pneusim: 1
title: A vehicle whose parking circuit is empty is freed to be towed away
components:
  park:    {type: supply, pressure: 0 bar}
  reserve: {type: reservoir, volume: 10 L, pressure: 8 bar}
  release: {type: auxiliary_release}
  service: {type: supply, pressure: 0 bar}
  left:    {type: spring_brake_actuator, size: 30/30}
lines:
  spring: {from: release.21, to: left.12, bore: 9 mm, length: 2 m}
joints:
  - [park.1, release.11]
  - [reserve.1, release.12]
  - [service.1, left.11]
scenarios:
  free_and_park:
    lasts: 10 s
    steps:
      - {at: 1 s, set: release.handle, to: release, over: 0.1 s}
      - {at: 6 s, set: release.handle, to: normal, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """A three-port handle valve before one side of a double check valve."""
        park, reserve, springs = b.node("11"), b.node("12"), b.node("2")
        valve_air(b, springs, self.plenum)
        behind = b.plenum("handle", self.plenum, default_of("heat.plenum", "film"))
        handle = b.frozen(b.input("handle"), b.fault("stuck"))
        opening, vent = b.ramp(handle, 0.5, 0.5), b.ramp(b.affine(1.0, (-1.0, handle)), 0.5, 0.5)
        b.restriction(reserve, behind, self.conductance, self.critical_ratio, opening)
        b.restriction(behind, b.node("3"), self.conductance, self.critical_ratio, vent)
        sides = {"11": park, "12": behind}
        _, from_reserve = shuttle(b, sides, springs, self.width, self.conductance, self.critical_ratio)
        volume_channels(b, springs)
        b.channel("handle", handle)
        b.channel("reserve_pressure", b.pressure(behind))
        b.channel("opening", from_reserve)
