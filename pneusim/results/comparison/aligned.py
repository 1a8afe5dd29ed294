"""Two runs on one clock: the second is moved so that the first steps of both coincide."""

from __future__ import annotations

from dataclasses import replace

from pneusim.results.narrative import is_listed
from pneusim.results.run import Run


def first_step(run: Run) -> float | None:
    """When the scenario first does something [s], None if it never does."""
    steps = [event.time for event in run.events if event.category == "step" and is_listed(run, event)]
    return min(steps, default=None)


def offset(a: Run, b: Run) -> float:
    """By how much the second run is moved [s]; runs of which one has no step stay."""
    ours, theirs = first_step(a), first_step(b)
    return ours - theirs if ours is not None and theirs is not None else 0.0


def moved(run: Run, by: float) -> Run:
    """The run with all its times moved [s]."""
    if by == 0.0:
        return run
    channels = {name: replace(channel, times=channel.times + by) for name, channel in run.channels.items()}
    events = tuple(replace(event, time=event.time + by) for event in run.events)
    return replace(run, channels=channels, events=events)
