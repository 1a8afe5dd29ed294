"""Fixed restriction: an orifice or throttle."""

from __future__ import annotations

import math

from pydantic import model_validator

from pneusim.parts.base import ChannelSpec, FaultSpec, Part, PortSpec, parameter
from pneusim.parts.builder import Builder
from pneusim.quantities import parse


class Restriction(Part):
    """A throttle by its ISO 6358 figures, or an orifice by its hole."""

    type = "restriction"
    title = "Restriction"
    symbol = "restriction"
    ports = (PortSpec("1", "supply"), PortSpec("2", "delivery"))
    pipe = True
    faults = (FaultSpec("blocked", "the throat is blocked"),)
    channels = (ChannelSpec("flow", "mass_flow", "mass flow from port 1 to port 2"),)
    characteristic = ("empty.pressure", "hole.flow")

    conductance: float | None = parameter("conductance", optional=True, above=0.0, doc="Sonic conductance C.")
    critical_ratio: float = parameter(
        "number", "restriction.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio b."
    )
    hole: float | None = parameter(
        "length", optional=True, above=0.0, high=0.1, doc="Diameter of the hole, instead of a conductance."
    )
    cd: float = parameter(
        "number", "restriction.cd", above=0.0, high=1.0, doc="Discharge coefficient of the hole."
    )

    example = """\
pneusim: 1
title: A tank fills another through a 4 mm hole
components:
  full:  {type: reservoir, volume: 30 L, pressure: 6.5 bar}
  hole:  {type: restriction, hole: 4.15 mm}
  cock:  {type: stop_valve}
  empty: {type: test_volume, volume: 385 cm3}
joints:
  - [full.21, cock.1]
  - [cock.2, hole.1]
  - [hole.2, empty.1]
scenarios:
  fill_and_block:
    lasts: 2 s
    begin: {cock.position: shut}
    steps:
      - {at: 0.5 s, set: cock.position, to: open}
      - {at: 0.6 s, fault: hole.blocked}
"""

    @model_validator(mode="after")
    def _one_size(self) -> Restriction:
        if (self.conductance is None) == (self.hole is None):
            raise ValueError("give either conductance or hole, not both and not neither")
        return self

    def sonic_conductance(self) -> float:
        """C [m3/(s Pa)] as given, or of the hole as an ideal nozzle times cd (ISO 6358).

        A hole has C = 0.68473 cd (pi/4) d^2/(rho0 sqrt(R T0)).

        Examples
        --------
        >>> f"{Restriction(hole=4.15e-3, cd=1.0).sonic_conductance():.4g}"
        '2.694e-08'
        """
        if self.conductance is not None:
            return self.conductance
        assert self.hole is not None
        per_area = parse("1 mm2", "conductance") / 1e-6
        return per_area * self.cd * math.pi / 4 * self.hole**2

    def lower(self, b: Builder) -> None:
        """One restriction that a fault can block."""
        passage = b.forced(b.constant(1.0), b.fault("blocked"), 0.0)
        flow = b.restriction(b.node("1"), b.node("2"), self.sonic_conductance(), self.critical_ratio, passage)
        b.channel("flow", flow)
