"""Both service circuits lost by one failure."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.braking import ACTUATORS
from pneusim.lints.base import FROM_MEMORY, POWERED, Lint, Seen, at, named
from pneusim.lints.unit import Unit

SOURCES = {"us": f"49 CFR 571.121 S5.7, {FROM_MEMORY}", "un13": f"UN R13 5.2.1.2, {FROM_MEMORY}"}


def find(unit: Unit) -> Iterator[Seen]:
    """What no service chamber of the unit can be fed without, the body of a dual valve aside."""
    fed = unit.network.needs([reservoir.name for reservoir in unit.service_reservoirs])
    ports = [unit.network.place(brake.name, "11") for brake in unit.all(*ACTUATORS)]
    needed = [fed[port] for port in ports if port in fed]
    if not needed:
        return
    lost = frozenset.intersection(*needed)
    links = [link for link in unit.network.links if link.element in lost]
    links.sort(key=lambda link: link.kind == "line")
    names = dict.fromkeys(link.element for link in links) or sorted(lost)
    if names:
        any_of = "the loss" if len(names) == 1 else "the loss of any one"
        yield _at_first(
            unit,
            [link.owner for link in links],
            f"{any_of} of {named(names)} takes the service brakes of every axle; one failure must leave some of them",
            "feed the axles from two circuits: two reservoirs, and the two sections of a foot valve",
        )


def _at_first(unit: Unit, owners: list[str], problem: str, fix: str) -> Seen:
    """At the first of some components and lines; a joint has no name, there the vehicle counts."""
    if not owners:
        return Seen(unit.vehicle.place, "vehicle", problem, fix)
    line = unit.circuit.lines.get(owners[0])
    if line:
        return Seen(line.place, f"lines.{line.name}", problem, fix)
    return at(unit.circuit.components[owners[0]], problem, fix)


LINT = Lint("W02", "One failure takes the service brakes of every axle.", SOURCES, find, POWERED)
