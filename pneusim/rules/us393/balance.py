"""US Army TM 5-3820-256-24-4, p. 115 and 116: pressure balance between axles, lead and lag of the trailer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations

import numpy as np

from pneusim.circuit.circuit import Component
from pneusim.circuit.scenario import Step
from pneusim.quantities import express
from pneusim.results.measures.crossing import window
from pneusim.results.run import Channel, Run
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, NotAddressed, NotJudged, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED, Subject
from pneusim.rules.us393.service import driven, full_pressure, level, pedal, ready

TRAVELS = (0.1, 0.2, 0.3, 0.4, 0.5, 0.6)
"""Pedal travels at which pressures are compared: the figure with the steps was not seen."""

FIRST, STEP, OVER = 0.5, 8.0, 1.0
"""When the pedal begins to move, how long a step lasts and how long the foot takes for it [s]."""

MODERATE, HELD = 1.0, 6.0
"""How long a moderate application takes, and how long it is held [s]: our assumption, the text has no figure."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Average difference between the rearmost axles of the vehicles through the range, then lead or lag."""
    axles, span = _stairs(bench), (-FIRST, STEP * len(TRAVELS))
    picture = bench.show(Picture("balance", "Pressure balance, TM p. 115", tuple(axles.values()), FIRST, span))
    ends = [FIRST + STEP * k for k in range(1, len(TRAVELS) + 1)]
    between, apart = _most(_rearmost(axles).values(), ends)
    others, most = _most(axles.values(), ends)
    remark = (
        f"pedal at {TRAVELS[0]:.0%} to {TRAVELS[-1]:.0%}: our steps; of all axles {others} differ most, by "
        f"{exactly(most)}, which the text does not compare"
    )
    yield held_against(bench.limits["balance.steady"], apart, between, remark, picture)
    yield from _lead(bench, axles, ends)


def _lead(bench: Bench, stairs: dict[tuple[str, int], Channel], ends: list[float]) -> Iterator[Finding]:
    """Largest difference between the rearmost axles of the vehicles before the pressures are equal."""
    subject, pressure = bench.subject, full_pressure(bench.subject)[0]
    travel = _travel(bench, _rearmost(stairs)[driven(subject).name], ends)
    press = Step("set", at=FIRST, target=pedal(subject), to=travel, over=MODERATE)
    run = bench.run("Moderate application", (press,), FIRST + HELD, ready(bench, pressure))
    rear = _rearmost(_axles(subject, run))
    first = rear.pop(driven(subject).name)
    limit = bench.limits["balance.single" if len(rear) == 1 else "balance.multiple"]
    title = f"Lead and lag, moderate application, {limit.clause.rpartition(', ')[2]}"
    allowed = level(first, limit.value, f"{exactly(limit.value)}: so much they may be apart")
    curves = (first, *rear.values(), allowed)
    picture = bench.show(Picture("lead_and_lag", title, curves, FIRST, (-0.2, HELD - FIRST)))
    for axle in rear.values():
        times, values = window(axle, FIRST, FIRST + HELD)
        lead = values - np.interp(times, first.times, first.values)
        k = int(np.abs(lead).argmax())
        remark = (
            f"it {'leads' if lead[k] > 0.0 else 'lags'} {times[k] - FIRST:.2f} s after the foot moved; the application "
            f"takes {express(MODERATE, 'time')}: our assumption for a moderate one"
        )
        yield held_against(limit, float(abs(lead[k])), f"{axle.label} against {first.label}", remark, picture)


def _stairs(bench: Bench) -> dict[tuple[str, int], Channel]:
    """The pedal goes down in steps, never up; pressures by vehicle and axle."""
    subject = bench.subject
    units = {brake.unit for brake in subject.brakes if brake.axle is not None}
    if driven(subject).name not in units or len(units) < 2:
        raise NotAddressed("it compares a towing vehicle and what it tows, and the axles of both have to have brakes")
    foot = pedal(subject)
    steps = tuple(Step("set", at=FIRST + STEP * k, target=foot, to=to, over=OVER) for k, to in enumerate(TRAVELS))
    run = bench.run("Pressure balance", steps, FIRST + STEP * len(TRAVELS), ready(bench, full_pressure(subject)[0]))
    return _axles(subject, run)


def _axles(subject: Subject, run: Run) -> dict[tuple[str, int], Channel]:
    """Mean service pressure of every axle, by vehicle and number."""
    brakes: dict[tuple[str, int], list[Component]] = {}
    for brake in subject.brakes:
        if brake.axle is not None:
            brakes.setdefault((brake.unit, brake.axle), []).append(brake)
    return {(unit, axle): _mean(run, f"{unit} axle {axle}".strip(), found) for (unit, axle), found in brakes.items()}


def _rearmost(axles: dict[tuple[str, int], Channel]) -> dict[str, Channel]:
    """The rearmost axle with brakes of every vehicle."""
    units = dict.fromkeys(unit for unit, _ in axles)
    return {unit: axles[max(key for key in axles if key[0] == unit)] for unit in units}


def _mean(run: Run, label: str, brakes: list[Component]) -> Channel:
    first, *others = (run[f"{brake.name}.service_pressure"] for brake in brakes)
    values = [first.values, *(np.interp(first.times, other.times, other.values) for other in others)]
    return named(replace(first, values=np.mean(values, axis=0)), label)


def _most(axles: Iterable[Channel], times: list[float]) -> tuple[str, float]:
    """The two axles that differ most on average at the ends of the steps, and by how much [Pa]."""
    apart = {
        f"{a.label} and {b.label}": abs(float(np.mean([a(time) - b(time) for time in times])))
        for a, b in combinations(axles, 2)
    }
    worst = max(apart, key=lambda pair: apart[pair])
    return worst, apart[worst]


def _travel(bench: Bench, axle: Channel, ends: list[float]) -> float:
    """The pedal travel that brings an axle to the pressure of a moderate application: the steps, interpolated."""
    moderate, reached = bench.value("balance.pressure"), [0.0, *map(axle, ends)]
    if not reached[-1] >= moderate:
        raise NotJudged(f"{axle.label} comes to {exactly(reached[-1])} with the pedal at {TRAVELS[-1]:.0%}")
    return float(np.interp(moderate, reached, [0.0, *TRAVELS]))


PROCEDURE = Procedure("balance", "Pressure balance, lead and lag", "US Army TM 5-3820-256-24-4, p. 115", judge,
                      POWERED, 120)  # fmt: skip
