"""Coupling head: where the lines of two vehicles meet."""

from __future__ import annotations

from typing import Literal

from pneusim.parts._air import valve_air
from pneusim.parts.base import ChannelSpec, FaultSpec, InputSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import default_of


class CouplingHead(Part):
    """Half of a coupling, with a shut-off cock; uncoupled it is open to atmosphere unless it seals itself."""

    type = "coupling_head"
    title = "Coupling head"
    symbol = "coupling"
    ports = (
        PortSpec("1", "inner", words="towards the vehicle"),
        PortSpec(
            "2",
            "outer",
            optional=True,
            words="towards the other vehicle; a coupling or a test rig connects it",
        ),
    )
    pipe = True
    inputs = (
        InputSpec(
            "cock",
            "fraction",
            1.0,
            0.0,
            1.0,
            "shut-off cock",
            choices={"open": 1.0, "shut": 0.0},
        ),
    )
    faults = (
        FaultSpec("cock_forgotten_shut", "the shut-off cock was left shut"),
        FaultSpec(
            "leaking",
            "its seal leaks, equal to a hole",
            "length",
            default_of("coupling_head.leaking", "length"),
            0.0,
            0.05,
        ),
    )
    channels = (
        ChannelSpec("pressure", "pressure", "pressure on the vehicle's side"),
        ChannelSpec("outer_pressure", "pressure", "pressure on the outer side"),
        ChannelSpec("cock", "fraction", "how far the cock is open"),
        ChannelSpec("opening", "fraction", "opening of the passage"),
        ChannelSpec("flow", "mass_flow", "mass flow outwards"),
    )
    characteristic = ("head.cock", "head.flow")

    role: Literal["supply", "control"] = parameter("word", doc="Which line it belongs to.")
    end: Literal["front", "rear"] = parameter(
        "word", "coupling_head.end", doc="At which end of the vehicle it sits."
    )
    self_sealing: bool = parameter(
        "flag", "coupling_head.self_sealing", doc="Whether it shuts by itself when uncoupled."
    )
    conductance: float = parameter(
        "conductance", "coupling_head.conductance", above=0.0, doc="Sonic conductance when open."
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )
    volume: float = parameter(
        "volume", "coupling_head.volume", above=0.0, high=1e-2, doc="Air on each side of the cock."
    )

    example = """\
pneusim: 1
title: The shut-off cock of a control coupling is opened
components:
  signal: {type: supply, pressure: 6 bar}
  head:   {type: coupling_head, role: control, end: rear}
  vessel: {type: test_volume, volume: 385 cm3}
lines:
  control: {from: signal.1, to: head.1, bore: 9.5 mm, length: 4 m}
joints:
  - [head.2, vessel.1]
scenarios:
  open_cock:
    lasts: 2 s
    begin: {head.cock: shut}
    steps:
      - {at: 0.5 s, set: head.cock, to: open, over: 0.1 s}
"""

    def lower(self, b: Builder) -> None:
        """A restriction times the cock between two small volumes; joining and parting is not the part's."""
        inner, outer = b.node("1"), b.node("2")
        valve_air(b, inner, self.volume)
        valve_air(b, outer, self.volume)
        cock = b.input("cock")
        opening = b.forced(cock, b.fault("cock_forgotten_shut"), 0.0)
        b.leak(outer, b.fault("leaking"))
        b.channel("pressure", b.pressure(inner))
        b.channel("outer_pressure", b.pressure(outer))
        b.channel("cock", cock)
        b.channel("opening", opening)
        b.channel("flow", b.restriction(inner, outer, self.conductance, self.critical_ratio, opening))
