"""S5.6.1, S5.6.2 and S5.8.1: what holds the parked vehicle, and a trailer with its supply line vented."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pneusim.quantities import express
from pneusim.rules.bench import Bench
from pneusim.rules.finding import MET, MISSED, NOT_JUDGED, Finding, NotJudged, held_against, not_judged
from pneusim.rules.limits import Limit
from pneusim.rules.quotient import NO_ADHESION, STATIC, braking_quotient, gradient
from pneusim.rules.readings import SLACK
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED, Subject
from pneusim.rules.us121.forces import braking_ratios
from pneusim.rules.us121.kinds import PARKED
from pneusim.rules.us121.parking_time import parked_run

SERVES = 20e3
"""Service pressure with which a brake counts as held by air [Pa]."""

AIR = "service air holds it, not a spring; parked it must be held mechanically, with all air gone (S5.6.3.2, memory)"
EITHER = "one of S5.6.1 and S5.6.2 is enough (NHTSA letter aiam1823)"


def parked(bench: Bench) -> Iterator[Finding]:
    """S5.6.1 and S5.6.2, of which one is enough."""
    forces, grade = list(_forces(bench)), [_grade(bench)]
    yield from _spared(forces, grade)
    yield from _spared(grade, forces)


def _spared(findings: list[Finding], others: list[Finding]) -> Iterator[Finding]:
    """The findings of a demand; what it misses is not asked where the other demand is met."""
    met = others and all(finding.verdict == MET for finding in others)
    for finding in findings:
        if met and finding.verdict == MISSED and finding.value is not None:
            why = f"it comes to {express(finding.value, 'fraction')}, but {others[0].clause} is met: {EITHER}"
            finding = replace(finding, verdict=NOT_JUDGED, why=why)
        yield finding


def _grade(bench: Bench) -> Finding:
    """The grade that the vehicle holds by its forces at rest."""
    subject, limit, what = bench.subject, bench.limits["parking.grade"], "the vehicle by itself, parked"
    if _held_by_air(bench):
        return held_against(limit, None, what, AIR)
    try:
        quotient = float(braking_quotient(subject, parked_run(bench)).values[-1])
    except NotJudged as reason:
        return not_judged(limit.clause, what, str(reason))
    weight = "; its weight is that on its axles" if subject.towed else ""
    return held_against(limit, gradient(quotient), what, f"{STATIC}; {NO_ADHESION}{weight}")


def _forces(bench: Bench) -> Iterator[Finding]:
    """Every axle but a steerable front axle; a tractor of more than two axles as a whole."""
    ratios, vehicle, air = _final(bench), bench.subject.vehicle, _held_by_air(bench)
    if vehicle.kind == "tractor" and len(vehicle.axles) > 2:
        loads = {axle.number: axle.load for axle in vehicle.axles if axle.load}
        if len(loads) < len(vehicle.axles):
            raise NotJudged("not every axle has a load")
        whole = sum(ratios[number] * load for number, load in loads.items()) / sum(loads.values())
        limit, what = bench.limits["parking.tractor"], "the whole tractor, parked"
        yield held_against(limit, None, what, AIR) if air else held_against(limit, whole, what)
        return
    for number, ratio in ratios.items():
        if not _steered(bench.subject, number):
            yield _of_axle(bench.limits["parking.axle"], ratio, f"axle {number}, parked", number in air)


def emergency(bench: Bench) -> Iterator[Finding]:
    """Every axle of a trailer, but a steerable front axle, with the supply line at atmospheric pressure."""
    if bench.subject.vehicle.kind == "dolly":
        yield _applied_by_itself(bench)
        return
    air = _held_by_air(bench)
    for number, ratio in _final(bench).items():
        if not _steered(bench.subject, number):
            what = f"axle {number}, supply line vented"
            yield _of_axle(bench.limits["emergency.axle"], ratio, what, number in air)


def _of_axle(limit: Limit, ratio: float, what: str, air: bool) -> Finding:
    """An axle against a limit; what service air holds does not count."""
    return held_against(limit, None, what, AIR) if air else held_against(limit, ratio, what)


def _applied_by_itself(bench: Bench) -> Finding:
    """S5.8.1(b): the service brakes of a dolly, applied by themselves as long as its reservoir has air."""
    run, limit = parked_run(bench), bench.limits["emergency.dolly"]
    loose = [bench.subject.title(b) for b in bench.subject.brakes if run[f"{b.name}.pushrod_force"].values[-1] < SLACK]
    left = min(float(run[f"{tank.name}.pressure"].values[-1]) for tank in bench.subject.service_reservoirs)
    what = "service brakes applied by themselves, pressure in the reservoir"
    return held_against(limit, None if loose else left, what, f"not applied: {loose[0]}" if loose else "")


def _held_by_air(bench: Bench) -> frozenset[int]:
    """Axles of which a brake has service air when the vehicle is parked."""
    run = parked_run(bench)
    aired = (brake for brake in bench.subject.brakes if run[f"{brake.name}.service_pressure"].values[-1] > SERVES)
    return frozenset(brake.axle for brake in aired if brake.axle is not None)


def _steered(subject: Subject, number: int) -> bool:
    """Whether it is a steerable front axle; that of a full trailer, on its turntable, counts as one: our reading."""
    return number == 1 and (subject.powered or subject.vehicle.kind == "full_trailer")


def _final(bench: Bench) -> dict[int, float]:
    """Braking force over load of every axle at the end of the parking test."""
    found = braking_ratios(bench.subject, parked_run(bench))
    return {number: float(channel.values[-1]) for number, channel in found.items()}


FORCE = Procedure("parking_force", "Static retardation force or grade", "S5.6.1", parked, PARKED, 90)
EMERGENCY = Procedure("emergency", "Trailer emergency braking", "S5.8.1", emergency, TOWED, 110)
PROCEDURES = (FORCE, EMERGENCY)
