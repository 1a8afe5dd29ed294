"""The first events at which two runs part, in sentences."""

from __future__ import annotations

from collections.abc import Sequence

from pneusim.results.clauses import TOGETHER
from pneusim.results.comparison.events import LATE, LATE_SHARE, EventPair, partings
from pneusim.results.comparison.figures import latches_of
from pneusim.results.mechanics import KINDS
from pneusim.results.restate import restate
from pneusim.results.run import Event, Run
from pneusim.results.words import moment, places

MORE = 2
"""So many trips and warnings that part after the first event are told too."""

NEVER_PART = (
    f"They do not part: every event comes in both, within {1e3 * LATE:g} ms or {100 * LATE_SHARE:g} % of the time "
    "since the first step."
)


def parting(a: Run, b: Run, pairs: Sequence[EventPair], system: str = "si") -> tuple[str, ...]:
    """``They part at 1.23 s: in A ..., in B ...``, then the next trips and warnings in which they part.

    ``b`` is on the clock of ``a``.
    """
    found = list(partings(tuple(pairs)))
    if not found:
        return (NEVER_PART,)
    told = [found[0], *[pair for pair in found[1:] if pair.event.category in ("trip", "warning")][:MORE]]
    heads = [f"They part at {moment(found[0].time)}: ", *(f"At {moment(pair.time)}: " for pair in told[1:])]
    return tuple(head + restate(_clause(a, b, pair, found), system) + "." for head, pair in zip(heads, told))


def _clause(a: Run, b: Run, pair: EventPair, found: Sequence[EventPair]) -> str:
    names, other = ("A", "B"), pair.b
    here, there = a, b
    if pair.event is not pair.a:
        names, other, here, there = ("B", "A"), pair.a, b, a
    event = pair.event
    text = _text(here, event, [event.component, *_alike(pair, found)])
    if other is not None and other.time == event.time and other.text != event.text:
        return f"in A {text}, in B {_text(b, other, [other.component])}"
    return f"in {names[0]} {text}; in {names[1]} {_otherwise(there, event, other)}"


def _text(run: Run, event: Event, components: Sequence[str]) -> str:
    """The event in words, of all the brakes that it comes to at once."""
    kind = KINDS.get(event.kind)
    if kind is not None and len(components) > 1 and all(name in run.circuit.components for name in components):
        return f"the {kind.subject}s of {places(run, components)} {kind.many}"
    component = run.circuit.components.get(event.component)
    bare = component is not None and event.text.startswith(run.circuit.title_of(component))
    return f"the {event.text}" if bare else event.text


def _alike(pair: EventPair, found: Sequence[EventPair]) -> list[str]:
    """Other brakes to which the same comes within a moment, in the same run alone or in both as far apart."""
    if pair.event.category != "mechanics":
        return []
    return [
        one.event.component
        for one in found
        if one is not pair and one.event.kind == pair.event.kind and one.event.component != pair.event.component
        if (one.a is None, one.b is None) == (pair.a is None, pair.b is None)
        if abs(one.time - pair.time) <= TOGETHER
        if abs((one.difference or 0.0) - (pair.difference or 0.0)) <= TOGETHER
    ]


def _otherwise(run: Run, event: Event, other: Event | None) -> str:
    """What the other run did instead: ``it stayed in until 22.15 s``, ``not before 22.15 s``, ``never``."""
    stayed = _stayed(run, event)
    if other is not None:
        return f"it {stayed} until {moment(other.time)}" if stayed else f"not before {moment(other.time)}"
    return f"it {stayed} to the end" if stayed else f"not at all within {moment(run.span[1])}"


def _stayed(run: Run, event: Event) -> str:
    """``stayed in`` for a control that trips, in the word for its place; "" for anything else."""
    component = run.circuit.components.get(event.component)
    if event.category != "trip" or component is None:
        return ""
    for name, choices in latches_of(component.type).items():
        channel = run.channels.get(f"{component.name}.{name}")
        if channel is not None:
            now = channel(event.time)
            return "stayed " + min(choices, key=lambda word: abs(choices[word] - now))
    return ""
