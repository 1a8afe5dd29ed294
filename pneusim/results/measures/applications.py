"""The applications in a run: when a foot or hand valve was moved up from rest, and when back."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pneusim.results.run import Channel, Run

CONTROLS = ("foot_valve", "hand_valve")
INPUTS = ("travel", "demand")


@dataclass(frozen=True)
class Application:
    """One application of a control.

    Attributes
    ----------
    number : int
        Counts from 1 over all controls, in order of time.
    control, input : str
        The component, and the channel that was moved (``foot.travel``).
    start : float
        First movement away from rest [s].
    release : float or None
        First movement of the last way back [s]; None if it is still applied at the end of the run.
    holds : float
        Since when the control is not moved until the release, or the end of the run [s].
    end : float
        Where what follows belongs to the next application of the same control, or the end of the run [s].
    already : bool
        True if the control was applied when the run began: times since ``start`` mean nothing.
    """

    number: int
    control: str
    input: str
    start: float
    release: float | None
    holds: float
    end: float
    already: bool = False

    @property
    def name(self) -> str:
        """``application_1``, the middle part of the names of its measures."""
        return f"application_{self.number}"


def applications(run: Run) -> tuple[Application, ...]:
    """All applications of all controls, numbered in order of time."""
    found: list[Application] = []
    for component in run.circuit.components.values():
        if component.type in CONTROLS:
            for name in INPUTS:
                channel = run.channels.get(f"{component.name}.{name}")
                if channel is not None:
                    found += _of_channel(component.name, channel)
    found.sort(key=lambda application: (application.start, application.input))
    return tuple(replace(application, number=i) for i, application in enumerate(found, 1))


def _of_channel(control: str, channel: Channel) -> list[Application]:
    values, times = channel.values, channel.times
    rest = 1e-6 * float(np.abs(values).max(initial=0.0))
    applied = np.concatenate(([False], values > rest, [False]))
    edges = np.flatnonzero(np.diff(applied.astype(np.int8)))
    spans = [(int(first), int(last) - 1) for first, last in zip(edges[::2], edges[1::2])]
    starts = [float(times[max(first - 1, 0)]) for first, _ in spans]
    ends = [*starts[1:], float(times[-1])]
    releases = [_release(channel, first, last, rest) for first, last in spans]
    return [
        Application(0, control, channel.name, start, release, _holds(channel, start, release), end, already=first == 0)
        for (first, _), start, release, end in zip(spans, starts, releases, ends)
    ]


def _holds(channel: Channel, start: float, release: float | None) -> float:
    """Last moment from ``start`` to the release, or the end, at which the input was still moving."""
    values, times = channel.values, channel.times
    until = float(times[-1]) if release is None else release
    moving = np.flatnonzero((np.diff(values) != 0.0) & (times[1:] > start) & (times[1:] <= until))
    return float(times[int(moving[-1]) + 1]) if len(moving) else start


def _release(channel: Channel, first: int, last: int, rest: float) -> float | None:
    """Time at which the input leaves, downwards, the top of its last way down."""
    values = channel.values
    top = min(last + 1, len(values) - 1)
    lowest = float(values[top])
    rising = np.flatnonzero(np.diff(values[first : top + 1]) > 0.0)
    top = first + (int(rising[-1]) + 1 if len(rising) else 0)
    if values[top] <= lowest + rest:
        return None
    held = np.flatnonzero(values[top : last + 1] >= values[top] - rest)
    return float(channel.times[top + int(held[-1])])
