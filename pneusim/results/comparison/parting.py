"""The first events at which two runs part, in sentences."""

from __future__ import annotations

from collections.abc import Sequence

from pneusim.results.clauses import TOGETHER
from pneusim.results.comparison.events import LATE, LATE_SHARE, EventPair, partings
from pneusim.results.comparison.figures import latches_of
from pneusim.results.mechanic import KINDS
from pneusim.results.restate import restate
from pneusim.results.run import Event, Run
from pneusim.results.words import moment, subject

ALIKE = 0.02
"""Brakes to which the same comes are told together if the runs are as far apart in all of them, to this [s]."""

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
    found = grouped(list(partings(pairs)))
    if not found:
        return (NEVER_PART,)
    told = [found[0], *[group for group in found[1:] if group[0].event.category in ("trip", "warning")][:MORE]]
    heads = [f"They part at {moment(found[0][0].time)}: ", *(f"At {moment(group[0].time)}: " for group in told[1:])]
    return tuple(head + restate(_clause(a, b, group), system) + "." for head, group in zip(heads, told))


def grouped(pairs: Sequence[EventPair]) -> list[list[EventPair]]:
    """Events with those that are the same to other brakes within a moment, in one run alone or in both as far apart."""
    groups: list[list[EventPair]] = []
    for pair in pairs:
        for group in groups:
            if _alike(group[0], pair):
                group.append(pair)
                break
        else:
            groups.append([pair])
    return groups


def _alike(one: EventPair, other: EventPair) -> bool:
    return (
        one.event.category == other.event.category == "mechanics"
        and one.event.kind == other.event.kind
        and one.event.component != other.event.component
        and (one.a is None, one.b is None, one.parted) == (other.a is None, other.b is None, other.parted)
        and abs(one.time - other.time) <= TOGETHER
        and abs((one.difference or 0.0) - (other.difference or 0.0)) <= ALIKE
    )


def in_words(run: Run, group: Sequence[EventPair]) -> str:
    """The event of a run, of all the brakes that it comes to at once."""
    event = group[0].event
    kind = KINDS.get(event.kind)
    components = [pair.event.component for pair in group]
    if kind is not None and event.category == "mechanics" and len(components) > 1:
        return f"{subject(run, kind.subject, components)} {kind.many}"
    return _with_article(run, event)


def _with_article(run: Run, event: Event) -> str:
    component = run.circuit.components.get(event.component)
    bare = component is not None and event.text.startswith(run.circuit.title_of(component))
    return f"the {event.text}" if bare else event.text


def _clause(a: Run, b: Run, group: Sequence[EventPair]) -> str:
    pair = group[0]
    names, here, there, other = ("A", "B"), a, b, pair.b
    if pair.event is not pair.a:
        names, here, there, other = ("B", "A"), b, a, pair.a
    text = in_words(here, group)
    if other is not None and other.time == pair.time and other.text != pair.event.text:
        return f"in {names[0]} {text}; in {names[1]} {_with_article(there, other)}"
    return f"in {names[0]} {text}; in {names[1]} {_otherwise(there, pair.event, other)}"


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
