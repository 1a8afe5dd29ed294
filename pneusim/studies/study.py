"""Works off the cases of a study: takes from the store what is there, computes the rest, keeps each as it finishes."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from operator import length_hint

from pneusim.errors import PneusimError, UsageError
from pneusim.results.run import Run
from pneusim.simulate import run, warmup
from pneusim.studies.case import Case, key, laws
from pneusim.studies.executor import Executor, Threads
from pneusim.studies.outcome import FAILED, Outcome
from pneusim.studies.store import Store

Judge = Callable[[Case], Outcome]
"""Runs a case and says what it came to; for a cluster it must be picklable: a function of a module, or a dataclass."""


@dataclass(frozen=True)
class Progress:
    """How far a study is.

    Attributes
    ----------
    done, total : int
        Cases that have an outcome, and all cases (0 if that is not known yet).
    stored, failed : int
        Of those done: known already, from the store or from a case alike, and failed.
    seconds : float
        Since the start [s].
    """

    done: int
    total: int
    stored: int
    failed: int
    seconds: float

    @property
    def rate(self) -> float:
        """Cases computed per second."""
        return (self.done - self.stored) / self.seconds if self.seconds > 0.0 else 0.0

    @property
    def left(self) -> float | None:
        """Time that the rest will take at this rate [s]; None while nothing is known."""
        return (self.total - self.done) / self.rate if self.rate > 0.0 and self.total else None


def run_case(case: Case) -> Run:
    """Run a case as `pneusim.run` does, with all channels.

    Raises
    ------
    UsageError, RunFailed
    """
    return run(case.circuit, case.scenario, rtol=case.rtol)


def whole(case: Case) -> Outcome:
    """The plainest judge: all measures, events and sentences of the run."""
    return Outcome.of(run_case(case))


def work(
    cases: Iterable[Case | Outcome],
    judge: Judge = whole,
    *,
    executor: Executor | None = None,
    store: Store | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> list[Outcome]:
    """The outcomes of all cases, in the order of the cases.

    Parameters
    ----------
    cases : iterable of Case or Outcome
        May be made as they are asked for; only those at work are held.  Cases of one key are computed once.  An outcome
        stands for a case that could not be made.
    judge : callable
    executor : Executor, optional
        Threads of this machine by default; outcomes are the same to the bit with any other.
    store : Store, optional
        A study that was interrupted takes from it what is finished.
    progress : callable, optional
        Told after every case.

    Returns
    -------
    list of Outcome
        A case that did not work is one with status ``failed`` and its message.  One that failed for another reason than
        the circuit, such as a fault of the program or a lost worker, is not stored, and is tried again next time.

    Raises
    ------
    KeyboardInterrupt
        After what is finished has been stored.
    UsageError
        If the store cannot be written, or a worker has another version of the program.
    """
    desk = _Desk(length_hint(cases), store, progress)
    for case, result in (executor or Threads()).run(_Judged(judge, laws()), desk.open(cases)):
        desk.close(case, result)
    return desk.outcomes()


class OtherLaws(UsageError):
    """A worker computes by other laws than the study is stored under: that is no outcome of a case."""


@dataclass(frozen=True)
class _Judged:
    """A judge whose cases fail with an outcome."""

    judge: Judge
    laws: str

    def __call__(self, numbered: tuple[str, Case]) -> Outcome:
        digest, case = numbered
        if laws() != self.laws:
            raise OtherLaws("a worker has another version of pneusim than the study; install the same on both")
        try:
            return replace(self.judge(case), key=digest)
        except PneusimError as error:
            return Outcome(digest, status=FAILED, message=str(error))


class _Desk:
    """Where cases are entered in order and closed as they finish."""

    def __init__(self, total: int, store: Store | None, progress: Callable[[Progress], None] | None) -> None:
        self._total, self._store, self._progress = total, store, progress
        self._entered: list[tuple[str, str]] = []  # key and name, in order
        self._found: dict[str, Outcome] = {}
        self._times: dict[str, int] = {}  # how often a key stands in the study
        self._done = self._stored = self._failed = 0
        self._begin = time.perf_counter()

    def open(self, cases: Iterable[Case | Outcome]) -> Iterator[tuple[str, Case]]:
        """The cases that must be computed, with their keys."""
        warm = False
        for case in cases:
            if isinstance(case, Outcome):
                self._entered.append((case.name, case.name))
                self._found[case.name] = case
                self._tell(case, 1, stored=1)
                continue
            digest = key(case)
            self._entered.append((digest, case.name))
            self._times[digest] = self._times.get(digest, 0) + 1
            if digest in self._found:
                self._tell(self._found[digest], 1, stored=1)
            elif self._times[digest] > 1:
                continue  # at work
            elif self._store and (known := self._store.get(digest)):
                self._found[digest] = known
                self._tell(known, 1, stored=1)
            else:
                if not warm:
                    warmup()
                    warm = True
                yield digest, case

    def close(self, numbered: tuple[str, Case], result: Outcome | Exception) -> None:
        """Enter what a case came to."""
        digest, _ = numbered
        if isinstance(result, OtherLaws):
            raise result
        if isinstance(result, Exception):
            outcome = Outcome(digest, status=FAILED, message=f"{type(result).__name__}: {result}")
        else:
            outcome = Outcome.from_bytes(result.to_bytes())  # the same whether it comes from the store or not
            if self._store:
                self._store.put(outcome)
        self._found[digest] = outcome
        self._tell(outcome, self._times[digest], stored=self._times[digest] - 1)

    def outcomes(self) -> list[Outcome]:
        """What all cases came to, in their order."""
        return [replace(self._found[digest], name=name) for digest, name in self._entered]

    def _tell(self, outcome: Outcome, count: int, stored: int = 0) -> None:
        self._done += count
        self._stored += stored
        self._failed += count if outcome.status == FAILED else 0
        if self._progress:
            total = max(self._total, self._done)
            seconds = time.perf_counter() - self._begin
            self._progress(Progress(self._done, total, self._stored, self._failed, seconds))
