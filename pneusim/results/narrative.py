"""What happened, in sentences: each cause with its time, then what brakes and vehicles did because of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pneusim.results.clauses import FOLLOWS, Clause, clauses_of, single
from pneusim.results.mechanics import mechanics
from pneusim.results.outcome import outcome
from pneusim.results.restate import restate
from pneusim.results.road.ending import ending
from pneusim.results.run import Event, Run
from pneusim.results.words import listed, moment, moments

MOST = 4
"""A step that is done more often than this is told in short."""

CAUSES = ("step", "trip", "warning")
"""Categories of event that begin a sentence."""

NEARLY = 0.05
"""Warnings of the same moment for a driver [s]."""

ORDINARY = ("brake_applies", "pressure_75", "brake_releases")
"""What a repeated step may bring about and still be told in short."""

SILENT = ("ask", "vented", "joined", "parted")
"""Kinds of event that nobody is told: questions for a class, that a control which is out cannot hold any more, and what
an interlock remembers."""


@dataclass(frozen=True)
class Sentence:
    """A sentence on what happened from one time to another [s]; without times it tells how it all ended.

    ``so_far`` is what can be told of it from which time on, in order of time, the whole last.
    """

    text: str
    since: float | None = None
    until: float | None = None
    so_far: tuple[tuple[float, str], ...] = ()


@dataclass(frozen=True)
class _Told:
    """What is told about one cause; causes with the same key are repetitions of one step."""

    time: float
    key: str
    sentences: Sequence[Sentence]


def tell(run: Run, system: str = "si") -> tuple[str, ...]:
    """Sentences in order of time, then the outcome, in the unit system asked for."""
    return tuple(sentence.text for sentence in sentences(run, system))


def sentences(run: Run, system: str = "si") -> tuple[Sentence, ...]:
    """What `tell` tells, with the times that each sentence covers."""
    causes = list(_instants(event for event in run.events if _is_cause(event)))
    limits = [float("-inf"), *(events[0].time for events in causes), float("inf")]
    moved = mechanics(run, run.measures)
    told: list[_Told] = []
    for k, (since, until) in enumerate(pairwise(limits)):
        here = [m for m in moved if since <= m.time < until]
        modes = [
            single(event.time, event.time, f"{restate(event.text, system)} {moments([event.time])}")
            for event in run.events
            if event.category == "mode" and event.kind not in SILENT
            if since <= event.time < until and not run.settled(event)
        ]
        head = _head(run, causes[k - 1], system) if k else ""
        clauses = sorted([*clauses_of(run, here, system), *modes], key=lambda clause: clause.start)
        said = _sentences(head, since, clauses)
        usual = len(said) == 1 and not modes and all(m.kind in ORDINARY for m in here)
        told.append(_Told(since, _repeated(causes[k - 1]) if k and usual else "", said))
    return (*_shortened(told), *map(Sentence, (*ending(run, system), *outcome(run, system))))


def _repeated(events: Sequence[Event]) -> str:
    """What makes steps the same: a single step's text, else nothing."""
    return events[0].text if len(events) == 1 and events[0].kind == "set" else ""


def _shortened(told: Sequence[_Told]) -> Iterator[Sentence]:
    """The sentences; of a step done many times the first, the second and the last are told, the others counted."""
    counts = Counter(one.key for one in told)
    seen: Counter[str] = Counter()
    skipped: list[_Told] = []
    for one in told:
        seen[one.key] += 1
        if one.key and counts[one.key] > MOST and 2 < seen[one.key] < counts[one.key]:
            skipped.append(one)
            continue
        yield from _counted(skipped)
        skipped = []
        yield from one.sentences
    yield from _counted(skipped)


def _counted(skipped: Sequence[_Told]) -> Iterator[Sentence]:
    if skipped:
        times = max(Counter(one.key for one in skipped).values())
        since, until = skipped[0].time, skipped[-1].time
        again = "once" if times == 1 else f"{times} times"
        text = f"{moment(since)} to {moment(until)}: the same {again} more."
        yield Sentence(text, since, until, ((until, text),))


def is_listed(run: Run, event: Event) -> bool:
    """Whether an event stands in a list of events: what the brakes did is told in the sentences."""
    return event.category != "mechanics" and event.kind not in SILENT and not run.settled(event)


def _is_cause(event: Event) -> bool:
    return event.category in CAUSES and event.kind not in SILENT


def _head(run: Run, events: Sequence[Event], system: str) -> str:
    texts = [restate(event.text, system) for event in events]
    if events[0].time <= run.span[0] and all(event.category != "step" for event in events):
        return f"At the start {'; '.join(texts)}"
    together = "; ".join(texts) if any("," in text for text in texts) else listed(texts)
    return f"{moment(events[0].time)}: {together}"


def _instants(events: Iterable[Event]) -> Iterable[list[Event]]:
    """Events in order of time, those of one instant together, and warnings that come nearly together."""
    group: list[Event] = []
    for event in sorted(events, key=lambda event: event.time):
        warnings = all(one.category == "warning" for one in (*group, event))
        if group and event.time - group[0].time > (NEARLY if warnings else 1e-6):
            yield group
            group = []
        group.append(event)
    if group:
        yield group


def _sentences(head: str, since: float, clauses: Sequence[Clause]) -> list[Sentence]:
    """One sentence for the cause and what followed at once, more for what followed later."""
    said: list[Sentence] = []
    own: list[Clause] = []
    last = since
    for clause in clauses:
        begun = bool(head or own)
        if not begun or clause.start - last > FOLLOWS:
            said += [_sentence(head, since, own)] if begun else []
            head, since, own = "", clause.start, []
        own.append(clause)
        last = clause.end
    return said + ([_sentence(head, since, own)] if head or own else [])


def _sentence(head: str, since: float, clauses: Sequence[Clause]) -> Sentence:
    times = sorted({*([since] if head else []), *(time for clause in clauses for time, _ in clause.so_far)})
    so_far = []
    for now in times:
        told = [[text for time, text in clause.so_far if time <= now] for clause in clauses]
        so_far.append((now, _joined(head, since, [texts[-1] for texts in told if texts])))
    until = max([since, *(clause.end for clause in clauses)])
    return Sentence(so_far[-1][1], since, until, tuple(so_far))


def _joined(head: str, since: float, texts: Sequence[str]) -> str:
    """The cause and what followed; without a cause the time of the first thing that happened leads."""
    if head:
        return f"{'; '.join([head, *texts])}."
    now = moment(since)
    return f"{now}: {'; '.join([texts[0].replace(f' at {now}', '', 1), *texts[1:]])}."
