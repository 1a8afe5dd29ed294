"""Load-sensing valve: brakes an axle according to the load on it."""

from __future__ import annotations

from pneusim.parts._relay import CHANNELS, FAULTS, PORTS, Relay, ratio_parameter
from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, PortSpec, parameter
from pneusim.parts.builder import Builder


class LoadSensingValve(Relay):
    """Delivers i x (control pressure - crack), i rising with the load from ``ratio_empty`` to 1 laden.

    With port 4 connected it is a relay; without it stands in the line to the brakes, and port 1 is supply and
    control at once.  It stands at laden unless ``load`` is moved.  The load is that given: the change of axle load
    while braking, and the friction of the linkage, are not described.
    """

    type = "load_sensing_valve"
    title = "Load-sensing valve"
    symbol = "load_sensing"
    ports = (*PORTS, PortSpec("4", "control", optional=True, words="leave it unconnected for a valve in the line"))
    inputs = (InputSpec("load", "fraction", 1.0, 0.0, 1.0, "load, from empty to laden,"),)
    faults = (
        *FAULTS,
        FaultSpec("linkage_broken", "the linkage to the axle is broken; the valve goes to its own position"),
        FaultSpec("linkage_stuck", "the linkage to the axle stays where it is"),
    )
    channels = (
        *CHANNELS,
        ChannelSpec("load", "fraction", "load, 0 = empty, 1 = laden, that the valve is set to"),
        ChannelSpec("ratio", "number", "delivered pressure over control pressure above crack"),
    )
    characteristic = ("signal.pressure", "sensing.pressure")

    ratio_empty: float = ratio_parameter("load_sensing_valve.ratio_empty", "Ratio at the load of an empty axle.")
    broken_load: float = parameter(
        "fraction",
        "load_sensing_valve.broken_load",
        low=0.0,
        high=1.0,
        doc="Load at which the valve stands when its linkage is broken, from empty to laden.",
    )

    example = """\
pneusim: 1
title: An empty axle is braked less than a laden one
components:
  tank:    {type: reservoir, volume: 40 L, pressure: 8 bar}
  signal:  {type: supply, pressure: 0 bar}
  sensing: {type: load_sensing_valve}
  left:    {type: brake_chamber, size: 30}
  right:   {like: left}
lines:
  feed:  {from: tank.21, to: sensing.1, bore: 12 mm, length: 2 m}
  pilot: {from: signal.1, to: sensing.4, bore: 6 mm, length: 3 m}
  rod_l: {from: sensing.21, to: left.11, bore: 9 mm, length: 1 m}
  rod_r: {like: rod_l, from: sensing.22, to: right.11}
scenarios:
  empty:
    lasts: 7 s
    begin: {sensing.load: 0 %}
    steps:
      - {at: 0.5 s, set: signal.pressure, to: 6 bar, over: 2.5 s}
      - {at: 3.5 s, set: signal.pressure, to: 0 bar, over: 2.5 s}
  linkage_breaks:
    lasts: 4 s
    begin: {sensing.load: 50 %}
    steps:
      - {at: 0.5 s, set: signal.pressure, to: 6 bar, over: 0.2 s}
      - {at: 2 s, fault: sensing.linkage_broken}
"""

    def lower(self, b: Builder) -> None:
        """A relay whose ratio is set by the load: i = ratio_empty + (1 - ratio_empty) load."""
        load = b.frozen(b.input("load"), b.fault("linkage_stuck"))
        load = b.forced(load, b.fault("linkage_broken"), self.broken_load)
        ratio = b.affine(self.ratio_empty, (1.0 - self.ratio_empty, load))
        control = self.body(b, "4") if b.connected("4") else self.ends(b)[0]
        self.repeat(b, control, ratio)
        b.channel("load", load)
        b.channel("ratio", ratio)
