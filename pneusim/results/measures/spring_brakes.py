"""Spring brakes: when the spring moves, when it touches, when it has its force, and the same on the way back.

Forces of an application are those of the spring alone, without service air.  Times are those of the scenario.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pneusim.quantities import express
from pneusim.results.measures.asymptote import PRESSURE_DRIFT, drift
from pneusim.results.measures.brakes import Brake, brakes
from pneusim.results.measures.crossing import before, first_crossing, window
from pneusim.results.measures.turns import Turn, turns
from pneusim.results.run import Channel, MeasureResult, Run

TOUCHES = 1.0
"""Pushrod force at which a spring counts as touching [N]."""

FULL, GONE = 0.90, 0.10
"""Shares of the force that is built up, or given up."""

SERVES = 50e3
"""Service pressure that adds to the force of the springs [Pa gauge]."""

STILL = 1e3
"""It begins to come in where it leaves its lowest by this [Pa]."""

VENTED = 50e3
"""Hold-off pressure below which a spring counts as fully applied [Pa gauge]."""


def measure(run: Run) -> list[MeasureResult]:
    """All turns of all spring brakes."""
    return [
        result
        for brake in brakes(run)
        for turn in turns(brake)
        for result in (_applies(brake, turn) if turn.direction > 0 else _releases(brake, turn))
    ]


def _applies(brake: Brake, turn: Turn) -> list[MeasureResult]:
    prefix = f"{brake.name}.{turn.name}"
    begins = MeasureResult(f"{prefix}.begins", turn.begins, "time")
    alone, final = _alone(brake, turn), MeasureResult(f"{prefix}.final_force", None, "force")
    already = brake.force(alone.rests)
    words = f"the pushrod force was already {express(already, 'force', 'si')} when the spring began to move"
    if alone.rests > turn.rests:
        words = f"the pushrod force was {express(already, 'force', 'si')} when the service air was gone"
    touches = _crossing(f"{prefix}.touches", brake, TOUCHES, alone)
    full = MeasureResult(f"{prefix}.force_90", None, "time", alone.why_no_force)
    if already > TOUCHES:
        touches = MeasureResult(touches.name, None, "time", words)
    if alone.why_no_force:
        return [begins, touches, full, replace(final, reason=alone.why_no_force)]
    force = before(brake.force, alone.ends)
    full = _crossing(full.name, brake, max(FULL * force, TOUCHES), alone)
    if already >= FULL * force > TOUCHES:
        full = MeasureResult(full.name, None, "time", words)
    return [begins, touches, full, replace(final, value=force, reason=alone.remark)]


@dataclass(frozen=True)
class _Alone:
    """The part of a turn in which the spring pushes without service air, from ``rests`` to ``ends`` [s].

    ``why_no_force`` says why the spring never had a force of its own, ``remark`` by what the part ended.
    """

    direction: int
    rests: float
    ends: float
    why_no_force: str = ""
    remark: str = ""


def _alone(brake: Brake, turn: Turn) -> _Alone:
    service, start = brake.pressure, turn.rests
    if service(start) > SERVES:
        gone = first_crossing(service, SERVES, -1, start, turn.ends)
        if gone is None:
            left = express(before(service, turn.ends), "pressure", "si")
            reason = f"service air pushes as well: {left} at {turn.ends:.2f} s"
            return _Alone(turn.direction, start, turn.ends, reason)
        start = gone
    comes = first_crossing(service, SERVES, +1, start, turn.ends)
    if comes is None:
        return _Alone(turn.direction, start, turn.ends)
    ends = _still(service, start, comes)
    if not _has_its_force(brake, start, ends):
        reason = f"service air came in at {ends:.2f} s, before the spring had its force"
        return _Alone(turn.direction, start, ends, reason)
    return _Alone(turn.direction, start, ends, remark=f"until service air came in at {ends:.2f} s")


def _still(service: Channel, start: float, comes: float) -> float:
    """Last moment before service air comes in [s]."""
    times, values = window(service, start, comes)
    return float(times[np.flatnonzero(values <= max(values.min(), 0.0) + STILL)[-1]])


def _has_its_force(brake: Brake, start: float, time: float) -> bool:
    """Whether the spring is fully applied, or as far as a hold-off pressure lets it that does not change."""
    if brake.spring_pressure is None:
        return True
    held, change = drift(brake.spring_pressure, start, time)
    return held < VENTED or change <= PRESSURE_DRIFT


def _releases(brake: Brake, turn: Turn) -> list[MeasureResult]:
    prefix = f"{brake.name}.{turn.name}"
    held = brake.force(turn.rests)
    results = [MeasureResult(f"{prefix}.begins", turn.begins, "time")]
    if held <= TOUCHES:
        reason = "the spring held no force when it began to move back"
        return results + [MeasureResult(f"{prefix}.{name}", None, "time", reason) for name in ("force_10", "lets_go")]
    return [
        *results,
        _crossing(f"{prefix}.force_10", brake, max(GONE * held, TOUCHES), turn),
        _crossing(f"{prefix}.lets_go", brake, TOUCHES, turn),
    ]


def _crossing(name: str, brake: Brake, level: float, part: Turn | _Alone) -> MeasureResult:
    time = first_crossing(brake.force, level, part.direction, part.rests, part.ends)
    if time is not None:
        return MeasureResult(name, time, "time")
    left = express(before(brake.force, part.ends), "force", "si")
    return MeasureResult(name, None, "time", f"the pushrod force is {left} at {part.ends:g} s")
