"""Graduated park control: a lever that grades the spring brakes, parks, and tests the parked vehicle alone."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from pneusim.parts._air import valve_air
from pneusim.parts._piston import full_pressure_parameter, half_band_parameter, lag_parameter, width_parameter
from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder, Signal

PARKED, TEST_FROM, TEST = 0.9, 0.93, 1.0  #: positions of the lever


class GraduatedParkControl(Part):
    """Secondary and parking brake of a vehicle with a trailer control valve (UN R13 vocabulary).

    From released to parked the lever grades both deliveries down: the springs' line (21) and the line to the
    inverted port of the trailer control valve (22), so that vehicle and trailer brake together: the trailer begins
    where that valve's ``park_starts`` lies, the vehicle where its springs begin to move. In the test position beyond,
    22 is fed again: the trailer's brakes come off, and the driver sees whether the springs of the motor vehicle alone
    hold the combination. The lock of the parked position is mechanical: the lever stays where it is put.
    """

    type = "graduated_park_control"
    title = "Graduated park control"
    symbol = "graduated_park"
    ports = (
        PortSpec("1", "supply"),
        PortSpec("21", "spring", words="to the spring brakes"),
        PortSpec("22", "trailer", optional=True, words="to the inverted port of the trailer control valve"),
        PortSpec("3", "exhaust", exhaust=True),
    )
    inputs = (
        InputSpec(
            "lever", "fraction", PARKED, 0.0, 1.0, "lever", choices={"released": 0.0, "parked": PARKED, "test": TEST}
        ),
    )
    faults = (FaultSpec("stuck", "the lever stays where it is"),)
    channels = (
        ChannelSpec("lever", "fraction", "position of the lever: 0 released, 0.9 parked, 1 test"),
        ChannelSpec("supply_pressure", "pressure", "pressure at the supply port"),
        ChannelSpec("pressure", "pressure", "pressure delivered to the spring brakes"),
        ChannelSpec("opening", "fraction", "opening from supply to the spring brakes"),
        ChannelSpec("exhaust_opening", "fraction", "opening from the spring brakes to exhaust"),
        ChannelSpec("trailer_pressure", "pressure", "pressure delivered to the trailer control valve"),
        ChannelSpec("trailer_opening", "fraction", "opening from supply to the trailer control valve"),
        ChannelSpec("trailer_exhaust_opening", "fraction", "opening from the trailer control valve to exhaust"),
    )
    characteristic = ("park.lever", "park.pressure")

    free_travel: float = parameter(
        "fraction", "graduated_park_control.free_travel", above=0.0, high=0.5, doc="Travel before the pressure falls."
    )
    graded_pressure: float = parameter(
        "pressure",
        "graduated_park_control.graded_pressure",
        low=100e3,
        high=2e6,
        doc="Delivered pressure at the beginning of the graded range.",
    )
    graded_travel: float = parameter(
        "fraction",
        "graduated_park_control.graded_travel",
        above=0.0,
        high=0.89,
        doc="Travel at which nothing is delivered any more.",
    )
    full_pressure: float = full_pressure_parameter("when released")
    return_pressure: float = parameter(
        "pressure_difference",
        "graded_valve.return_pressure",
        above=0.0,
        high=200e3,
        doc="Pull that holds the exhaust open when parked.",
    )
    half_band: float = half_band_parameter("graded_valve.half_band")
    width: float = width_parameter()
    lag: float = lag_parameter()
    conductance: float = parameter(
        "conductance", "graduated_park_control.conductance", above=0.0, doc="Sonic conductance of each inlet."
    )
    exhaust_conductance: float = parameter(
        "conductance", "graduated_park_control.exhaust_conductance", above=0.0, doc="Sonic conductance of each exhaust."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio of the seats."
    )
    plenum: float = parameter(
        "volume", "graded_valve.plenum", above=0.0, high=1e-2, doc="Air inside, at each delivery."
    )

    example = """\
pneusim: 1
title: Secondary braking with the hand lever, parking, and the test of the motor vehicle alone
components:
  tank:    {type: reservoir, volume: 40 L, pressure: 8 bar}
  trailer_tank: {type: reservoir, volume: 40 L, pressure: 8 bar}
  park:    {type: graduated_park_control}
  pedal:   {type: supply, pressure: 0 bar}
  control: {type: trailer_control_valve}
  left:    {type: spring_brake_actuator, size: 30/30}
  right:   {like: left}
  springs: {type: tee}
  open_air: {type: atmosphere}
  supply_end:  {type: test_volume, volume: 1 L}
  control_end: {type: test_volume, volume: 385 cm3}
lines:
  feed:         {from: tank.21, to: park.1, bore: 9 mm, length: 2 m}
  spring_line:  {from: park.21, to: springs.1, bore: 9 mm, length: 3 m}
  hose_l:       {from: springs.2, to: left.12, bore: 9 mm, length: 1 m}
  hose_r:       {from: springs.3, to: right.12, bore: 9 mm, length: 1 m}
  inverted:     {from: park.22, to: control.43, bore: 6 mm, length: 3 m}
  signal:       {from: pedal.1, to: control.41, bore: 6 mm, length: 3 m}
  trailer_feed: {from: trailer_tank.21, to: control.11, bore: 9 mm, length: 2 m}
  supply_line:  {from: control.21, to: supply_end.1, bore: 9.5 mm, length: 4 m}
  control_line: {from: control.22, to: control_end.1, bore: 9.5 mm, length: 4 m}
joints:
  - [left.11, right.11, open_air.1]
scenarios:
  secondary:
    lasts: 8 s
    begin: {park.lever: released}
    steps:
      - {at: 0.5 s, set: park.lever, to: 50 %, over: 1 s}
      - {at: 4 s, set: park.lever, to: released, over: 1 s}
  park_and_test:
    lasts: 10 s
    begin: {park.lever: released}
    steps:
      - {at: 0.5 s, set: park.lever, to: parked, over: 0.5 s}
      - {at: 4 s, set: park.lever, to: test}
      - {at: 7 s, set: park.lever, to: parked}
"""

    @model_validator(mode="after")
    def _rising(self) -> Self:
        if not self.free_travel < self.graded_travel:
            raise ValueError("free_travel must be less than graded_travel")
        if not self.graded_pressure < self.full_pressure:
            raise ValueError("graded_pressure must be less than full_pressure")
        return self

    def lower(self, b: Builder) -> None:
        """Two graded sections on one lever, whose targets differ in the test position."""
        lever = b.frozen(b.input("lever"), b.fault("stuck"))
        falling = [
            (0.0, self.full_pressure),
            (self.free_travel, self.graded_pressure),
            (self.graded_travel, 0.0),
            (PARKED, -self.return_pressure),
        ]
        tested = [*falling, (TEST_FROM, -self.return_pressure), (TEST, self.full_pressure)]
        self._section(b, "21", b.table(lever, falling), "")
        self._section(b, "22", b.table(lever, tested), "trailer_")
        b.channel("lever", lever)
        b.channel("supply_pressure", b.pressure(b.node("1")))

    def _section(self, b: Builder, port: str, target: Signal, word: str) -> None:
        delivery = b.node(port)
        valve_air(b, delivery, self.plenum)
        opening, vent = b.follower(target, b.pressure(delivery), self.half_band, self.width, self.lag)
        b.restriction(b.node("1"), delivery, self.conductance, self.critical_ratio, opening)
        b.restriction(delivery, b.node("3"), self.exhaust_conductance, self.critical_ratio, vent)
        b.channel(f"{word}pressure", b.pressure(delivery))
        b.channel(f"{word}opening", opening)
        b.channel(f"{word}exhaust_opening", vent)
