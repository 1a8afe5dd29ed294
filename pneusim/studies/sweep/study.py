"""A study as data: a circuit, a scenario, parameters, a plan, what is measured, limits, and what is to be found out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Expectation, Scenario
from pneusim.errors import UsageError
from pneusim.studies.case import Case
from pneusim.studies.outcome import FAILED, Outcome
from pneusim.studies.sweep.parameter import Parameter
from pneusim.studies.sweep.plans import RANDOM, Plan
from pneusim.studies.sweep.targets import changed

RTOL = 1e-3
"""Relative tolerance of cases, where a study gives none: ten times that of a single run."""

CONFIDENCE = 0.95
WILSON, EXACT = "wilson", "exact"
INTERVALS = (WILSON, EXACT)


@dataclass(frozen=True)
class Worst:
    """A search for the worst case of every limit: how many cases it may take, and its seed."""

    cases: int
    seed: int = 0


@dataclass(frozen=True)
class Study:
    """A sweep.

    Attributes
    ----------
    name, title : str
    circuit : Circuit
        With the variant's changes.
    scenario : Scenario
        With the measures of the study beside its own.
    parameters : tuple of Parameter
    plan : Plan
    measures : tuple of str
        Names of what is measured of each case.
    limits : tuple of Expectation
    rtol : float
    worst : Worst or None
    confidence : float
        Of the intervals of yields, 0..1.
    interval : str
        ``wilson``, or ``exact`` (Clopper and Pearson).
    """

    name: str
    circuit: Circuit
    scenario: Scenario
    parameters: tuple[Parameter, ...]
    plan: Plan
    measures: tuple[str, ...]
    limits: tuple[Expectation, ...] = ()
    title: str = ""
    rtol: float = RTOL
    worst: Worst | None = None
    confidence: float = CONFIDENCE
    interval: str = WILSON
    source: str = field(default="", compare=False)

    @property
    def size(self) -> int:
        """Number of cases of the plan."""
        return self.plan.size(self.parameters)

    @property
    def drawn(self) -> bool:
        """Whether cases are drawn from distributions, so that their shares are probabilities."""
        return self.plan.kind in RANDOM

    def cases(self) -> Cases:
        """The cases of the plan, made as they are asked for."""
        return Cases(self)

    def case(self, name: str, values: Mapping[str, Any]) -> Case:
        """A case with these values of paths [SI].

        Raises
        ------
        UsageError
            If a value is not allowed.
        """
        circuit, scenario = changed(self.circuit, self.scenario, values)
        scenario = replace(scenario, expectations=())
        return Case(name, circuit, scenario, self.rtol, " ".join(self.measures))

    def entered(self, name: str, values: Mapping[str, Any]) -> Case | Outcome:
        """A case, or the failed outcome of values that do not go together."""
        try:
            return self.case(name, values)
        except UsageError as error:
            return Outcome(name=name, status=FAILED, message=str(error))

    def nominal(self) -> Case:
        """The case without any change."""
        return self.case("nominal", {})


@dataclass(frozen=True)
class Cases:
    """The cases of a study, made one by one, named by their number in the plan from 1."""

    study: Study

    def __len__(self) -> int:
        return self.study.size

    def __iter__(self) -> Iterator[Case | Outcome]:
        for number, values in enumerate(self.study.plan.rows(self.study.parameters), 1):
            yield self.study.entered(str(number), values)
