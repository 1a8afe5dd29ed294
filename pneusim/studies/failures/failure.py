"""A failure: what breaks, in words, and what it does to a circuit and a scenario."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from pneusim.circuit.circuit import Circuit, Line
from pneusim.circuit.scenario import Scenario, Step
from pneusim.reading import apply_changes, begin_parameters
from pneusim.simulate.actions import LINE_WORDS

KINDS: Mapping[str, str] = {
    "broken_line": "a line breaks near its start, in the middle or near its end",
    "leaking_line": "a line leaks through a hole of 2 mm",
    "blocked_line": "a line is blocked or frozen",
    "valve": "a valve or another part sticks, leaks, is torn or clogged",
    "coupling": "a coupling separates, was left off or crossed, its cock is shut, its seal leaks",
    "vehicle": "a vehicle separates",
    "supply": "compressor, governor, air dryer or safety valve fail",
    "reservoir": "a reservoir is lost",
    "spring": "a spring is broken or caged",
    "diaphragm": "a diaphragm is torn",
    "adjustment": "a brake is out of adjustment, or an axle has unequal chambers",
    "instrument": "a warning switch, the stop lamp switch or a gauge is dead",
}
"""Kinds of failure, in the order in which they are enumerated and told."""


@dataclass(frozen=True)
class Failure:
    """One failure, or several at once.

    Attributes
    ----------
    id : str
        ``<target>.<what>``, unique in a circuit.
    kind : str
        One of `KINDS`.
    targets : tuple of str
        The component, line, couplings or vehicle concerned.
    words : str
        A clause: "the supply line breaks in the middle".
    steps : tuple of Step
        What happens, at its own time or at the failure's.
    moment : str
        The moment of the cycle in which it happens, if not that of all failures: ``held`` or ``parked``.
    begin : Mapping[str, Any]
        What is so before the vehicle sets out: inputs and parameters, as in a scenario's ``begin``.
    left_off : tuple of str
        Couplings that were not made.
    crossed : tuple of str
        Two couplings that were made crosswise.
    parted : tuple of str
        Vehicles that are away afterwards.
    """

    id: str
    kind: str
    targets: tuple[str, ...]
    words: str
    steps: tuple[Step, ...] = ()
    begin: Mapping[str, Any] = field(default_factory=dict)
    left_off: tuple[str, ...] = ()
    crossed: tuple[str, ...] = ()
    parted: tuple[str, ...] = ()
    moment: str = "fails"

    @property
    def from_start(self) -> bool:
        """Whether it is there before the vehicle sets out."""
        return bool(self.begin or self.left_off or self.crossed)


def line_words(circuit: Circuit, line: Line) -> str:
    """``the supply line``, ``the line spring1 l``."""
    title = circuit.title_of(line)
    return f"the {title}" if title.split()[-1] in LINE_WORDS else f"the line {title}"


def together(first: Failure, second: Failure) -> Failure:
    """Both failures at once."""
    return Failure(
        f"{first.id}+{second.id}", first.kind, first.targets + second.targets, f"{first.words}, and {second.words}",
        first.steps + second.steps, {**first.begin, **second.begin}, first.left_off + second.left_off,
        first.crossed + second.crossed, tuple(dict.fromkeys(first.parted + second.parted)),
    )  # fmt: skip


def failed(circuit: Circuit, scenario: Scenario, failure: Failure, at: float) -> tuple[Circuit, Scenario]:
    """The circuit and the scenario with a failure; what has no time of its own happens at a time [s]."""
    steps = tuple(replace(step, at=at if step.at is None else step.at) for step in failure.steps)
    parameters, inputs = _divided(circuit, failure.begin)
    changed = apply_changes(circuit, parameters)
    lines = {name: line for name, line in changed.lines.items() if name not in failure.left_off}
    lines |= _crossed(changed, failure.crossed)
    begun = {**scenario.begin, **inputs}
    return replace(changed, lines=lines), replace(scenario, begin=begun, steps=(*steps, *scenario.steps))


def _divided(circuit: Circuit, begin: Mapping[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """Parameters, and inputs."""
    parameters = begin_parameters(circuit, Scenario("", begin=begin))
    return parameters, {name: value for name, value in begin.items() if name not in parameters}


def _crossed(circuit: Circuit, names: tuple[str, ...]) -> dict[str, Line]:
    """Two couplings whose hoses were put on each other's heads: each keeps the end that its hose stays with."""
    if not names:
        return {}
    first, second = (circuit.lines[name] for name in names)
    if _kept_at_start(circuit, first):
        return {first.name: replace(first, end=second.end), second.name: replace(second, end=first.end)}
    return {first.name: replace(first, start=second.start), second.name: replace(second, start=first.start)}


def _kept_at_start(circuit: Circuit, line: Line) -> bool:
    return circuit.components[line.start.component].unit == (line.stays_with or "")
