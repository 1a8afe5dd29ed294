"""The study of a circuit's failures: enumerate, find what is alike, run, judge, sort worst first."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

from pneusim.circuit.circuit import Circuit
from pneusim.errors import RunFailed
from pneusim.studies.case import Case
from pneusim.studies.executor import Executor
from pneusim.studies.failures.alike import Twin, image, twins
from pneusim.studies.failures.classes import NOT_COMPUTED, all_classes, rank
from pneusim.studies.failures.cycle import Cycle
from pneusim.studies.failures.facts import find_facts, find_moments
from pneusim.studies.failures.failure import KINDS, Failure, failed
from pneusim.studies.failures.judge import Consequences, judge
from pneusim.studies.failures.moments import Moments
from pneusim.studies.failures.owners import Owners, owners_of
from pneusim.studies.failures.single import LeftOut, single_failures
from pneusim.studies.outcome import OK, Outcome
from pneusim.studies.store import Store
from pneusim.studies.study import Progress, work

RTOL = 1e-3
"""Relative tolerance of the runs; docs/failures.md tells what it does to the shares."""


@dataclass(frozen=True)
class Row:
    """A failure and what it came to.

    ``outcome`` is that of the run; where ``twin_of`` names another failure it is that one's, and ``consequences`` are
    its image.  ``classes`` holds all that apply, worst first.
    """

    failure: Failure
    outcome: Outcome
    consequences: Consequences
    classes: tuple[str, ...]
    twin_of: str = ""

    @property
    def worst(self) -> str:
        """The class that it is filed under."""
        return self.classes[0]


@dataclass(frozen=True)
class Study:
    """All rows, worst first, and what they were judged against.

    ``computed`` is the number of cases behind the rows, the intact vehicle aside; ``variant`` is that of the circuit,
    "" if it is as its file has it.
    """

    circuit: Circuit
    cycle: Cycle
    moments: Moments
    intact: Outcome
    rows: tuple[Row, ...]
    left_out: tuple[LeftOut, ...]
    owners: Owners
    computed: int
    variant: str = ""

    @property
    def title(self) -> str:
        """The vehicle's title, with its variant."""
        return f"{self.circuit.title}, variant {self.variant}" if self.variant else self.circuit.title

    def __getitem__(self, name: str) -> Row:
        """The row of a failure by its id."""
        for row in self.rows:
            if row.failure.id == name:
                return row
        raise KeyError(name)


def study(
    circuit: Circuit,
    cycle: Cycle,
    failures: Sequence[Failure] | None = None,
    *,
    only: Collection[str] = (),
    variant: str = "",
    executor: Executor | None = None,
    store: Store | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> Study:
    """Run failures of a circuit through a cycle.

    Parameters
    ----------
    circuit : Circuit
        Resolved: a variant is in it.
    cycle : Cycle
        As `drive_cycle` or `cycle_of` makes it.
    failures : sequence of Failure, optional
        All single failures if none are given.
    only : collection of str
        Kinds to be run, all if it is empty.
    variant : str
        What the variant is called that the circuit is in.
    executor, store, progress
        As for `pneusim.studies.study.work`.

    Raises
    ------
    UsageError
        If the circuit cannot make sense of the cycle.
    RunFailed
        If the intact vehicle cannot be run.
    """
    single, left_out = single_failures(circuit) if failures is None else (list(failures), [])
    moments = _moments(circuit, cycle, store)
    chosen = [_dated(f, moments) for f in single if (not only or f.kind in only) and f.moment in moments.known]
    never = [f for f in single if f.moment not in moments.known]
    left_out += [LeftOut(f.id, f"the cycle has no moment {f.moment!r}") for f in never]
    alike = twins(circuit, cycle, chosen)
    first = [index for index, twin in enumerate(alike) if twin.first == index]
    cases = [Case("intact", circuit, cycle.scenario, RTOL, moments.text())]
    for failure in (chosen[index] for index in first):
        own = replace(moments, fails=0.0 if failure.from_start else moments.known[failure.moment])
        changed = failed(circuit, cycle.scenario, failure, cycle.fails)
        cases.append(Case(failure.id, *changed, RTOL, own.text()))
    intact, *found = work(cases, find_facts, executor=executor, store=store, progress=progress)
    _must_work(intact)
    outcomes = dict(zip(first, found))
    owners = owners_of(circuit)
    rows = [_row(f, twin, chosen[twin.first].id, outcomes[twin.first], intact, owners, moments)
            for f, twin in zip(chosen, alike)]  # fmt: skip
    rows.sort(key=lambda row: severity(row, owners))
    return Study(circuit, cycle, moments, intact, tuple(rows), tuple(left_out), owners, len(first), variant)


def severity(row: Row, owners: Owners) -> tuple[Any, ...]:
    """Key that sorts rows worst first: class, braking force left, number of classes, kind, id."""
    left = row.consequences.braking.get(owners.whole, 1.0)
    held = row.consequences.parking.get(owners.whole, 1.0)
    kind = list(KINDS).index(row.failure.kind)
    return rank(row.worst), round(left, 2), round(held, 2), -len(row.classes), kind, row.failure.id


def _moments(circuit: Circuit, cycle: Cycle, store: Store | None) -> Moments:
    case = Case("intact", circuit, cycle.scenario, RTOL, repr(cycle.fails))
    [outcome] = work([case], find_moments, store=store)
    _must_work(outcome)
    return Moments.read(outcome.extra["moments"])


def _dated(failure: Failure, moments: Moments) -> Failure:
    """A failure with the time at which it happens, where that is not the time of all failures."""
    if failure.moment == "fails":
        return failure
    at = moments.known[failure.moment]
    return replace(failure, steps=tuple(replace(step, at=at) for step in failure.steps))


def _must_work(intact: Outcome) -> None:
    if intact.status != OK:
        raise RunFailed(f"the intact vehicle cannot be run through the cycle: {intact.message}")


def _row(
    failure: Failure, twin: Twin, first: str, outcome: Outcome, intact: Outcome, owners: Owners, moments: Moments
) -> Row:
    twin_of = "" if first == failure.id else first
    if outcome.status != OK:
        return Row(failure, outcome, Consequences(), (NOT_COMPUTED.name,), twin_of)
    facts = image(outcome.extra, twin.names)
    found = judge(failure, facts, intact.extra, owners, moments.pedal)
    return Row(failure, outcome, found, all_classes(found, owners), twin_of)
