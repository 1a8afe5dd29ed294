"""Anti-lock control: commands the brake modulators of its unit by the speeds of its wheels."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import model_validator

from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, Part, parameter
from pneusim.parts.builder import Builder


class AntiLockControl(Part):
    """A generic teaching control, nobody's calibration: it samples the wheel-speed sensors of its unit.

    It works where a scenario has a `road`; without one no wheel turns and it only watches its sensors. Each modulator
    is driven by the sensors at the wheels that it brakes. Without voltage all modulators apply.
    """

    type = "anti_lock_control"
    title = "Anti-lock control"
    symbol = "electronic_control"
    faults = (FaultSpec("voltage_lost", "the control has no voltage: all modulators apply"),)
    events = (
        EventSpec("controls", "mode", "{title} began to control"),
        EventSpec("rests", "mode", "{title} no longer controls"),
        EventSpec("warns", "warning", "{title} lit its lamp"),
        EventSpec("clears", "mode", "{title} put its lamp out"),
    )
    channels = (
        ChannelSpec("lamp", "fraction", "whether the warning lamp is lit"),
        ChannelSpec("controlling", "fraction", "whether it controls a wheel"),
        ChannelSpec("reference_speed", "speed", "reference speed, which it takes for the vehicle's"),
    )
    characteristic = ("time", "anti_lock.lamp")

    control: Literal["individual", "select_low", "mixed"] = parameter(
        "word",
        "anti_lock_control.control",
        doc="individual: every modulator by its own wheels; select_low: by the slowest wheel of its axles; mixed: "
        "select_low at the first axle, individual behind it.",
    )
    sample_time: float = parameter(
        "time", "anti_lock_control.sample_time", low=1e-3, high=0.1, doc="Time between two samples of the sensors."
    )
    delay: float = parameter(
        "time",
        "anti_lock_control.delay",
        low=1e-3,
        high=0.2,
        doc="Time from a sample to what the modulators do about it: solenoid and pilot; at least the sample time.",
    )
    release_deceleration: float = parameter(
        "acceleration",
        "anti_lock_control.release_deceleration",
        low=5.0,
        high=200.0,
        doc="Deceleration of a wheel above which its brake is released.",
    )
    release_slip: float = parameter(
        "fraction",
        "anti_lock_control.release_slip",
        low=0.05,
        high=0.45,
        doc="Slip against the reference speed above which the brake of a wheel that still slows is released.",
    )
    off_below: float = parameter(
        "speed",
        "anti_lock_control.off_below",
        low=0.5,
        high=10.0,
        doc="Reference speed below which it does not control.",
    )

    example = """\
pneusim: 1
title: An anti-lock control tells that it has lost its voltage, then a sensor
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
  warn:
    lasts: 3 s
    steps:
      - {at: 0.5 s, fault: anti_lock.voltage_lost}
      - {at: 1 s, mend: anti_lock.voltage_lost}
      - {at: 2 s, fault: left_speed.lost}
"""

    @model_validator(mode="after")
    def _delay(self) -> Self:
        if self.delay < self.sample_time:
            raise ValueError("delay must be at least sample_time")
        return self

    def lower(self, b: Builder) -> None:
        """Settings that sensors and the control's samples change, and events that tell it."""
        lamp = b.maximum(b.mode("lamp", 0.0), b.fault("voltage_lost"))
        controlling, told, warned = b.mode("controlling", 0.0), b.mode("told", 0.0), b.mode("warned", 0.0)
        b.event("controls", controlling, 0.5, +1, armed={told: 0.0}, sets={told: 1.0})
        b.event("rests", controlling, 0.5, -1, armed={told: 1.0}, sets={told: 0.0})
        b.event("warns", lamp, 0.5, +1, armed={warned: 0.0}, sets={warned: 1.0})
        b.event("clears", lamp, 0.5, -1, armed={warned: 1.0}, sets={warned: 0.0})
        b.channel("lamp", lamp)
        b.channel("controlling", controlling)
        b.channel("reference_speed", b.mode("reference_speed", 0.0))
