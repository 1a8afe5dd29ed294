"""The hybrid loop: known times end segments, state events are located, modes change between segments only.

Rules: a level that already holds when a segment starts fires at once; events at one instant all fire; modes are
re-evaluated until none changes; the limits from both sides of every instant are kept.
"""

from __future__ import annotations

import heapq
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from pneusim.engine.assembly import EventSpec
from pneusim.engine.machine import Machine
from pneusim.engine.tape import Floats
from pneusim.errors import RunFailed

INSTANT = 1e-12  # two times closer than this are one [s, relative beyond 1 s]
HOLDS = 1e-9  # a level holds if missed by less than this share of itself
CHATTER_COUNT = 200
CHATTER_TIME = 1e-3
FIRST_STEP = 1e-5


@dataclass(frozen=True)
class Steps:
    """Accepted steps of one advance: step k runs from ``times[k]`` to ``times[k + 1]``.

    ``states`` has shape (k + 1, n), ``vectors`` (k, 3, n): the dense output of the method.  ``failure`` says why the
    method could go no further, "" if it could.
    """

    times: Floats
    states: Floats
    vectors: Floats
    failure: str = ""


class Method(Protocol):
    """An integration method that the loop can drive."""

    def restart(self) -> None:
        """Forget the step control's memory."""

    def advance(
        self, machine: Machine, t_end: float, events: Sequence[tuple[int, float, float]]
    ) -> tuple[bool, Steps]:
        """Advance the machine's state and time towards ``t_end``; stop at the first event or with a full record.

        Returns whether an event stopped it, and the steps.
        """


class Watch(Protocol):
    """What looks at the state at times of its own and gives commands a while later: a sampled controller.

    It says how far the loop may go without looking again, and after each advance when its first command is due.  If
    that lies behind, the advance is done again only so far: the watch then forgets what it saw meanwhile.
    """

    def horizon(self, time: float) -> float:
        """Time to which an advance from ``time`` may go."""

    def remember(self) -> None:
        """Keep what is known now, to return to it."""

    def look(self, steps: Steps) -> float:
        """Read the samples within some steps; returns when the first command of them is due, inf if there is none."""

    def forget(self) -> None:
        """Return to what was known at the latest `remember`."""

    def command(self, at: Callable[[float, Callable[[], None]], None]) -> None:
        """Enter the commands that the latest look gave by ``at(time, action)``."""


@dataclass(order=True)
class _Timed:
    time: float
    number: int
    action: Callable[[], None] = field(compare=False)


class Loop:
    """Runs a machine through timed actions and events.

    Parameters
    ----------
    machine : Machine
    method : Method
    sink : callable
        Takes the steps of every advance, before the machine's numbers are patched again.
    happened : callable
        Told of every event that fired: ``happened(event)`` at ``machine.time``.
    progress : callable or None
        Told the time reached.
    watch : Watch or None
        Looks at samples and gives commands.
    """

    def __init__(
        self,
        machine: Machine,
        method: Method,
        sink: Callable[[Steps], None],
        happened: Callable[[EventSpec], None],
        progress: Callable[[float], None] | None = None,
        watch: Watch | None = None,
    ) -> None:
        self.machine, self.method, self.sink, self.happened = machine, method, sink, happened
        self.progress, self.watch = progress, watch
        self.watched: list[EventSpec] = list(machine.events)
        self.once: dict[int, Callable[[], None]] = {}  # scenario triggers: id of the event, its action
        self.segments = 0
        self._timed: list[_Timed] = []
        self._count = 0
        self._recent: dict[tuple[str, str], deque[float]] = {}

    def at(self, time: float, action: Callable[[], None]) -> None:
        """Do something at a known time."""
        heapq.heappush(self._timed, _Timed(time, self._count, action))
        self._count += 1

    def when(self, event: EventSpec, action: Callable[[], None]) -> None:
        """Do something when an event fires, once."""
        self.watched.append(event)
        self.once[id(event)] = action

    def run(self, t_end: float, fresh: bool = True) -> None:
        """Run to ``t_end``; actions due at that very time are done too.

        Not ``fresh``, it goes on with the step of the run before, which nothing but events may have disturbed.
        """
        machine = self.machine
        while True:
            fresh = self._act() or fresh
            if machine.time >= t_end - _near(t_end):
                return
            self.segments += 1
            if fresh:
                self.method.restart()
            self._segment(min(t_end, self._timed[0].time) if self._timed else t_end)

    def _segment(self, t_next: float) -> None:
        """Advance to the next known time or the first event."""
        machine = self.machine
        while machine.time < t_next - _near(t_next):
            levels = [(machine.place(e.value), e.level, e.sign) for e in self._armed()]
            stopped, steps = self._advance(t_next, levels)
            self.sink(steps)
            if steps.failure:
                raise RunFailed(steps.failure)
            if self.progress:
                self.progress(machine.time)
            if stopped:
                return
            if self.watch and self._timed:
                t_next = min(t_next, self._timed[0].time)
        machine.time = t_next

    def _advance(self, t_next: float, levels: Sequence[tuple[int, float, float]]) -> tuple[bool, Steps]:
        """Advance as far as the watch allows, and again less far if it commands something on the way."""
        machine, watch = self.machine, self.watch
        if watch is None:
            return self.method.advance(machine, t_next, levels)
        until = min(t_next, watch.horizon(machine.time))
        begin, state = machine.time, machine.state.copy()
        watch.remember()
        while True:
            stopped, steps = self.method.advance(machine, until, levels)
            due = watch.look(steps)
            if due >= machine.time - _near(machine.time):
                watch.command(self.at)
                return stopped, steps
            until = due
            machine.time, machine.state[:] = begin, state
            watch.forget()

    def _act(self) -> bool:
        """Do what is due and fire what holds, until nothing changes; returns whether anything did."""
        acted, changed = False, True
        while changed:
            changed = False
            while self._timed and self._timed[0].time <= self.machine.time + _near(self.machine.time):
                heapq.heappop(self._timed).action()
                changed = True
            values = self.machine.observe()
            for event in self._armed():
                gap = event.sign * (values[self.machine.place(event.value)] - event.level)
                if gap >= -HOLDS * max(abs(event.level), 1.0):
                    self._fire(event)
                    changed = True
                    break
            acted = acted or changed
        return acted

    def _armed(self) -> list[EventSpec]:
        machine = self.machine
        return [e for e in self.watched if all(machine.setting(m) == x for m, x in e.armed.items())]

    def _fire(self, event: EventSpec) -> None:
        self._guard_against_chatter(event)
        for mode, number in event.sets.items():
            self.machine.set(mode, number)
        self.happened(event)
        if id(event) in self.once:
            self.watched.remove(event)
            self.once.pop(id(event))()
        elif not any(self.machine.setting(m) != x for m, x in event.armed.items()):
            self.watched.remove(event)  # nothing disarms it: it tells one thing, once

    def _guard_against_chatter(self, event: EventSpec) -> None:
        recent = self._recent.setdefault(event.key, deque(maxlen=CHATTER_COUNT))
        recent.append(self.machine.time)
        if len(recent) == CHATTER_COUNT and recent[-1] - recent[0] < CHATTER_TIME:
            name, kind = event.key
            raise RunFailed(
                f"{name} switched ({kind}) {CHATTER_COUNT} times in 1 ms at {self.machine.time:.6g} s: the circuit "
                f"makes it hunt. Give its levels more hysteresis or look at what it senses."
            )


def _near(time: float) -> float:
    return INSTANT * max(1.0, abs(time))

