"""What the brakes did, from the channels: brakes that apply and come off, springs that move and hold; then the road."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from pneusim.results.measures.application import NO_PRESSURE
from pneusim.results.measures.applications import applications
from pneusim.results.measures.brakes import Brake, brakes
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.measures.spring_brakes import TOUCHES
from pneusim.results.measures.turns import turns
from pneusim.results.mechanic import Mechanic
from pneusim.results.road.happened import happened
from pneusim.results.run import MeasureResult, Run

APPLIED = 50.0
"""Pushrod force above which a brake counts as applied; it began where it last rose through TOUCHES [N]."""

SAME = 1e-3
"""A pushrod that begins to push within this time of its spring's touching is pushed by the spring [s]."""


def mechanics(run: Run, measures: tuple[MeasureResult, ...]) -> list[Mechanic]:
    """All mechanical events in order of time."""
    known = {result.name: result.value for result in measures}
    found = [m for brake in brakes(run) for m in (*_springs(brake, known), *_pressures(run, brake, known))]
    springs = [m for m in found if m.kind in ("spring_touches", "spring_lets_go")]
    for brake in brakes(run):
        own = [m.time for m in springs if m.owner == brake.name]
        found += [m for m in _services(brake) if not any(abs(m.time - time) < SAME for time in own)]
    return sorted([*found, *happened(run, known)], key=lambda m: m.time)


def _springs(brake: Brake, known: Mapping[str, float | None]) -> Iterator[Mechanic]:
    for turn in turns(brake):
        names = _TURN[turn.direction]
        final = known.get(f"{brake.name}.{turn.name}.final_force")
        for measure, kind in names.items():
            time = known.get(f"{brake.name}.{turn.name}.{measure}")
            if time is not None:
                told = final if kind == "spring_force_90" else None
                yield Mechanic(time, kind, brake.name, told, "force")


_TURN = {
    +1: {"begins": "spring_begins", "touches": "spring_touches", "force_90": "spring_force_90"},
    -1: {"begins": "spring_returns", "lets_go": "spring_lets_go"},
}


def _pressures(run: Run, brake: Brake, known: Mapping[str, float | None]) -> Iterator[Mechanic]:
    for application in applications(run):
        prefix = f"{brake.name}.{application.name}"
        serves_all = run.circuit.components[application.control].type == "foot_valve"
        highest = known.get(f"{prefix}.highest_pressure")
        if serves_all and highest is not None and highest < NO_PRESSURE:
            yield Mechanic(application.start, "no_air", brake.name)
        after = known.get(f"{prefix}.time_to_75")
        if after is not None:
            held = known.get(f"{prefix}.asymptotic_pressure")
            yield Mechanic(application.start + after, "pressure_75", brake.name, held, "pressure")


def _services(brake: Brake) -> Iterator[Mechanic]:
    """Every time the pushrod begins to push, and every time it is free again."""
    force, times = brake.force.values, brake.force.times
    state = np.where(force > APPLIED, 1, np.where(force <= TOUCHES, -1, 0))
    told = np.flatnonzero(state)
    switches = told[1:][np.diff(state[told]) != 0]
    for i in switches:
        rising = bool(state[i] > 0)
        free = int(np.flatnonzero(force[:i] <= TOUCHES)[-1]) if rising else i - 1  # the last rest counts, not a bounce
        time = first_crossing(brake.force, TOUCHES, +1 if rising else -1, float(times[free]), float(times[i]))
        kind = "brake_applies" if rising else "brake_releases"
        yield Mechanic(float(times[i]) if time is None else time, kind, brake.name)
