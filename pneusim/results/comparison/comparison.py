"""Everything that two circuits, or two sets of results, differ in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from pneusim.errors import UsageError
from pneusim.results.comparison.description import Change
from pneusim.results.comparison.runs import RunComparison


@dataclass(frozen=True, repr=False)
class Comparison:
    """A and B compared.

    Attributes
    ----------
    a, b : str
        What is compared, in short: name of a circuit or folder, with its variant.
    changes : tuple of Change
        What differs in the description, the scenarios compared included.
    scenarios : tuple of RunComparison
        Every scenario that both have and that was asked for.
    only_a, only_b : tuple of str
        Scenarios that only one of them has.
    """

    a: str
    b: str
    changes: tuple[Change, ...]
    scenarios: tuple[RunComparison, ...]
    only_a: tuple[str, ...] = ()
    only_b: tuple[str, ...] = ()

    def __repr__(self) -> str:
        """One line: how much differs."""
        names = ", ".join(one.name for one in self.scenarios) or "no scenario"
        return f"<Comparison of {self.a!r} and {self.b!r}: {len(self.changes)} changes; {names}>"

    def __getitem__(self, scenario: str) -> RunComparison:
        """The comparison of one scenario, by name; a wrong name tells those that there are."""
        for one in self.scenarios:
            if one.name == scenario:
                return one
        raise KeyError(f"scenario {scenario!r} is not compared; compared: {self._names}")

    def plot(self, *what: str, scenario: str | None = None, **options: Any) -> Any:
        """Draw both runs of a scenario in one figure: the only one, or the one named; else as `pneusim.plot`."""
        import pneusim  # the top-level package loads the drawing when asked: results know nothing of it

        one = self._only() if scenario is None else self[scenario]
        draw: Any = pneusim.plot
        return draw(one.a, *what, beside=one.b, **options)

    def _only(self) -> RunComparison:
        if len(self.scenarios) != 1:
            raise UsageError(f"name the scenario to draw with scenario=...; compared: {self._names}")
        return self.scenarios[0]

    @property
    def _names(self) -> str:
        names: Sequence[str] = [one.name for one in self.scenarios]
        return ", ".join(names) or "none"

    def _repr_html_(self) -> str:
        """The comparison in a notebook: tables and, of a single scenario, the figure."""
        show: Any = import_module("pneusim.show.comparison")  # asked for by name: results know nothing of pictures
        html: str = show.as_html(self)
        return html
