"""A vehicle or combination in service: how a check starts, what the driver's gauges show, a full application."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pneusim.circuit.circuit import Component, Vehicle
from pneusim.circuit.scenario import Step
from pneusim.results.run import Channel, Run
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import MET, MISSED, Finding, NotJudged
from pneusim.rules.subject import POWERED, TOWED, Subject

KINDS = (*POWERED, *TOWED)

PRESS = 0.2
"""How long the foot takes to press or release the pedal fully [s]: our assumption."""


def ready(bench: Bench, pressure: float) -> dict[str, float]:
    """``begin`` of a vehicle ready to drive, engine stopped, its reservoirs at a pressure [Pa], rear heads shut."""
    subject = bench.subject
    couplings = [line for line in subject.circuit.lines.values() if line.coupling]
    ends = {port.component for line in couplings for port in (line.start, line.end)}
    rear = [head for head in subject.all("coupling_head") if subject.figure(head, "end") == "rear"]
    valves = {f"{valve.name}.pressure": pressure for valve in subject.all("four_circuit_valve")}
    return bench.ready(pressure) | valves | {f"{head.name}.cock": 0.0 for head in rear if head.name not in ends}


def full_pressure(subject: Subject) -> tuple[float, str]:
    """The pressure of full reservoirs [Pa], and where it comes from."""
    governors = subject.all("governor")
    if governors:
        return max(float(subject.figure(governor, "cut_out")) for governor in governors), "the governor's cut-out"
    highest = max(float(subject.figure(tank, "pressure")) for tank in subject.service_reservoirs)
    return highest, "the pressure in the file, as there is no governor"


def driven(subject: Subject) -> Vehicle:
    """The vehicle with the engine."""
    found = [vehicle for vehicle in subject.combination if vehicle.kind in POWERED]
    if len(found) != 1:
        raise NotJudged(f"the circuit has {len(found) or 'no'} vehicles with an engine")
    return found[0]


def gauged(subject: Subject) -> list[Component]:
    """The reservoirs that the driver's gauges show: the service reservoirs of the vehicle with the engine."""
    return of(driven(subject), subject.service_reservoirs)


def of(vehicle: Vehicle, components: list[Component]) -> list[Component]:
    """Those of the components that belong to a vehicle."""
    return [component for component in components if component.unit == vehicle.name]


def tanks(bench: Bench, run: Run, reservoirs: list[Component]) -> tuple[Channel, ...]:
    """Pressures of reservoirs, under their titles."""
    return tuple(named(run[f"{tank.name}.pressure"], bench.subject.title(tank)) for tank in reservoirs)


def chambers(bench: Bench, run: Run, brakes: list[Component]) -> tuple[Channel, ...]:
    """Service pressures of brakes, under their titles."""
    return tuple(named(run[f"{brake.name}.service_pressure"], bench.subject.title(brake)) for brake in brakes)


def pedal(subject: Subject) -> str:
    """Input of the service brake control."""
    return f"{subject.one('foot_valve').name}.travel"


def level(like: Channel, value: float, words: str) -> Channel:
    """A limit as a curve, so that a picture has room for it, however far it is from what it limits."""
    return named(replace(like, values=np.full_like(like.values, value)), words)


@dataclass(frozen=True)
class Applied:
    """One full application, engine stopped: when it begins, when it is read and then let go, its end [s]."""

    run: Run
    remark: str
    start: float = 0.5
    held: float = 15.5
    end: float = 35.5

    @property
    def span(self) -> tuple[float, float]:
        """What a picture shows, from its start [s]."""
        return -self.start, self.end - self.start


def full_application(bench: Bench) -> Applied:
    """Apply the full reservoirs' pressure fully, hold, release."""
    (pressure, source), foot = full_pressure(bench.subject), pedal(bench.subject)
    moves = ((Applied.start, 1.0), (Applied.held, 0.0))
    steps = tuple(Step("set", at=at, target=foot, to=to, over=PRESS) for at, to in moves)
    run = bench.run("Full application, engine stopped", steps, Applied.end, ready(bench, pressure))
    return Applied(run, f"reservoirs start at {exactly(pressure)}, {source}")


def judged(clause: str, what: str, met: bool, why: str, picture: str = "") -> Finding:
    """A demand without a figure of its own; ``why`` says what was read and how."""
    return Finding(clause, what, MET if met else MISSED, why=why, picture=picture)
