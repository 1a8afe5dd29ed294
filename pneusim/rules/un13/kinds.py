"""Vehicles as UN R13 tests them: pressures at the start, rigs in front and behind, what a pedal does."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from pneusim.circuit.circuit import Component
from pneusim.quantities import express
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.run import Run
from pneusim.rules.bench import Bench
from pneusim.rules.finding import NotJudged
from pneusim.rules.readings import FED, SLACK
from pneusim.rules.subject import POWERED, TOWED, Subject

KINDS = (*POWERED, *TOWED)

FRONT = "lines_in_front"


def cut_in(bench: Bench) -> tuple[float, str]:
    """The least normal pressure [Pa] and where it comes from: governors' cut-in, or 90 % of the file's."""
    subject = bench.subject
    governors = subject.all("governor")
    if governors:
        lowest = min(float(subject.figure(governor, "cut_in")) for governor in governors)
        return lowest, "the governor's cut-in pressure"
    share = bench.value("storage.no_governor")
    made_for = min(float(subject.figure(tank, "pressure")) for tank in subject.service_reservoirs)
    return share * made_for, f"{express(share, 'fraction')} of the pressure in the file, as there is no governor"


def cut_out(subject: Subject) -> float:
    """The highest normal pressure [Pa]: governors' cut-out, or the file's."""
    governors = subject.all("governor")
    if governors:
        return max(float(subject.figure(governor, "cut_out")) for governor in governors)
    return max(float(subject.figure(tank, "pressure")) for tank in subject.service_reservoirs)


def ready(bench: Bench, pressure: float) -> dict[str, float]:
    """``begin`` of a vehicle ready to drive, its reservoirs and the air before them at a pressure [Pa]."""
    valves = bench.subject.all("four_circuit_valve")
    return bench.ready(pressure) | {f"{valve.name}.pressure": pressure for valve in valves}


def in_front(bench: Bench, reservoirs: float, supply: float) -> dict[str, float]:
    """``begin`` of a trailer behind lines at set pressures, its reservoirs and supply line at given ones [Pa]."""
    return ready(bench, reservoirs) | {f"{FRONT}.supply.pressure": supply, f"{FRONT}.control.pressure": 0.0}


def rigs(bench: Bench, front: str = FRONT, behind: str = "capped_behind") -> tuple[str, ...]:
    """A rig in front of a trailer, and one behind a vehicle that tows."""
    before = (front,) if bench.subject.towed else ()
    return (*before, behind) if bench.subject.vehicle.tows else before


def stores(subject: Subject) -> list[Component]:
    """The reservoirs, of which there must be one."""
    if not subject.reservoirs:
        raise NotJudged("the circuit has no reservoir")
    return subject.reservoirs


def pedal(subject: Subject) -> str:
    """Input of the service brake control."""
    return f"{subject.one('foot_valve').name}.travel"


def service_pressures(subject: Subject) -> dict[str, str]:
    """Channel of the service pressure of each brake, by the name of the brake."""
    return {brake.name: f"{brake.name}.service_pressure" for brake in subject.brakes}


def slowest(times: Mapping[str, float | None]) -> str:
    """The name with the longest time; one that never comes is longest."""
    return max(times, key=lambda name: math.inf if (time := times[name]) is None else time)


def fed(brakes: Mapping[str, str], pressure: Callable[[str], float]) -> dict[str, str]:
    """Those of the channels, by brake, in which a full application gives pressure; springs alone have none."""
    found = {name: channel for name, channel in brakes.items() if pressure(channel) > FED}
    if not found:
        raise NotJudged("no brake gets pressure from a full application")
    return found


def begins(subject: Subject, run: Run, since: float) -> dict[str, float | None]:
    """When the pushrod of each brake begins to push after ``since`` [s], by its name; None if it does not."""
    forces = {brake.name: run[f"{brake.name}.pushrod_force"] for brake in subject.brakes}
    acting = [name for name, force in forces.items() if force(since) > SLACK]
    if acting:
        raise NotJudged(f"{subject.called(acting[0])} brakes before the test begins")
    return {name: first_crossing(force, SLACK, +1, since, run.span[1]) for name, force in forces.items()}
