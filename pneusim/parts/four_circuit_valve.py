"""Four-circuit protection valve: one inlet feeds four circuits, each behind a piston of its own."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from pneusim.parts._air import two_states, valve_air
from pneusim.parts._piston import LEAST_CHECK_WIDTH, LEAST_WIDTH
from pneusim.parts.base import ChannelSpec, EventSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder, Node
from pneusim.parts.catalogue import default_of
from pneusim.parts.protection_valve import area_ratio_piston, one_way

SERVICE, AUXILIARY = ("21", "22"), ("23", "24")
SECTIONS = (*SERVICE, *AUXILIARY)


class FourCircuitValve(Part):
    """Fills four circuits and keeps the others when one is lost.

    Each section is an area-ratio piston: against an empty circuit it opens at ``opens``, with a full one it shuts at
    ``closes``.  A circuit that is lost at once therefore leaves the others about the opening pressure; one that bleeds
    through a hole, together with the others, something between the two.
    """

    type = "four_circuit_valve"
    title = "Four-circuit protection valve"
    symbol = "four_circuit"
    ports = (
        PortSpec("1", "supply"),
        PortSpec("21", "first_service"),
        PortSpec("22", "second_service"),
        PortSpec("23", "third", optional=True, words="parking brake, trailer"),
        PortSpec("24", "fourth", optional=True, words="auxiliaries"),
    )
    faults = (
        *(FaultSpec(f"stuck_open_{n}", f"the piston of section {n} stays open, both ways") for n in SECTIONS),
        *(FaultSpec(f"stuck_shut_{n}", f"the piston of section {n} stays shut") for n in SECTIONS),
    )
    events = (
        *(EventSpec(f"opened_{n}", "mode", f"{{title}} opened towards circuit {n}") for n in SECTIONS),
        *(EventSpec(f"shut_{n}", "trip", f"{{title}} shut circuit {n} off") for n in SECTIONS),
    )
    channels = (
        ChannelSpec("pressure", "pressure", "pressure at the inlet"),
        *(ChannelSpec(f"opening_{n}", "fraction", f"opening towards circuit {n}") for n in SECTIONS),
        *(ChannelSpec(f"flow_{n}", "mass_flow", f"mass flow to circuit {n}") for n in SECTIONS),
    )
    characteristic = ("circuits.pressure", "first.pressure")

    opens: float = parameter(
        "pressure",
        "four_circuit_valve.opens",
        above=0.0,
        high=3e6,
        doc="Inlet pressure that opens a service section towards an empty circuit; the pressure it secures.",
    )
    closes: float = parameter(
        "pressure",
        "four_circuit_valve.closes",
        above=0.0,
        high=3e6,
        doc="Pressure at which a service section shuts when both sides fall together.",
    )
    auxiliary_opens: float = parameter(
        "pressure",
        "four_circuit_valve.auxiliary_opens",
        above=0.0,
        high=3e6,
        doc="The same of sections 23 and 24: opening.",
    )
    auxiliary_closes: float = parameter(
        "pressure",
        "four_circuit_valve.auxiliary_closes",
        above=0.0,
        high=3e6,
        doc="The same of sections 23 and 24: closing.",
    )
    service_back_flow: bool = parameter(
        "flag",
        "four_circuit_valve.service_back_flow",
        doc="Whether air of circuits 21 and 22 may return while they are open.",
    )
    auxiliary_back_flow: bool = parameter(
        "flag",
        "four_circuit_valve.auxiliary_back_flow",
        doc="Whether air of circuits 23 and 24 may return while they are open.",
    )
    width: float = parameter(
        "pressure_difference",
        "four_circuit_valve.width",
        low=LEAST_WIDTH,
        high=300e3,
        doc="Pressure beyond the balance that opens a section fully.",
    )
    one_way_width: float = parameter(
        "pressure_difference",
        "check_valve.width",
        low=LEAST_CHECK_WIDTH,
        high=200e3,
        doc="Pressure difference that opens a section's check valve fully.",
    )
    conductance: float = parameter(
        "conductance",
        "four_circuit_valve.conductance",
        above=0.0,
        doc="Sonic conductance of a section when open.",
    )
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio."
    )
    plenum: float = parameter(
        "volume", "four_circuit_valve.plenum", above=0.0, high=1e-2, doc="Air inside, at the inlet."
    )
    pressure: float | None = parameter(
        "pressure",
        optional=True,
        low=0.0,
        high=3e6,
        doc="Pressure at the inlet when the circuit begins to settle; sections that it opens stay open.",
    )

    example = """\
pneusim: 1
title: A circuit behind a four-circuit protection valve is torn open
components:
  source:   {type: supply, pressure: 0 bar}
  check:    {type: check_valve}
  circuits: {type: four_circuit_valve}
  first:    {type: reservoir, volume: 5 L}
  second:   {type: reservoir, volume: 5 L}
  third:    {type: reservoir, volume: 5 L}
  fourth:   {type: reservoir, volume: 5 L}
lines:
  feed: {from: source.1, to: check.1, bore: 9 mm, length: 2 m}
joints:
  - [check.2, circuits.1]
  - [circuits.21, first.1]
  - [circuits.22, second.1]
  - [circuits.23, third.1]
  - [circuits.24, fourth.1]
scenarios:
  fill_and_lose:
    lasts: 30 s
    steps:
      - {at: 1 s, set: source.pressure, to: 8 bar, over: 5 s}
      - {at: 15 s, set: source.pressure, to: 0 bar}
      - {at: 16 s, fault: first.lost, to: 10 mm}
"""

    @model_validator(mode="after")
    def _order(self) -> Self:
        if not self.closes < self.opens:
            raise ValueError("closes must be less than opens")
        if not self.auxiliary_closes < self.auxiliary_opens:
            raise ValueError("auxiliary_closes must be less than auxiliary_opens")
        return self

    def lower(self, b: Builder) -> None:
        """Four area-ratio pistons side by side on one inlet."""
        inlet = b.node("1")
        b.air(inlet, self.plenum, default_of("heat.plenum", "film"), pressure=self.pressure)
        for number in SERVICE:
            self._section(b, inlet, number, (self.opens, self.closes), self.service_back_flow)
        for number in AUXILIARY:
            levels = (self.auxiliary_opens, self.auxiliary_closes)
            self._section(b, inlet, number, levels, self.auxiliary_back_flow)
        b.channel("pressure", b.pressure(inlet))

    def _section(
        self, b: Builder, inlet: Node, number: str, levels: tuple[float, float], back_flow: bool
    ) -> None:
        outlet = b.node(number)
        valve_air(b, outlet, default_of("four_circuit_valve.outlet", "volume"))
        piston = area_ratio_piston(b, inlet, outlet, *levels, self.width)
        opening = piston if back_flow else b.product(piston, one_way(b, inlet, outlet, self.one_way_width))
        for fault, forced in ((f"stuck_open_{number}", 1.0), (f"stuck_shut_{number}", 0.0)):
            stuck = b.fault(fault)
            opening, piston = b.forced(opening, stuck, forced), b.forced(piston, stuck, forced)
        two_states(b, f"open_{number}", piston, (f"opened_{number}", 0.75), (f"shut_{number}", 0.25))
        b.channel(f"opening_{number}", opening)
        flow = b.restriction(inlet, outlet, self.conductance, self.critical_ratio, opening)
        b.channel(f"flow_{number}", flow)
