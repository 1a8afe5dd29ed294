"""What happened, in sentences: each cause with its time, then what the brakes did because of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pneusim.results.mechanics import KINDS, Mechanic, mechanics
from pneusim.results.outcome import outcome
from pneusim.results.restate import restate
from pneusim.results.run import Event, Run
from pneusim.results.words import listed, moment, moments, places, span

TOGETHER = 0.15
"""Mechanical events of one kind that follow each other within this time are told together [s]."""

FOLLOWS = 3.0
"""What happens longer than this after the last thing told begins a sentence of its own [s]."""

CAUSES = ("step", "trip", "warning")
"""Categories of event that begin a sentence."""

SILENT = ("ask",)
"""Kinds of event that the narrative leaves out."""


@dataclass(frozen=True)
class _Cluster:
    """Mechanical events of one kind told together."""

    kind: str
    members: tuple[Mechanic, ...]

    @property
    def start(self) -> float:
        return self.members[0].time

    @property
    def end(self) -> float:
        return self.members[-1].time

    @property
    def who(self) -> frozenset[str]:
        return frozenset(m.brake for m in self.members)


@dataclass(frozen=True)
class _Clause:
    """Something told inside a sentence, with the times it covers."""

    start: float
    end: float
    text: str


def tell(run: Run, system: str = "si") -> tuple[str, ...]:
    """Sentences in order of time, then the outcome, in the unit system asked for."""
    causes = list(_instants(event for event in run.events if _is_cause(event)))
    limits = [float("-inf"), *(events[0].time for events in causes), float("inf")]
    moved = mechanics(run, run.measures)
    sentences: list[str] = []
    for k, (since, until) in enumerate(pairwise(limits)):
        chains = _chains(_clusters([m for m in moved if since <= m.time < until]))
        clauses = [_Clause(c[0].start, c[-1].end, _moved(run, c, system)) for c in chains]
        clauses += [
            _Clause(event.time, event.time, f"{restate(event.text, system)} {moments([event.time])}")
            for event in run.events
            if event.category == "mode" and since <= event.time < until and not run.settled(event)
        ]
        head = _head(causes[k - 1], system) if k else ""
        sentences += _sentences(head, since, sorted(clauses, key=lambda clause: clause.start))
    return (*sentences, *outcome(run, system))


def _is_cause(event: Event) -> bool:
    return event.category in CAUSES and event.kind not in SILENT


def _head(events: Sequence[Event], system: str) -> str:
    return f"{moment(events[0].time)}: {listed([restate(event.text, system) for event in events])}"


def _instants(events: Iterable[Event]) -> Iterable[list[Event]]:
    """Events in order of time, those of one instant together."""
    group: list[Event] = []
    for event in sorted(events, key=lambda event: event.time):
        if group and event.time - group[0].time > 1e-6:
            yield group
            group = []
        group.append(event)
    if group:
        yield group


def _sentences(head: str, since: float, clauses: Sequence[_Clause]) -> list[str]:
    """One sentence for the cause and what followed at once, more for what followed later."""
    sentences: list[str] = []
    last = since
    for clause in clauses:
        if head and clause.start - last <= FOLLOWS:
            head = f"{head}; {clause.text}"
        else:
            sentences += [f"{head}."] if head else []
            now = moment(clause.start)
            head = f"{now}: {clause.text.replace(f' at {now}', '', 1)}"
        last = clause.end
    return sentences + ([f"{head}."] if head else [])


def _clusters(moved: Sequence[Mechanic]) -> list[_Cluster]:
    open_clusters: dict[str, list[Mechanic]] = {}
    done: list[_Cluster] = []
    for m in moved:
        current = open_clusters.setdefault(m.kind, [])
        if current and (m.time - current[-1].time > TOGETHER or m.brake in {c.brake for c in current}):
            done.append(_Cluster(m.kind, tuple(current)))
            current = open_clusters[m.kind] = []
        current.append(m)
    done += [_Cluster(kind, tuple(members)) for kind, members in open_clusters.items()]
    return sorted(done, key=lambda cluster: cluster.start)


def _chains(clusters: Sequence[_Cluster]) -> list[list[_Cluster]]:
    """Clusters of the same brakes and subject, one after the other, as one clause."""
    chains: list[list[_Cluster]] = []
    for cluster in clusters:
        subject = KINDS[cluster.kind].subject
        for chain in chains:
            near = cluster.start - chain[-1].end <= FOLLOWS
            if near and chain[-1].who == cluster.who and KINDS[chain[-1].kind].subject == subject:
                chain.append(cluster)
                break
        else:
            chains.append([cluster])
    return chains


def _moved(run: Run, chain: Sequence[_Cluster], system: str) -> str:
    """``the springs of axles 1 to 3 began to move at 5.37 s and pressed on their brakes at 5.60 s``."""
    several = len(chain[0].who) > 1
    noun = KINDS[chain[0].kind].subject + ("s" if several else "")
    return f"the {noun} of {places(run, chain[0].who)} {listed([_predicate(c, several, system) for c in chain])}"


def _predicate(cluster: _Cluster, several: bool, system: str) -> str:
    kind = KINDS[cluster.kind]
    values = [m.value for m in cluster.members if m.value is not None]
    told = f" ({span(values, cluster.members[0].dimension, system)})" if values else ""
    return f"{kind.many if several else kind.one}{told} {moments([m.time for m in cluster.members])}"
