"""Spring-brake actuator: a service chamber and a spring held off by air, on one pushrod."""

from __future__ import annotations

from typing import Literal

from pneusim.parts._chamber import CHANNELS, FAULTS, ServiceChamber
from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of

Size = Literal[
    "12/16", "16/16", "16/24", "20/20", "20/24", "20/30", "24/24", "24/30", "30/30", "30/36", "36/36"
]


class SpringBrakeActuator(ServiceChamber):
    """Service side and spring side named by their areas in square inches, such as 24/30."""

    type = "spring_brake_actuator"
    title = "Spring-brake actuator"
    symbol = "spring_chamber"
    ports = (PortSpec("11", "service"), PortSpec("12", "spring"))
    inputs = (
        InputSpec(
            "caged",
            "fraction",
            0.0,
            0.0,
            1.0,
            "caging of the spring by its release bolt",
            choices={"no": 0.0, "yes": 1.0},
        ),
    )
    faults = (
        *FAULTS,
        FaultSpec("broken_spring", "the spring is broken and pushes no more"),
        FaultSpec("caged", "the spring was left caged"),
    )
    channels = (
        *CHANNELS,
        ChannelSpec("spring_pressure", "pressure", "pressure that holds the spring off"),
        ChannelSpec("spring_travel", "length", "travel of the spring piston from fully held off"),
        ChannelSpec("caged", "fraction", "whether the spring is caged"),
    )
    characteristic = ("left.spring_pressure", "left.pushrod_force")

    size: Size = parameter(
        "word",
        "spring_brake_actuator.size",
        doc="Size: nominal areas of service and spring side in square inches.",
    )
    spring_area: float | None = parameter(
        "area", "spring.{spring}.area", above=0.0, high=0.2, doc="Area of the spring piston."
    )
    spring_force: float | None = parameter(
        "force",
        "spring.{spring}.force",
        above=0.0,
        high=100e3,
        doc="Force of the spring when fully held off.",
    )
    spring_rate: float | None = parameter(
        "stiffness", "spring.{spring}.rate", low=0.0, doc="Rate of the spring."
    )
    spring_stroke: float | None = parameter(
        "length", "spring.{spring}.travel", above=0.0, high=0.3, doc="Full travel of the spring piston."
    )
    spring_friction: float | None = parameter(
        "force", "spring.{spring}.friction", low=0.0, high=10e3, doc="Friction of the spring piston."
    )
    spring_dead_volume: float | None = parameter(
        "volume",
        "spring.{spring}.dead_volume",
        above=0.0,
        high=1e-2,
        doc="Air space of the spring side with the spring out.",
    )

    example = """\
pneusim: 1
title: A spring brake applies as its hold-off pressure falls
components:
  service: {type: supply, pressure: 0 bar}
  hold:    {type: supply, pressure: 8 bar}
  left:    {type: spring_brake_actuator, size: 30/30}
lines:
  rod:    {from: service.1, to: left.11, bore: 9 mm, length: 2 m}
  spring: {from: hold.1, to: left.12, bore: 9 mm, length: 2 m}
scenarios:
  park:
    lasts: 4 s
    steps:
      - {at: 0.5 s, set: hold.pressure, to: 0 bar, over: 1 s}
"""

    def sizes(self) -> dict[str, str]:
        """The service size and the spring size."""
        service, spring = self.size.split("/")
        return {"service": service, "spring": spring}

    def catalogue_key(self, parameter: str) -> str | None:
        """Where the catalogue keeps a default; in a long actuator the spring travels further too."""
        if parameter == "spring_stroke" and self.stroke_class == "long":
            return "spring.{spring}.long_travel".format(**self.sizes())
        return super().catalogue_key(parameter)

    def lower(self, b: Builder) -> None:
        """Two pressure spaces on one pushrod; a cage bolt draws the spring back, a broken spring is slack."""
        service, spring = b.node("11"), b.node("12")
        b.air(spring, self.figure("spring_dead_volume"), default_of("heat.chamber", "film"))
        caged, broken = b.maximum(b.input("caged"), b.fault("caged")), b.fault("broken_spring")
        pull = -default_of("spring.cage_pull", "force")
        force = b.forced(b.forced(b.constant(self.figure("spring_force")), broken, 0.0), caged, pull)
        rate = b.forced(b.forced(b.constant(self.figure("spring_rate")), broken, 0.0), caged, 0.0)
        stroke, push, travel = b.spring_brake(
            service,
            spring,
            **self.service(b, service),
            piston_area=self.figure("spring_area"),
            spring_force=force,
            spring_rate=rate,
            piston_travel=self.figure("spring_stroke"),
            piston_friction=self.figure("spring_friction"),
        )
        b.channel("stroke", stroke)
        b.channel("pushrod_force", push)
        b.channel("spring_pressure", b.pressure(spring))
        b.channel("spring_travel", travel)
        b.channel("caged", caged)
