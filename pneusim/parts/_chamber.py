"""What service chambers share: the figures of a size, and the service side."""

from __future__ import annotations

from typing import Any, Literal, Self, TypedDict

from pydantic import model_validator

from pneusim.parts.base import ChannelSpec, FaultSpec, Part, parameter
from pneusim.parts.builder import Builder, Node, Signal
from pneusim.parts.catalogue import default_of

FAULTS = (
    FaultSpec(
        "torn_diaphragm",
        "the service diaphragm is torn, equal to a hole",
        "length",
        default_of("chamber.torn_diaphragm", "length"),
        0.0,
        0.1,
    ),
    FaultSpec(
        "out_of_adjustment",
        "the brake is out of adjustment by its free stroke",
        "length",
        default_of("chamber.out_of_adjustment", "length"),
        0.0,
        0.2,
    ),
)

LONG = ("9", "12", "14", "16", "18", "20", "24", "30", "36")  #: sizes that are made with a long stroke too

CHANNELS = (
    ChannelSpec("service_pressure", "pressure", "pressure on the service diaphragm"),
    ChannelSpec("stroke", "length", "pushrod stroke"),
    ChannelSpec("pushrod_force", "force", "force of the pushrod on the brake"),
)


class ServiceSide(TypedDict):
    """What the builder needs to know of a service chamber, SI."""

    area: float
    stroke: float
    decline: float
    return_preload: float
    return_rate: float
    free_stroke: Signal
    brake_stiffness: float
    friction: float
    friction_share: float


class ServiceChamber(Part):
    """A diaphragm that pushes a brake; figures not given come from the catalogue by the part's size."""

    stroke_class: Literal["standard", "long"] = parameter(
        "word", "chamber.stroke_class", doc="Class of the full stroke: standard or long."
    )
    free_stroke: float = parameter(
        "length", "chamber.free_stroke", low=0.0, high=0.2, doc="Stroke at which the linings touch."
    )
    area: float | None = parameter(
        "area", "chamber.{service}.area", above=0.0, high=0.2, doc="Effective area of the service diaphragm."
    )
    stroke: float | None = parameter(
        "length", "chamber.{service}.stroke", above=0.0, high=0.3, doc="Full stroke of the pushrod."
    )
    pre_fill: float | None = parameter(
        "volume",
        "chamber.{service}.pre_fill",
        above=0.0,
        high=1e-2,
        doc="Air space of the service chamber at stroke zero.",
    )
    brake_stiffness: float | None = parameter(
        "stiffness",
        "chamber.{service}.brake_stiffness",
        above=0.0,
        doc="Stiffness of the brake, seen at the pushrod.",
    )
    area_decline: float = parameter(
        "fraction",
        "chamber.area_decline",
        low=0.0,
        high=0.9,
        doc="Share of the area lost at full stroke, beyond 80 % of it.",
    )
    return_pressure: float = parameter(
        "pressure_difference",
        "chamber.return_pressure",
        low=0.0,
        high=200e3,
        doc="Pressure that the return spring holds at stroke zero.",
    )
    return_rate: float = parameter(
        "stiffness", "chamber.return_rate", low=0.0, doc="Rate of the return spring."
    )
    friction_pressure: float = parameter(
        "pressure_difference",
        "chamber.friction_pressure",
        low=0.0,
        high=100e3,
        doc="Pressure that moves the pushrod against its own friction.",
    )
    friction_share: float = parameter(
        "fraction",
        "chamber.friction_share",
        low=0.0,
        high=0.5,
        doc="Friction of the brake as a share of its reaction.",
    )

    @model_validator(mode="after")
    def _made_long(self) -> Self:
        if self.stroke_class == "long" and self.stroke is None and self.sizes()["service"] not in LONG:
            raise ValueError(f"size {self.sizes()['service']} has no long stroke (sizes that have: {', '.join(LONG)})")
        return self

    def catalogue_key(self, parameter: str) -> str | None:
        """Where the catalogue keeps a default; a long stroke has a place of its own."""
        if parameter == "stroke" and self.stroke_class == "long":
            return "chamber.{service}.long_stroke".format(**self.sizes())
        return super().catalogue_key(parameter)

    def figure(self, name: str) -> float:
        """A parameter as the file gives it, or else the catalogue's figure for this size."""
        given = getattr(self, name)
        if given is None:
            extra: Any = type(self).model_fields[name].json_schema_extra
            given = default_of(str(self.catalogue_key(name)), extra["dimension"])
        return float(given)

    def service(self, b: Builder, node: Node) -> ServiceSide:
        """Add the service side's air, leak and channel; return its figures."""
        b.air(node, self.figure("pre_fill"), default_of("heat.chamber", "film"))
        b.leak(node, b.fault("torn_diaphragm"))
        b.channel("service_pressure", b.pressure(node))
        area = self.figure("area")
        return ServiceSide(
            area=area,
            stroke=self.figure("stroke"),
            decline=self.area_decline,
            return_preload=self.return_pressure * area,
            return_rate=self.return_rate,
            free_stroke=b.maximum(b.constant(self.free_stroke), b.fault("out_of_adjustment")),
            brake_stiffness=self.figure("brake_stiffness"),
            friction=self.friction_pressure * area,
            friction_share=self.friction_share,
        )
