"""Spring brakes held off by one reservoir that the service brakes use too."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.circuit import Component
from pneusim.lints.base import FROM_MEMORY, POWERED, PRACTICE, Lint, Seen, at, named
from pneusim.lints.unit import Unit

SOURCES = {"un13": f"UN R13 Annex 8, 2.3, {FROM_MEMORY}", "us": PRACTICE}
_SERVICE_CONTROLS = ("foot_valve", "hand_valve")


def find(unit: Unit) -> Iterator[Seen]:
    """Spring sides that cannot be fed without a reservoir that is not their own; the service controls at rest."""
    reservoirs = unit.all("reservoir")
    fed = unit.network.needs([r.name for r in (*reservoirs, *unit.all("supply"))], _SERVICE_CONTROLS)
    only: dict[str, list[Component]] = {}
    for brake in unit.all("spring_brake_actuator"):
        place = unit.network.place(brake.name, "12")
        for reservoir in reservoirs:
            if place in fed and reservoir.name in fed[place] and unit.feeds_brakes(reservoir):
                only.setdefault(reservoir.name, []).append(brake)
    for name, brakes in only.items():
        yield at(
            brakes[0],
            f"the springs of {named(brake.name for brake in brakes)} are held off by {name} alone, which feeds service "
            "brakes too; two independent reservoirs, or one of their own, must hold them off",
            "feed the park control from two reservoirs through a double check valve",
        )


LINT = Lint("W03", "Spring brakes depend on one reservoir of the service brakes.", SOURCES, find, POWERED)
