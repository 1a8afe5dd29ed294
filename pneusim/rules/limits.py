"""The figures of a regulation: one YAML table a regulation, each with its clause and how it was obtained."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from pneusim.quantities import express, parse, parse_any

SOURCES = {
    "seen": "text seen",
    "memory": "from memory, to be read against the official text",
    "reading": "our reading, not in the text",
}
"""How a figure was obtained: the word in the table, and what a report says."""

SENSES = {"at_most": "at most", "at_least": "at least", "value": ""}
"""What a figure is: a limit in one of two senses, or a value that a test is run at."""


@dataclass(frozen=True)
class Limit:
    """A figure of a regulation.

    Attributes
    ----------
    name : str
        Key in the table.
    clause, words : str
        Where it stands and what it demands.
    sense : str
        ``at_most``, ``at_least``, or ``value`` for a figure that a test is run at.
    value : float
        [SI]; pressures gauge.
    dimension : str
        Key of ``pneusim.quantities.DIMENSIONS``.
    source : str
        Key of `SOURCES`.
    note : str
    """

    name: str
    clause: str
    words: str
    sense: str
    value: float
    dimension: str
    source: str
    note: str = ""

    def told(self, system: str = "si") -> str:
        """``at most 0.45 s``."""
        return f"{SENSES[self.sense]} {express(self.value, self.dimension, system)}".strip()


@dataclass(frozen=True)
class Beyond:
    """A demand that the program cannot judge, and why."""

    clause: str
    words: str
    why: str


@dataclass(frozen=True)
class Table:
    """All figures of a regulation, by name, and the demands beyond the program."""

    title: str
    figures: Mapping[str, Limit]
    beyond: tuple[Beyond, ...] = ()

    def __getitem__(self, name: str) -> Limit:
        return self.figures[name]

    def __contains__(self, name: object) -> bool:
        return name in self.figures

    def __iter__(self) -> Iterator[Limit]:
        return iter(self.figures.values())


@cache
def read_table(path: Path) -> Table:
    """Read a table of limits.

    Every entry has ``clause``, ``words``, ``source`` and exactly one of ``at_most``, ``at_least`` and ``value``: text
    with a unit, or a bare number.  ``dimension`` tells a way from a length, which have the same units.

    Raises
    ------
    ValueError
        For an entry that is not of that form.

    Examples
    --------
    >>> table = read_table(Path(__file__).parent / "us121" / "limits.yaml")
    >>> table["actuation.truck"].told()
    'at most 0.45 s'
    """
    document = yaml.safe_load(path.read_text(encoding="utf-8"))
    figures = {name: _limit(name, entry) for name, entry in document["limits"].items()}
    return Table(document["title"], figures, tuple(Beyond(**entry) for entry in document.get("beyond") or ()))


def _limit(name: str, entry: dict[str, Any]) -> Limit:
    senses = [sense for sense in SENSES if sense in entry]
    unknown = set(entry) - {*SENSES, "clause", "words", "source", "note", "dimension"}
    if len(senses) != 1 or unknown or not entry.get("clause") or not entry.get("words"):
        raise ValueError(f"{name}: needs clause, words, source and one of {', '.join(SENSES)}; unknown: {unknown}")
    if entry.get("source") not in SOURCES:
        raise ValueError(f"{name}: source is {entry.get('source')!r} (allowed: {', '.join(SOURCES)})")
    text, named = str(entry[senses[0]]), entry.get("dimension")
    value, dimension = (parse(text, named), named) if named else parse_any(text)
    return Limit(name, entry["clause"], entry["words"], senses[0], value, dimension, entry["source"],
                 entry.get("note", ""))  # fmt: skip
