"""Runs a case for a few measures: only the channels that they look at are kept; values are those of a whole run."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from typing import Any

from pneusim.errors import UsageError
from pneusim.parts.registry import part
from pneusim.reading.faults import listed, nearest
from pneusim.results.measures import (
    application,
    asked,
    braking,
    extremes,
    happenings,
    lag,
    parking,
    reservoirs,
    spring_brakes,
)
from pneusim.results.road import measures as road
from pneusim.results.run import Channel, MeasureResult, Run
from pneusim.simulate.session import Session
from pneusim.studies.case import Case
from pneusim.studies.outcome import Outcome
from pneusim.studies.study import run_case


def _lags(run: Run) -> list[MeasureResult]:
    return lag.measure(run, {result.name: result for result in application.measure(run)})


KINDS: Mapping[str, Callable[[Run], Sequence[MeasureResult]]] = {
    "asked": asked.measure,
    "application": application.measure,
    "lag": _lags,
    "spring_brakes": spring_brakes.measure,
    "extremes": extremes.measure,
    "braking": braking.measure,
    "parking": parking.measure,
    "reservoirs": reservoirs.measure,
    "road": road.measure,
    "happenings": happenings.measure,
}
"""The kinds of measures, in the order in which a run has them."""

_TURN = re.compile(r"\.(spring_)?(application|release)_\d+(?=\.)")


@dataclass(frozen=True)
class Wanted:
    """What is to be measured: names, the kinds that make them, and the channels that these look at."""

    names: tuple[str, ...]
    kinds: tuple[str, ...]
    channels: frozenset[str]


class _NotKeptError(Exception):
    """A measure looks at a channel that was not kept."""


class _Kept(dict[str, Channel]):
    """Those channels of a run that are kept; looking at another one that the circuit has is an error."""

    def __init__(self, kept: Mapping[str, Channel], offered: Collection[str]) -> None:
        super().__init__(kept)
        self._lost = frozenset(offered) - frozenset(kept)

    def _look(self, name: object) -> None:
        if name in self._lost:
            raise _NotKeptError(name)

    def __getitem__(self, name: str) -> Channel:
        self._look(name)
        return super().__getitem__(name)

    def __contains__(self, name: object) -> bool:
        self._look(name)
        return super().__contains__(name)

    def get(self, name: str, default: Any = None) -> Any:
        """Return a channel that is kept, or the default if the circuit has none of that name."""
        self._look(name)
        return super().get(name, default)

    def __iter__(self) -> Iterator[str]:
        yield from super().__iter__()
        if self._lost:
            raise _NotKeptError

    def items(self) -> Any:
        """Names and channels, to the last one kept."""
        return ((name, self[name]) for name in self)

    def values(self) -> Any:
        """Channels, to the last one kept."""
        return (self[name] for name in self)


class _Watched(dict[str, Channel]):
    """The channels of a run; takes note of every one that is looked at."""

    def __init__(self, channels: Mapping[str, Channel]) -> None:
        super().__init__(channels)
        self.seen: set[str] = set()

    def __getitem__(self, name: str) -> Channel:
        self.seen.add(name)
        return super().__getitem__(name)

    def __contains__(self, name: object) -> bool:
        self.seen.add(str(name))
        return super().__contains__(name)

    def get(self, name: str, default: Any = None) -> Any:
        """Return a channel or the default."""
        self.seen.add(name)
        return super().get(name, default)

    def items(self) -> Any:
        """Names and channels."""
        return ((name, self[name]) for name in self)

    def values(self) -> Any:
        """All channels."""
        return (self[name] for name in self)


def wanted_of(run: Run, names: Sequence[str]) -> Wanted:
    """What must be kept of runs like this one to measure these names.

    If one of them is not measured in this run, because what it measures did not happen, everything is kept.

    Raises
    ------
    UsageError
        For a name of which no run of the circuit could know.
    """
    watched = _Watched(run.channels)
    made: dict[str, str] = {}
    seen: dict[str, set[str]] = {}
    for kind, measure in KINDS.items():
        watched.seen = set()
        for result in measure(replace(run, channels=watched)):
            made.setdefault(result.name, kind)
        seen[kind] = watched.seen & run.channels.keys()
    made = {name: "happenings" for name in names if _is_event(name, run)} | made
    absent = [name for name in names if name not in made]
    for name in absent:
        _refuse_unknown(name, made, run)
    kinds = [kind for kind in KINDS if absent or kind in {made[name] for name in names}]
    first = list(run.channels)[:1]  # it tells how long the run was
    channels = set(run.channels) if absent else set(first).union(*(seen[kind] for kind in kinds))
    return Wanted(tuple(names), tuple(kinds), frozenset(channels))


def _refuse_unknown(name: str, made: Mapping[str, str], run: Run) -> None:
    owners = {_owner(other) for other in made} | set(run.circuit.components)
    if _owner(name) in owners:
        return
    near = nearest(name, list(made))
    hint = f"{near!r} is meant?" if near else f"some that there are: {listed(made)}"
    raise UsageError(f"there is no measure {name!r}; {hint}")


def _is_event(name: str, run: Run) -> bool:
    """Whether a measure is the time of a trip or a warning, of which none may come."""
    owner, _, word = name.rpartition(".")
    component = run.circuit.components.get(owner)
    return component is not None and any(
        event.name == re.sub(r"_\d+$", "", word) and event.category in ("trip", "warning")
        for event in part(component.type).events
    )


def _owner(name: str) -> str:
    """What a measure belongs to: ``front.left`` of ``front.left.application_1.time_to_75``."""
    return _TURN.sub("", name).rpartition(".")[0]


@dataclass(frozen=True)
class Measuring:
    """The judge of a sweep: runs a case and measures what is wanted."""

    wanted: Wanted

    def __call__(self, case: Case) -> Outcome:
        """Measures of a case, without events and sentences."""
        try:
            found = self._of(lean_run(case, self.wanted.channels))
        except _NotKeptError:
            found = self._of(run_case(case))
        nothing = MeasureResult("", None, "", "it did not happen")
        results = {name: found.get(name, nothing) for name in self.wanted.names}
        reasons = {name: result.reason for name, result in results.items() if result.value is None}
        measures = {name: result.value for name, result in results.items()}
        return Outcome(measures=measures, extra={"reasons": reasons} if reasons else {})

    def _of(self, run: Run) -> dict[str, MeasureResult]:
        found: dict[str, MeasureResult] = {}
        for kind in self.wanted.kinds:
            for result in KINDS[kind](run):
                found.setdefault(result.name, result)
        return found


def lean_run(case: Case, channels: Collection[str]) -> Run:
    """Run a case; the result has only these channels, no measures and no sentences.

    Raises
    ------
    UsageError, RunFailed
    """
    with closing(Session(case.circuit, case.scenario, "rodas4", case.rtol, keep=channels.__contains__)) as session:
        session.schedule()
        session.advance(case.scenario.lasts)
        run = session.computed()
        return replace(run, channels=_Kept(run.channels, session.compiled.channels))
