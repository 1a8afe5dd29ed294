"""Two runs of a scenario compared."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from pneusim.results.comparison.aligned import moved, offset
from pneusim.results.comparison.channels import ChannelDifference, channel_differences
from pneusim.results.comparison.events import EventPair, event_pairs
from pneusim.results.comparison.measures import MeasureDifference, measure_differences
from pneusim.results.comparison.parting import parting
from pneusim.results.run import Run
from pneusim.results.store import folder_name


@dataclass(frozen=True, repr=False)
class RunComparison:
    """Two runs, A and B; all times are on the clock of A."""

    a: Run
    b: Run

    def __repr__(self) -> str:
        """One line: what differs."""
        measures = sum(one.telling for one in self.measures)
        return f"<RunComparison {self.name!r}: {measures} measures differ; {self.parting()[0]}>"

    @property
    def name(self) -> str:
        """The scenario's name; where two are compared, both."""
        ours, theirs = self.a.scenario.name, self.b.scenario.name
        return ours if ours == theirs else f"{self.folder_names[0]} and {self.folder_names[1]}"

    @property
    def folder(self) -> str:
        """Name of a folder for what is written about it."""
        ours, theirs = self.folder_names
        return self.a.scenario.name if self.a.scenario.name == self.b.scenario.name else f"{ours}-{theirs}"

    @property
    def folder_names(self) -> tuple[str, str]:
        """Names of the folders of both results."""
        first, second = (folder_name(run.scenario.name, run.variant) for run in (self.a, self.b))
        return first, second

    @cached_property
    def by(self) -> float:
        """By how much B is moved so that the first step of both coincides [s]."""
        return offset(self.a, self.b) or 0.0

    @cached_property
    def measures(self) -> tuple[MeasureDifference, ...]:
        """All measures of both."""
        return measure_differences(self.a, self.b)

    @property
    def turned(self) -> tuple[MeasureDifference, ...]:
        """Limits that are met in one run and missed in the other."""
        return tuple(one for one in self.measures if one.turned)

    @cached_property
    def events(self) -> tuple[EventPair, ...]:
        """All events of both, aligned."""
        return event_pairs(self.a, self._moved)

    @cached_property
    def channels(self) -> tuple[ChannelDifference, ...]:
        """The largest difference of every channel that both have."""
        return channel_differences(self.a, self._moved)

    def parting(self, system: str = "si") -> tuple[str, ...]:
        """The first event at which they part in a sentence, then the next trips and warnings in which they do."""
        return parting(self.a, self._moved, self.events, system)

    @cached_property
    def _moved(self) -> Run:
        return moved(self.b, self.by)
