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
    """Spring brakes whose balance pressure at travel 0 lies above the lowest warning of a reservoir; friction aside."""
    piped = {place for reservoir in unit.all("reservoir") for place in unit.network.piped(reservoir.name)}
    switches = [s for s in unit.all("pressure_switch") if unit.network.place(s.name, "1") in piped]
    if not switches:
        return
    switch = min(switches, key=lambda switch: float(unit.figure(switch, "closes_below")))
    warning = float(unit.figure(switch, "closes_below"))
    for brake in unit.all("spring_brake_actuator"):
        moves = _begins(unit, brake)
        if moves > warning:
            yield at(
                brake,
                f"its spring begins to move at {express(moves, 'pressure')}, but {switch.name} warns only below "
                f"{express(warning, 'pressure')}; the warning must come first",
                f"let {switch.name} warn at {express(moves, 'pressure')} or more, or fit weaker springs",
            )


def _begins(unit: Unit, brake: Component) -> float:
    area, force, rate = (float(unit.figure(brake, f"spring_{name}")) for name in ("area", "force", "rate"))
    return spring_balance_pressure(0.0, area, force, rate)


LINT = Lint("W10", "Springs begin to move above the low-pressure warning.", SOURCES, find, POWERED)
