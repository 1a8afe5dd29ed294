"""Clauses on what the brakes and the vehicles did: the same brakes doing one thing after the other are one clause."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pneusim.results.mechanic import KINDS, Mechanic
from pneusim.results.run import Run
from pneusim.results.words import listed, moments, span, subject

TOGETHER = 0.15
"""Mechanical events of one kind that follow each other within this time are told together [s]."""

FOLLOWS = 3.0
"""What happens longer than this after the last thing told begins a sentence of its own [s]."""


@dataclass(frozen=True)
class Clause:
    """Something told inside a sentence, with the times it covers, and what of it can be told from which time on [s]."""

    start: float
    end: float
    text: str
    so_far: tuple[tuple[float, str], ...]


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
        return frozenset(m.owner for m in self.members)


def clauses_of(run: Run, moved: Sequence[Mechanic], system: str) -> list[Clause]:
    """Clauses on mechanical events that are in order of time."""
    chains = _chains(_clusters(moved))
    return [_clause(run, chain, system) for chain in chains]


def moments_of(run: Run, moved: Sequence[Mechanic], system: str) -> list[Clause]:
    """What the brakes did, each thing that brakes did together told by itself: what a list of events has of it."""
    return [single(c.start, c.end, f"{_subject(run, c)} {_predicate(c, system)}") for c in _clusters(moved)]


def single(start: float, end: float, text: str) -> Clause:
    """A clause that is told when all of it has come."""
    return Clause(start, end, text, ((end, text),))


def _clause(run: Run, chain: Sequence[_Cluster], system: str) -> Clause:
    so_far = tuple((cluster.end, _moved(run, chain[: k + 1], system)) for k, cluster in enumerate(chain))
    return Clause(chain[0].start, chain[-1].end, so_far[-1][1], so_far)


def _clusters(moved: Sequence[Mechanic]) -> list[_Cluster]:
    open_clusters: dict[str, list[Mechanic]] = {}
    done: list[_Cluster] = []
    for m in moved:
        current = open_clusters.setdefault(m.kind, [])
        if current and (m.time - current[-1].time > TOGETHER or m.owner in {c.owner for c in current}):
            done.append(_Cluster(m.kind, tuple(current)))
            current = open_clusters[m.kind] = []
        current.append(m)
    done += [_Cluster(kind, tuple(members)) for kind, members in open_clusters.items()]
    return sorted(done, key=lambda cluster: cluster.start)


def _chains(clusters: Sequence[_Cluster]) -> list[list[_Cluster]]:
    """Clusters of the same brakes and subject, one after the other, as one clause."""
    chains: list[list[_Cluster]] = []
    for cluster in clusters:
        moved = KINDS[cluster.kind].subject
        for chain in chains:
            near = cluster.start - chain[-1].end <= FOLLOWS
            if near and chain[-1].who == cluster.who and KINDS[chain[-1].kind].subject == moved:
                chain.append(cluster)
                break
        else:
            chains.append([cluster])
    return chains


def _moved(run: Run, chain: Sequence[_Cluster], system: str) -> str:
    """``the springs of axles 1 to 3 began to move at 5.37 s and pressed on their brakes at 5.60 s``."""
    told = [f"{_predicate(c, system)} {moments([m.time for m in c.members])}" for c in chain]
    return f"{_subject(run, chain[0])} {listed(told)}"


def _subject(run: Run, cluster: _Cluster) -> str:
    return subject(run, KINDS[cluster.kind].subject, cluster.who)


def _predicate(cluster: _Cluster, system: str) -> str:
    kind = KINDS[cluster.kind]
    values = [m.value for m in cluster.members if m.value is not None]
    told = kind.told.format(span(values, cluster.members[0].dimension, system)) if values else ""
    return f"{kind.many if len(cluster.who) > 1 else kind.one}{told}"
