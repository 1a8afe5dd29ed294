"""Wheel-speed sensor: tells an anti-lock control how fast a wheel turns."""

from __future__ import annotations

from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, Part, parameter
from pneusim.parts.builder import Builder


class WheelSpeedSensor(Part):
    """A sensor at the wheel that its `axle` and `side` tell; what it tells is rounded to its resolution.

    A lost sensor tells a standing wheel. The control finds that, lights its lamp and does without it.
    """

    type = "wheel_speed_sensor"
    title = "Wheel-speed sensor"
    symbol = "wheel_sensor"
    faults = (FaultSpec("lost", "the sensor is lost: it tells no speed"),)
    events = (
        EventSpec("silent", "mode", "{title} fell silent"),
        EventSpec("heard", "mode", "{title} tells a speed again"),
    )
    channels = (ChannelSpec("signal", "fraction", "1 = it tells the wheel's speed, 0 = it is lost"),)
    characteristic = ("time", "left_speed.signal")

    resolution: float = parameter(
        "speed",
        "wheel_speed_sensor.resolution",
        above=0.0,
        high=1.0,
        doc="Step in which it tells the speed of the tread.",
    )
    anti_lock_control: str | None = parameter(
        "name", optional=True, doc="The anti-lock control it reports to; needed where a unit has several."
    )

    example = """\
pneusim: 1
title: A wheel-speed sensor is lost and found again
components:
  source:     {type: supply, pressure: 6 bar}
  modulator:  {type: brake_modulator}
  left:       {type: brake_chamber, size: 24, axle: 1, side: left}
  left_speed: {type: wheel_speed_sensor, axle: 1, side: left}
  anti_lock:  {type: anti_lock_control}
lines:
  feed: {from: source.1, to: modulator.1, bore: 9 mm, length: 2 m}
  rod:  {from: modulator.21, to: left.11, bore: 9 mm, length: 1 m}
scenarios:
  lose:
    lasts: 2 s
    steps:
      - {at: 0.5 s, fault: left_speed.lost}
      - {at: 1.5 s, mend: left_speed.lost}
"""

    def lower(self, b: Builder) -> None:
        """A loss lights the lamp of its control; the lamp stays on until the control is switched on anew."""
        lost, signal = b.fault("lost"), b.mode("signal", 1.0)
        lamp = b.mode("lamp", 0.0, b.partner(self.anti_lock_control, "anti_lock_control"))
        b.event("silent", lost, 0.5, +1, armed={signal: 1.0}, sets={signal: 0.0, lamp: 1.0})
        b.event("heard", lost, 0.5, -1, armed={signal: 0.0}, sets={signal: 1.0})
        b.channel("signal", signal)
