"""Park and release control of a trailer: one button parks it, the other releases it for shunting."""

from __future__ import annotations

from pneusim.parts._air import valve_air
from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, InputSpec, Part, PortSpec, Way, parameter
from pneusim.parts.builder import Builder, Node, Signal

FAR = -1e9  #: a pressure [Pa] at which a stuck button never returns


class ParkReleaseControl(Part):
    """Two buttons on a trailer whose springs are fed by its reservoir and whose service brakes act by themselves.

    The park button vents the springs. The shunt button lets the reservoir stand in for the supply line of an uncoupled
    trailer, so that its relay-emergency valve releases; it returns by itself once the supply line is charged.  Ports
    are numbered after ISO 6786, from memory: 11 and 12 are the two sources of air, the second digit of a delivery
    tells what it feeds.  What the springs are fed with may come through a valve of its own (13).
    """

    type = "park_release_control"
    title = "Park and release control"
    symbol = "park_release"
    ports = (
        PortSpec("11", "supply_line", words="from the supply coupling head"),
        PortSpec("12", "reservoir", words="from the trailer's reservoir"),
        PortSpec("13", "spring_feed", optional=True, words="from what feeds the springs; otherwise port 12 does"),
        PortSpec("21", "emergency", words="to the supply port of the relay-emergency valve"),
        PortSpec("22", "spring", words="to the spring brakes"),
        PortSpec("3", "exhaust", exhaust=True),
    )
    ways = (Way("11", "21"), Way("12 13", "22"))
    inputs = (
        InputSpec(
            "park", "fraction", 1.0, 0.0, 1.0, "park button", choices={"released": 1.0, "applied": 0.0}, latched=True
        ),
        InputSpec(
            "shunt", "fraction", 0.0, 0.0, 1.0, "shunt button", choices={"driving": 0.0, "shunting": 1.0}, latched=True
        ),
    )
    faults = (FaultSpec("stuck", "both spools stay where they are"),)
    events = (
        EventSpec(
            "returned", "mode", "{title} returned to driving, because the supply line rose through {level}"
        ),
    )
    channels = (
        ChannelSpec("park", "fraction", "position of the park button, 1 = released"),
        ChannelSpec("shunt", "fraction", "position of the shunt button, 1 = shunting"),
        ChannelSpec("supply_pressure", "pressure", "pressure of the supply line"),
        ChannelSpec("emergency_pressure", "pressure", "pressure delivered to the relay-emergency valve"),
        ChannelSpec("spring_pressure", "pressure", "pressure delivered to the spring brakes"),
        ChannelSpec("opening", "fraction", "opening from the supply line"),
        ChannelSpec("shunt_opening", "fraction", "opening from the reservoir in its place"),
        ChannelSpec("spring_opening", "fraction", "opening to the spring brakes"),
        ChannelSpec("exhaust_opening", "fraction", "opening from the spring brakes to exhaust"),
    )
    characteristic = ("time", "control.emergency_pressure")

    returns: float = parameter(
        "pressure",
        "park_release_control.returns",
        above=0.0,
        high=2e6,
        doc="Supply line pressure that moves the shunt button back.",
    )
    travel_time: float = parameter(
        "time", "push_pull.travel_time", above=0.0, high=1.0, doc="Time constant of the spools' travel."
    )
    conductance: float = parameter(
        "conductance",
        "park_release_control.conductance",
        above=0.0,
        doc="Sonic conductance from the supply line or the reservoir to the relay-emergency valve.",
    )
    spring_conductance: float = parameter(
        "conductance",
        "park_release_control.spring_conductance",
        above=0.0,
        doc="Sonic conductance to the spring brakes.",
    )
    exhaust_conductance: float = parameter(
        "conductance",
        "park_release_control.exhaust_conductance",
        above=0.0,
        doc="Sonic conductance from the spring brakes to exhaust.",
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio of all passages."
    )
    plenum: float = parameter(
        "volume", "push_pull.plenum", above=0.0, high=1e-2, doc="Air inside, at each delivery."
    )

    example = """\
pneusim: 1
title: A trailer is uncoupled, shunted, parked and coupled again
components:
  line_end: {type: supply, pressure: 8 bar}
  signal:   {type: supply, pressure: 0 bar}
  control:  {type: park_release_control}
  valve:    {type: relay_emergency_valve}
  tank:     {type: reservoir, volume: 60 L, pressure: 7.9 bar}
  springs:  {type: tee}
  left:     {type: spring_brake_actuator, size: 30/30}
  right:    {like: left}
lines:
  supply_line:  {from: line_end.1, to: control.11, bore: 9.5 mm, length: 6 m}
  control_line: {from: signal.1, to: valve.4, bore: 9.5 mm, length: 6 m}
  emergency:    {from: control.21, to: valve.1, bore: 9.5 mm, length: 1 m}
  fill:         {from: valve.1-2, to: tank.1, bore: 12 mm, length: 1 m}
  shunt_air:    {from: tank.2, to: control.12, bore: 9 mm, length: 1 m}
  spring_line:  {from: control.22, to: springs.1, bore: 9 mm, length: 2 m}
  spring_l:     {from: springs.2, to: left.12, bore: 9 mm, length: 1 m}
  spring_r:     {like: spring_l, from: springs.3, to: right.12}
  rod_l:        {from: valve.21, to: left.11, bore: 9 mm, length: 1 m}
  rod_r:        {like: rod_l, from: valve.22, to: right.11}
scenarios:
  shunt_and_park:
    lasts: 20 s
    steps:
      - {at: 0.5 s, set: line_end.pressure, to: 0 bar, over: 0.3 s}
      - {at: 4 s, set: control.shunt, to: shunting}
      - {at: 8 s, set: control.park, to: applied}
      - {at: 12 s, set: line_end.pressure, to: 8 bar, over: 1 s}
      - {at: 16 s, set: control.park, to: released}
"""

    def lower(self, b: Builder) -> None:
        """Two spools, and the event that moves the shunt button back."""
        park, shunt, stuck = b.mode("park", 1.0), b.mode("shunt", 0.0), b.fault("stuck")
        line, reservoir = b.node("11"), b.node("12")
        self._spool(b, shunt, stuck, (reservoir, line), "21", ("shunt_opening", "opening"), self.conductance)
        feed = b.node("13") if b.connected("13") else reservoir
        self._spool(
            b, park, stuck, (feed, b.node("3")), "22", ("spring_opening", "exhaust_opening"), self.spring_conductance
        )
        charged = b.forced(b.pressure(line), stuck, FAR)
        b.event("returned", charged, self.returns, +1, armed={shunt: 1.0}, sets={shunt: 0.0})
        for name, signal in (("park", park), ("shunt", shunt), ("supply_pressure", b.pressure(line))):
            b.channel(name, signal)
        b.channel("emergency_pressure", b.pressure(b.node("21")))
        b.channel("spring_pressure", b.pressure(b.node("22")))

    def _spool(
        self,
        b: Builder,
        button: Signal,
        stuck: Signal,
        sides: tuple[Node, Node],
        port: str,
        names: tuple[str, str],
        conductance: float,
    ) -> None:
        """Joins a delivery to the first side with the button in, to the second with it out."""
        delivery = b.node(port)
        valve_air(b, delivery, self.plenum)
        position = b.frozen(b.travel(button, self.travel_time), stuck)
        openings = b.ramp(position, 0.5, 0.5), b.ramp(b.affine(1.0, (-1.0, position)), 0.5, 0.5)
        conductances = conductance, self.exhaust_conductance if port == "22" else conductance
        for side, name, opening, C in zip(sides, names, openings, conductances, strict=True):
            b.restriction(side, delivery, C, self.critical_ratio, opening)
            b.channel(name, opening)
