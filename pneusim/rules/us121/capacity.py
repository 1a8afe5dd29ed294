"""S5.1.2.1 and S5.2.1.1: volume of the reservoirs over that of the service chambers."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.circuit import Component
from pneusim.quantities import express
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import Subject
from pneusim.rules.us121.kinds import KINDS


def judge(bench: Bench) -> Iterator[Finding]:
    """Service and supply reservoirs of a powered vehicle, service reservoirs of a trailer."""
    from pneusim.rules.us121.build_up import supply_reservoirs

    subject = bench.subject
    tanks = subject.service_reservoirs
    if subject.powered:
        tanks = [*supply_reservoirs(subject), *tanks]
    held, needed = sum(volume(subject, tank) for tank in tanks), chamber_volume(bench)
    limit = bench.limits["capacity.truck" if subject.powered else "capacity.trailer"]
    words = f"{express(held, 'volume')} of reservoirs over {express(needed, 'volume')} of chambers"
    names = ", ".join(subject.title(tank) for tank in tanks)
    yield held_against(limit, held / needed, words, f"reservoirs counted: {names}")


def volume(subject: Subject, tank: Component) -> float:
    """Volume of a reservoir [m3]."""
    return float(subject.figure(tank, "volume"))


def chamber_volume(bench: Bench) -> float:
    """Volume of all service chambers [m3].

    That is the lower of the rated and the actual volume at full travel where Table V has the chamber's size and stroke,
    and else the actual one.
    """
    return sum(_counts(bench, brake) for brake in bench.subject.brakes)


def _counts(bench: Bench, brake: Component) -> float:
    subject = bench.subject
    stroke = float(subject.figure(brake, "stroke"))
    actual = float(subject.figure(brake, "pre_fill")) + float(subject.figure(brake, "area")) * stroke
    size = str(subject.figure(brake, "size")).partition("/")[0]
    row = f"chamber.{size}"
    if f"{row}.volume" not in bench.limits:
        return actual
    within = bench.value(f"{row}.shortest") - ROUNDING <= stroke <= bench.value(f"{row}.longest") + ROUNDING
    return min(bench.value(f"{row}.volume"), actual) if within else actual


ROUNDING = 0.1e-3
"""By how much a stroke in mm may miss the inches of the table [m]."""

PROCEDURE = Procedure("capacity", "Reservoir capacity", "S5.1.2.1", judge, KINDS)
