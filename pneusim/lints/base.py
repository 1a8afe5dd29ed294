"""What a lint is: a code, what it says, where that stands, which vehicles it is for, and the look it takes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from pneusim.circuit.circuit import Component
from pneusim.errors import Place
from pneusim.lints.unit import Unit

POWERED = ("truck", "tractor", "bus")
TOWED = ("semitrailer", "full_trailer", "centre_axle_trailer", "dolly")

FROM_MEMORY = "from memory, to be read against the official text"
PRACTICE = "common practice, no source"
CUSTOM = {"un13": PRACTICE, "us": PRACTICE}  #: sources of a rule that is in no regulation


class Seen(NamedTuple):
    """What a lint found: the place, the path in the document, what is wrong with what is allowed, what to do."""

    place: Place
    path: str
    problem: str
    fix: str


def at(component: Component, problem: str, fix: str) -> Seen:
    """What was found on a component."""
    return Seen(component.place, f"components.{component.name}", problem, fix)


@dataclass(frozen=True)
class Lint:
    """A rule.

    Attributes
    ----------
    code : str
        Stable code such as ``W05``.
    words : str
        One line for the catalogue.
    sources : Mapping[str, str]
        By the vehicle's ``practice``: the clause and how it was obtained, or that there is none. A practice that is
        not in it does not know the rule.
    find : callable
        Yields what it saw on one unit.
    kinds : tuple of str
        Kinds of vehicle that it is for; empty for all.
    """

    code: str
    words: str
    sources: Mapping[str, str]
    find: Callable[[Unit], Iterable[Seen]]
    kinds: tuple[str, ...] = ()

    def applies(self, unit: Unit) -> bool:
        """Whether the rule is for this unit."""
        return unit.vehicle.practice in self.sources and (not self.kinds or unit.vehicle.kind in self.kinds)


def named(names: Iterable[str]) -> str:
    """``a, b and c``.

    Examples
    --------
    >>> named(["a", "b", "c"]), named(["a"])
    ('a, b and c', 'a')
    """
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last
