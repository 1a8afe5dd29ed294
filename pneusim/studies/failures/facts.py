"""What is kept of a run for judging: forces, times and pressures at the moments of the cycle, by component."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Circuit
from pneusim.results.measures.brakes import CONTACT, Brake, brakes
from pneusim.results.measures.crossing import before, first_crossing
from pneusim.results.measures.reservoirs import reservoirs
from pneusim.results.measures.turns import MOVED
from pneusim.results.mechanics import APPLIED
from pneusim.results.outcome import WARNERS
from pneusim.results.road.rolling import REST, units
from pneusim.results.run import Channel, Run
from pneusim.studies.case import Case
from pneusim.studies.failures.moments import Moments, moments_of
from pneusim.studies.failures.short_run import short_run
from pneusim.studies.outcome import Outcome, message_of

BUILT_UP = 0.75
"""Share of the force held at which a brake counts as applied."""

MOMENTS = ("pedal", "held", "parks", "parked", "drives")


def find_moments(case: Case) -> Outcome:
    """Judge of the intact vehicle's first run: the moments of its cycle; ``asks`` is the time of the failure [s]."""
    run = short_run(case)
    moments = moments_of(run, float(case.asks)).text()
    return Outcome(status=run.status, message=message_of(run), extra={"moments": moments})


def find_facts(case: Case) -> Outcome:
    """Judge of every run of the study: its facts, its events and its story; ``asks`` are the moments."""
    run = short_run(case)
    return replace(Outcome.of(run, **facts_of(run, Moments.read(case.asks))), measures={})


def facts_of(run: Run, moments: Moments) -> dict[str, Any]:
    """Facts of a run, plain data.

    ========= =====================================================================================================
    forces    by moment (pedal, held, parks, parked, drives) and brake: braking force at the tyre [N], before what
              happens in that moment; the pushrod's force where the circuit does not describe all foundation brakes
    pushes    the same of the pushrod [N]
    time_75   by brake: from the pedal until it has 75 % of the force it holds [s]; None if it holds none
    springs   by spring brake: when its spring first presses on the brake before parking [s], None if it never does
    acts      by brake: when it is first applied between failure and pedal [s], None if it is not
    air       by reservoir: pressure when the pedal is pressed, at the end, and the lowest [Pa]
    warned    first warning after the failure [s], None without
    stops     by vehicle on a road: way from the pedal, or from where it came away, to rest [m]; 0 if it stands as the
              pedal is pressed, None if it does not come to rest
    ========= =====================================================================================================
    """
    found, at = brakes(run), {name: time for name in MOMENTS if (time := getattr(moments, name)) is not None}
    force = "brake_force" if has_torques(run.circuit, run.channels) else "pushrod_force"
    channels = {brake.name: run.channels[f"{brake.name}.{force}"] for brake in found}
    until = _first(moments.parks, run.span[1])
    return {
        "forces": {moment: {n: before(c, time) for n, c in channels.items()} for moment, time in at.items()},
        "pushes": {moment: {b.name: before(b.force, time) for b in found} for moment, time in at.items()},
        "time_75": {b.name: _built_up(b.force, moments) for b in found} if "held" in at else {},
        "springs": {b.name: _presses(b, moments.fails, until) for b in found if b.spring_travel is not None},
        "acts": {b.name: _applied(b.force, moments.fails, _first(moments.pedal, until)) for b in found},
        "air": dict(_air(run, moments)),
        "warned": min((e.time for e in _warnings(run) if e.time >= moments.fails), default=None),
        "stops": dict(_stops(run, moments.pedal)),
    }


def _stops(run: Run, pedal: float | None) -> Iterator[tuple[str, float | None]]:
    for unit in units(run):
        stands = pedal is not None and abs(unit.speed(pedal)) <= REST
        known = {measure.name: measure.value for measure in run.measures}
        yield unit.name, 0.0 if stands else known.get(f"{unit.name}.stopping_distance")


def has_torques(circuit: Circuit, channels: Mapping[str, Channel]) -> bool:
    """Whether the braking force of every actuator is known."""
    names = [name for name, component in circuit.components.items() if component.type in ACTUATORS]
    return all(f"{name}.brake_force" in channels for name in names)


def _first(time: float | None, other: float) -> float:
    return other if time is None else time


def _built_up(force: Channel, moments: Moments) -> float | None:
    if moments.pedal is None or moments.held is None or (held := before(force, moments.held)) <= APPLIED:
        return None
    level = BUILT_UP * held
    if before(force, moments.pedal) >= level:
        return 0.0
    time = first_crossing(force, level, +1, moments.pedal, moments.held)
    return None if time is None else time - moments.pedal


def _presses(brake: Brake, since: float, until: float) -> float | None:
    """When the spring is first what pushes the brake."""
    if brake.spring_travel is None:
        return None
    travel, times = brake.spring_travel.values, brake.spring_travel.times
    pushes = (travel > MOVED) & (travel >= brake.stroke.values - CONTACT) & (brake.force.values > APPLIED)
    return _earliest(times, pushes, since, until)


def _applied(force: Channel, since: float, until: float) -> float | None:
    return _earliest(force.times, force.values > APPLIED, since, until)


def _earliest(times: np.ndarray, true: np.ndarray, since: float, until: float) -> float | None:
    found = np.flatnonzero(true & (times >= since) & (times < until))
    return float(times[found[0]]) if len(found) else None


def _air(run: Run, moments: Moments) -> Iterator[tuple[str, dict[str, float]]]:
    for component in reservoirs(run):
        pressure = run.channels[f"{component.name}.pressure"]
        pedal = before(pressure, _first(moments.pedal, run.span[1]))
        end, lowest = float(pressure.values[-1]), float(pressure.values.min())
        yield component.name, {"pedal": pedal, "end": end, "lowest": lowest}


def _warnings(run: Run) -> list[Any]:
    types = {name: component.type for name, component in run.circuit.components.items()}
    return [e for e in run.events if e.category == "warning" and types.get(e.component) in WARNERS]
