"""What the graded hand- and foot-operated valves share: the table of travel, and one graded section."""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from pneusim.parts._air import leaking_seat, valve_air
from pneusim.parts._piston import full_pressure_parameter, half_band_parameter, lag_parameter, width_parameter
from pneusim.parts.base import InputSpec, Part, parameter
from pneusim.parts.builder import Builder, Node, Signal

TRAVEL = InputSpec("travel", "fraction", 0.0, 0.0, 1.0, "travel")
DEMAND = InputSpec(
    "demand",
    "pressure",
    0.0,
    0.0,
    2e6,
    "pressure asked for",
)
LEAKING = (
    leaking_seat("the inlets' seats leak a share of their opening"),
    leaking_seat("the exhausts' seats leak a share of their opening", "leaking_exhaust"),
)
LEAST_DEMAND = 1e3  #: demand [Pa] that moves the control through its free travel


class Graded(Part):
    """A valve whose delivery is graded by the travel of a control."""

    free_travel: float = parameter(
        "fraction", "graded_valve.free_travel", low=0.0, high=0.5, doc="Travel before anything is delivered."
    )
    jump_travel: float = parameter(
        "fraction",
        "graded_valve.jump_travel",
        above=0.0,
        high=0.9,
        doc="Travel at which the first graded pressure is reached.",
    )
    jump_pressure: float = parameter(
        "pressure", "graded_valve.jump_pressure", low=2e3, high=200e3, doc="First graded pressure."
    )
    graded_travel: float = parameter(
        "fraction",
        "graded_valve.graded_travel",
        above=0.0,
        high=0.99,
        doc="Travel at the end of the graded range.",
    )
    graded_pressure: float = parameter(
        "pressure",
        "graded_valve.graded_pressure",
        low=100e3,
        high=2e6,
        doc="Pressure at the end of the graded range.",
    )
    full_pressure: float = full_pressure_parameter("at full travel")
    return_pressure: float = parameter(
        "pressure_difference",
        "graded_valve.return_pressure",
        low=0.0,
        high=200e3,
        doc="Strength of the return spring, as a pressure.",
    )
    half_band: float = half_band_parameter("graded_valve.half_band")
    width: float = width_parameter()
    lag: float = lag_parameter()
    critical_ratio: float = parameter(
        "number", "valve.critical_ratio", low=0.0, high=0.99, doc="Critical pressure ratio of the seats."
    )
    plenum: float = parameter(
        "volume", "graded_valve.plenum", above=0.0, high=1e-2, doc="Air inside, at each delivery."
    )

    @model_validator(mode="after")
    def _rising(self) -> Self:
        if not self.free_travel < self.jump_travel < self.graded_travel:
            raise ValueError("free_travel, jump_travel and graded_travel must rise in this order")
        if not self.jump_pressure < self.graded_pressure < self.full_pressure:
            raise ValueError("jump_pressure, graded_pressure and full_pressure must rise in this order")
        return self

    def points(self) -> list[tuple[float, float]]:
        """Delivered pressure [Pa] over travel [-]; negative at rest, so that the exhaust stands open."""
        return [
            (0.0, -self.return_pressure),
            (self.free_travel, 0.0),
            (self.jump_travel, self.jump_pressure),
            (self.graded_travel, self.graded_pressure),
            (1.0, self.full_pressure),
        ]

    def actual_travel(self, b: Builder) -> Signal:
        """Travel of the control: what the driver moves, or what the demand takes; kept when stuck.

        Offers both as channels.
        """
        stuck = b.fault("stuck")
        travel, demand = b.frozen(b.input("travel"), stuck), b.frozen(b.input("demand"), stuck)
        b.channel("travel", travel)
        b.channel("demand", demand)
        least = self.free_travel + (self.jump_travel - self.free_travel) * LEAST_DEMAND / self.jump_pressure
        backwards = [(0.0, 0.0), (LEAST_DEMAND, least), *((p, u) for u, p in self.points() if p > 0.0)]
        return b.maximum(travel, b.table(demand, backwards))

    def section(
        self,
        b: Builder,
        target: Signal,
        inlet: Node,
        delivery: Node,
        exhaust: Node,
        conductances: tuple[float, float],
    ) -> tuple[Signal, Signal]:
        """One graded section: makes the delivery follow the target; returns its openings (inlet, exhaust)."""
        valve_air(b, delivery, self.plenum)
        opening, vent = b.follower(target, b.pressure(delivery), self.half_band, self.width, self.lag)
        opening = b.maximum(opening, b.fault("leaking_seat"))
        vent = b.maximum(vent, b.fault("leaking_exhaust"))
        b.restriction(inlet, delivery, conductances[0], self.critical_ratio, opening)
        b.restriction(delivery, exhaust, conductances[1], self.critical_ratio, vent)
        return opening, vent
