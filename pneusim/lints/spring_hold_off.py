"""Springs that begin to move before the driver is warned."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.circuit import Component
from pneusim.lints.base import FROM_MEMORY, POWERED, PRACTICE, Lint, Seen, at
from pneusim.lints.unit import Unit
from pneusim.physics.plain import spring_balance_pressure
from pneusim.quantities import express

SOURCES = {"un13": f"UN R13 Annex 8, 2.6, {FROM_MEMORY}", "us": PRACTICE}


def find(unit: Unit) -> Iterator[Seen]:
    """Spring brakes that act above the lowest warning of a reservoir; falling, the return spring aside.

    UN R13 looks at their first movement. Where the warning stands at 60 psi by law, springs of usual strength move a
    little before it: what counts there is that they do not drag yet.
    """
    piped = {place for reservoir in unit.all("reservoir") for place in unit.network.piped(reservoir.name)}
    switches = [s for s in unit.all("pressure_switch") if unit.network.place(s.name, "1") in piped]
    if not switches:
        return
    switch = min(switches, key=lambda switch: float(unit.figure(switch, "closes_below")))
    warning = float(unit.figure(switch, "closes_below"))
    for brake in unit.all("spring_brake_actuator"):
        drags = unit.vehicle.practice == "us"
        acts = _balance(unit, brake, float(unit.figure(brake, "free_stroke")) if drags else 0.0)
        if acts > warning:
            yield at(
                brake,
                f"its spring begins to {'drag' if drags else 'move'} at {express(acts, 'pressure')}, but {switch.name} "
                f"warns only below {express(warning, 'pressure')}; the warning must come first",
                f"let {switch.name} warn at {express(acts, 'pressure')} or more, or fit weaker springs",
            )


def _balance(unit: Unit, brake: Component, travel: float) -> float:
    """Pressure at which the spring, moved so far, overcomes the hold-off and its own friction [Pa]."""
    area, force, rate, friction = (
        float(unit.figure(brake, f"spring_{name}")) for name in ("area", "force", "rate", "friction")
    )
    return spring_balance_pressure(travel, area, force - friction, rate)


LINT = Lint("W10", "Springs begin to act above the low-pressure warning.", SOURCES, find, POWERED)
