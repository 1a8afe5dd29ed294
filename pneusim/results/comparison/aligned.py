"""Two runs on one clock: the second is moved so that the first step of both coincides."""

from __future__ import annotations

from dataclasses import replace

from pneusim.results.narrative import is_listed
from pneusim.results.run import Run


def first_step(run: Run) -> float | None:
    """When the scenario first does something [s], None if it never does."""
    return min(_steps(run).values(), default=None)


def offset(a: Run, b: Run) -> float | None:
    """By how much the second run is moved [s]: so that the first step that both take falls on one time.

    Where they have no step in common their first steps do; None if one of them never does anything.
    """
    ours, theirs = _steps(a), _steps(b)
    if not ours or not theirs:
        return None
    common = [(time, theirs[step]) for step, time in ours.items() if step in theirs]
    first, second = min(common, default=(min(ours.values()), min(theirs.values())))
    return first - second


def moved(run: Run, by: float) -> Run:
    """The run with all its times moved [s]."""
    if by == 0.0:
        return run
    channels = {name: replace(channel, times=channel.times + by) for name, channel in run.channels.items()}
    events = tuple(replace(event, time=event.time + by) for event in run.events)
    return replace(run, channels=channels, events=events)


def _steps(run: Run) -> dict[tuple[str, str, str], float]:
    """What the scenario does, and when it first does it [s]."""
    found: dict[tuple[str, str, str], float] = {}
    for event in run.events:
        if event.category == "step" and is_listed(run, event):
            key = (event.kind, event.component, event.text)
            found[key] = min(found.get(key, event.time), event.time)
    return found
