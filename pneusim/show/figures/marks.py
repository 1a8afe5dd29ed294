"""Events in a figure: thin numbered lines, and what each number means below the plot."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pneusim.results.narrative import is_listed
from pneusim.results.restate import restate
from pneusim.results.run import Event, Run

MOST = 14
"""So many marks are drawn; the rest is counted."""

ORDER = ("trip", "warning", "step", "mode")
"""Categories of event by what a reader needs first when there are too many."""


@dataclass(frozen=True)
class Mark:
    """A numbered moment [s] and what happened in it."""

    number: int
    time: float
    texts: tuple[str, ...]

    @property
    def text(self) -> str:
        """``2  5.31 s: the trailer supply control tripped``."""
        return f"{self.number}  {self.time:.2f} s: {'; '.join(self.texts)}"


def marks(run: Run, start: float, end: float, system: str) -> tuple[list[Mark], int]:
    """Marks between two times, and how many events were left out."""
    shown = [event for event in run.events if start <= event.time <= end and is_listed(run, event)]
    ranked = sorted(shown, key=lambda event: ORDER.index(event.category))
    kept = sorted(ranked[:MOST], key=lambda event: event.time)
    return list(_numbered(kept, system)), len(shown) - len(kept)


def _numbered(events: Sequence[Event], system: str) -> Iterable[Mark]:
    moments: dict[float, list[str]] = {}
    for event in events:
        moments.setdefault(event.time, []).append(restate(event.text, system))
    for number, (time, texts) in enumerate(moments.items(), 1):
        yield Mark(number, time, tuple(texts))


def legend(found: Sequence[Mark], left_out: int) -> list[str]:
    """The marks in words."""
    more = f"and {left_out} more event{'s' if left_out > 1 else ''}, see the list of events"
    return [*(mark.text for mark in found), *([more] if left_out else [])]


def merged(ours: Sequence[Mark], theirs: Sequence[Mark]) -> list[Mark]:
    """The marks of two runs in order of time, told apart as A and B; what both do at once is one mark."""
    texts: dict[tuple[float, tuple[str, ...]], str] = {}
    for run, found in (("A", ours), ("B", theirs)):
        for mark in found:
            key = (round(mark.time, 2), mark.texts)
            texts[key] = "A and B" if key in texts else run
    told = sorted(texts.items(), key=lambda pair: pair[0][0])
    return [Mark(k, time, (f"{run}: {'; '.join(words)}",)) for k, ((time, words), run) in enumerate(told, 1)]
