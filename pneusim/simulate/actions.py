"""What a scenario's steps do to a machine."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

from pneusim.circuit.scenario import Step
from pneusim.engine.assembly import EventSpec
from pneusim.engine.lines import block_line, break_line, mend_line
from pneusim.engine.machine import Machine
from pneusim.engine.segments import Loop
from pneusim.errors import UsageError
from pneusim.parts.base import FaultSpec, InputSpec
from pneusim.quantities import express
from pneusim.results.run import Event
from pneusim.simulate.compiled import Compiled

LINE_WORDS = ("line", "pipe", "hose", "tube", "feed")  # a title that says by itself that it is a line
WORDS = ("ask", "note")  # actions that do nothing to the machine


@dataclass
class Player:
    """Plays a scenario's steps on a machine; tells what happened."""

    compiled: Compiled
    machine: Machine
    loop: Loop
    tell: Callable[[Event], None]
    _moves: dict[str, int] = field(default_factory=dict)  # inputs and couplings: how often they have been moved
    _partner: dict[str, str] = field(default_factory=dict)  # couplings that are crossed, each with the other
    _parted: set[str] = field(default_factory=set)  # couplings that have been separated

    def schedule(self) -> None:
        """Enter all steps in the loop."""
        for step in self.compiled.scenario.steps:
            self._enter(step)

    def _enter(self, step: Step) -> None:
        if step.action in WORDS and step.at is not None:  # no time of the loop, so that words change no step of it
            self.tell(Event(step.at, step.action, "", step.text, "step"))
            return
        if step.when is None:
            self.loop.at(step.at or 0.0, lambda: self.do(step))
            return
        channel = self.compiled.channels.get(step.when.channel)
        if channel is None:
            raise UsageError(f"step {step.action!r}: when: there is no channel {step.when.channel!r}")
        event = EventSpec((step.when.channel, "when"), channel.value, step.when.level, step.when.direction)
        self.loop.when(event, lambda: self.do(step))

    def do(self, step: Step) -> None:
        """Do one step now."""
        getattr(self, f"_{step.action}")(step)

    def _say(self, step: Step, component: str, text: str) -> None:
        self.tell(Event(self.machine.time, step.action, component, text, "step"))

    # ---- inputs and faults

    def _set(self, step: Step) -> None:
        component, name = step.target.rsplit(".", 1)
        part = self.compiled.parts[component]
        spec = next(spec for spec in part.inputs if spec.name == name)
        self._say(step, component, _set_words(spec, step, self._title(component)))
        if spec.latched:
            self.machine.set(self.compiled.modes[step.target], step.to)
            return
        value = self.compiled.inputs[step.target]
        move = self._move(step.target)
        if step.over <= 0.0:
            self.machine.move(value, step.to)
            return
        now = self.machine.input(value)
        self.machine.move(value, now, (step.to - now) / step.over)
        self.loop.at(self.machine.time + step.over, lambda: self._arrive(step, value, move))

    def _move(self, name: str) -> int:
        """Count a move, so that what an earlier one still had to do is left undone."""
        self._moves[name] = self._moves.get(name, 0) + 1
        return self._moves[name]

    def _arrive(self, step: Step, value: int, move: int) -> None:
        if self._moves[step.target] == move:  # no later step has taken the input over
            self.machine.move(value, step.to)

    def _fault(self, step: Step) -> None:
        component, name = step.target.rsplit(".", 1)
        spec = next(spec for spec in self.compiled.parts[component].faults if spec.name == name)
        self._say(step, component, _fault_words(spec, step, self._title(component)))
        self.machine.set(self.compiled.faults[step.target], step.to)

    # ---- lines

    def _break(self, step: Step) -> None:
        self._say(step, step.target, f"{self._line_title(step.target)} breaks")
        break_line(self.machine, self.compiled.assembly, self.compiled.lines[step.target])

    def _block(self, step: Step) -> None:
        self._say(step, step.target, f"{self._line_title(step.target)} is blocked")
        block_line(self.machine, self.compiled.lines[step.target])

    def _leak(self, step: Step) -> None:
        self._say(step, step.target, f"{self._where(step.target)} leaks through a hole of {express(step.to, 'length')}")
        self.machine.set(self.compiled.leaks[step.target], step.to)

    def _mend(self, step: Step) -> None:
        target, compiled = step.target, self.compiled
        if target in compiled.faults:
            component = target.rsplit(".", 1)[0]
            self._say(step, component, f"{self._title(component)} is mended")
            self.machine.set(compiled.faults[target], 0.0)
            return
        if target in compiled.couplings:
            self._close(target)
        if target in compiled.leaks:
            self.machine.set(compiled.leaks[target], 0.0)
        if target in compiled.lines:
            mend_line(self.machine, compiled.lines[target])
        self._say(step, target, f"{self._where(target)} is mended")

    # ---- couplings

    def _separate(self, step: Step) -> None:
        names = " and ".join(self._line_title(name) for name in step.targets)
        self._say(step, step.targets[0], f"{names} part")
        self._parted |= set(step.targets)
        self._unhitch()
        for k, name in enumerate(step.targets):
            self.loop.at(self.machine.time + k * step.over, partial(self._part, name, self._move(name)))

    def _unhitch(self) -> None:
        """Vehicles whose last coupling parts come away from each other, before the lines tear; for good."""
        for unit, hitched in self.compiled.hitches.items():
            joining = self.compiled.couplings_of(unit)
            if joining and joining <= self._parted:
                self.machine.set(hitched, 0.0)

    def _part(self, name: str, move: int) -> None:
        if self._moves[name] == move:  # it has not been coupled again meanwhile
            self._uncross(name)
            self._join(name, joined=0.0, opened=1.0)

    def _couple(self, step: Step) -> None:
        self._say(step, step.targets[0], " and ".join(map(self._line_title, step.targets)) + " are coupled")
        self._parted -= set(step.targets)
        for name in step.targets:
            self._close(name)

    def _close(self, name: str) -> None:
        self._move(name)
        self._uncross(name)
        self._join(name, joined=1.0, opened=0.0)

    def _cross(self, step: Step) -> None:
        self._say(step, step.targets[0], " and ".join(map(self._line_title, step.targets)) + " are coupled crosswise")
        first, second = step.targets
        for name, other in ((first, second), (second, first)):
            self._move(name)
            self._uncross(name)
            self._join(name, joined=0.0, opened=0.0)
            self._partner[name] = other
        self.machine.set(self.compiled.crossings[frozenset(step.targets)], 1.0)

    def _uncross(self, name: str) -> None:
        """Undo a crossing that a coupling is part of; the other one hangs open until something is done with it."""
        other = self._partner.pop(name, None)
        if other is not None:
            self._partner.pop(other, None)
            self.machine.set(self.compiled.crossings[frozenset((name, other))], 0.0)
            self._join(other, joined=0.0, opened=1.0)

    def _join(self, name: str, joined: float, opened: float) -> None:
        joining = self.compiled.couplings[name]
        self.machine.set(joining.joined, joined)
        self.machine.set(joining.hose_open, opened)
        self.machine.set(joining.head_open, opened)

    # ---- words

    def _ask(self, step: Step) -> None:
        self._say(step, "", step.text)

    def _note(self, step: Step) -> None:
        self._say(step, "", step.text)

    def _title(self, component: str) -> str:
        return self.compiled.circuit.title_of(self.compiled.circuit.components[component])

    def _where(self, target: str) -> str:
        if target in self.compiled.lines:
            return self._line_title(target)
        component, number = target.rsplit(".", 1)
        return f"{self._title(component)}, port {number},"

    def _line_title(self, name: str) -> str:
        title = self.compiled.circuit.title_of(self.compiled.circuit.lines[name])
        return f"the {title}" if title.split()[-1] in LINE_WORDS else f"the line {title}"


def _set_words(spec: InputSpec, step: Step, title: str) -> str:
    words = {value: word for word, value in (spec.choices or {}).items()}
    to = words.get(step.to) or express(step.to, spec.dimension)
    over = f" over {express(step.over, 'time')}" if step.over > 0.0 and not spec.latched else ""
    return f"{title}: {spec.words} goes to {to}{over}"


def _fault_words(spec: FaultSpec, step: Step, title: str) -> str:
    value = "" if spec.dimension == "flag" else f" ({express(step.to, spec.dimension)})"
    ends = " no longer" if step.to == 0.0 else ""
    return f"{title}: {spec.words}{value}{ends}"

