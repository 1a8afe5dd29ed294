"""Events of two runs aligned: the n-th of a kind at a component with the n-th of that kind there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pneusim.results.comparison.aligned import first_step
from pneusim.results.narrative import SILENT
from pneusim.results.run import Event, Run

LATE, LATE_SHARE = 10e-3, 0.01
"""The same event comes at another time if it does by more than 10 ms, and by more than this share of the time since the
first step [s, -]."""


@dataclass(frozen=True)
class EventPair:
    """An event of both runs, or of one; times are on the clock of A."""

    a: Event | None
    b: Event | None
    parted: bool
    """Whether the runs part in it: only one has it, it comes at another time, or another step is done."""

    @property
    def event(self) -> Event:
        """The earlier one, or the only one."""
        found = [event for event in (self.a, self.b) if event is not None]
        return min(found, key=lambda event: event.time)

    @property
    def time(self) -> float:
        """When it first happens [s]."""
        return self.event.time

    @property
    def difference(self) -> float | None:
        """How much later B has it [s]; None if only one has it."""
        return None if self.a is None or self.b is None else self.b.time - self.a.time


def event_pairs(a: Run, b: Run) -> tuple[EventPair, ...]:
    """All events in order of the time at which they first happen; ``b`` is on the clock of ``a`` already.

    What settling brought about at the start and what nobody is told is left out.  An event that comes after the end of
    the other run parts nothing.
    """
    ours, theirs = _numbered(a), _numbered(b)
    step = first_step(a)
    since = a.span[0] if step is None else step
    pairs = []
    for key in dict.fromkeys([*ours, *theirs]):
        first, second = ours.get(key), theirs.get(key)
        pairs.append(EventPair(first, second, _parted(first, second, since, (a.span[1], b.span[1]))))
    return tuple(sorted(pairs, key=lambda pair: pair.time))


def _numbered(run: Run) -> dict[tuple[str, str, str, int], Event]:
    counts: dict[tuple[str, str, str], int] = {}
    found = {}
    for event in run.events:
        if event.kind in SILENT or run.settled(event):
            continue
        key = (event.category, event.kind, event.component)
        counts[key] = counts.get(key, 0) + 1
        found[*key, counts[key]] = event
    return found


def _parted(a: Event | None, b: Event | None, since: float, ends: tuple[float, float]) -> bool:
    if a is None or b is None:
        only = a or b
        return only is not None and only.time <= min(ends)
    late = max(LATE, LATE_SHARE * (min(a.time, b.time) - since))
    return abs(b.time - a.time) > late or (a.category == "step" and a.text != b.text)


def partings(pairs: Sequence[EventPair]) -> Iterator[EventPair]:
    """The events in which the runs part, in order of time."""
    return (pair for pair in pairs if pair.parted)
