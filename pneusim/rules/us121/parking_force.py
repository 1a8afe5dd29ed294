"""S5.6.1 and S5.8.1: static retardation force of the parked vehicle, of a trailer with its supply line vented."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, NotJudged, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED, Subject
from pneusim.rules.us121.forces import braking_ratios
from pneusim.rules.us121.kinds import KINDS
from pneusim.rules.us121.parking_time import parked_run


def parked(bench: Bench) -> Iterator[Finding]:
    """Every axle but a steerable front axle; a tractor of more than two axles as a whole."""
    ratios, vehicle = _final(bench), bench.subject.vehicle
    if vehicle.kind == "tractor" and len(vehicle.axles) > 2:
        loads = {axle.number: axle.load for axle in vehicle.axles if axle.load}
        if len(loads) < len(vehicle.axles):
            raise NotJudged("not every axle has a load")
        whole = sum(ratios[number] * load for number, load in loads.items()) / sum(loads.values())
        yield held_against(bench.limits["parking.tractor"], whole, "the whole tractor, parked")
        return
    for number, ratio in ratios.items():
        if not _steered(bench.subject, number):
            yield held_against(bench.limits["parking.axle"], ratio, f"axle {number}, parked")


def emergency(bench: Bench) -> Iterator[Finding]:
    """Every axle of a trailer, but a steerable front axle, with the supply line at atmospheric pressure."""
    for number, ratio in _final(bench).items():
        if not _steered(bench.subject, number):
            yield held_against(bench.limits["emergency.axle"], ratio, f"axle {number}, supply line vented")


def _steered(subject: Subject, number: int) -> bool:
    """Whether it is a steerable front axle; that of a full trailer, on its turntable, counts as one: our reading."""
    return number == 1 and (subject.powered or subject.vehicle.kind == "full_trailer")


def _final(bench: Bench) -> dict[int, float]:
    """Braking force over load of every axle at the end of the parking test."""
    found = braking_ratios(bench.subject, parked_run(bench))
    return {number: float(channel.values[-1]) for number, channel in found.items()}


PROCEDURE = Procedure("parking_force", "Static retardation force", "S5.6.1", parked, KINDS)
EMERGENCY = Procedure("emergency", "Trailer emergency braking", "S5.8.1", emergency, TOWED)
