"""What stands behind the numbers: sources, and where the model ends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pneusim.parts.catalogue import SOURCES
from pneusim.results.run import Run
from pneusim.results.validity import limits
from pneusim.show.markup import Section, html, listing, table, text

LAWS = {
    "restrictions, seats, holes": "ISO 6358-1, ellipse of sonic conductance and critical pressure ratio, made linear "
    "near equal pressures",
    "lines": "one-dimensional Euler equations with wall friction and heat; friction factor of Churchill, Chem. Eng. 84 "
    "(1977) 91",
    "lines taken as lumped": "formula of Eckersten in Beater, Pneumatic Drives, Springer 2007 (from memory, to be read "
    "against the book)",
    "volumes": "first law for an open system of an ideal gas",
    "valves that follow a signal": "static balance with a hysteresis band; common practice, no source",
    "drum brakes": "Shigley, Mechanical Engineering Design, internal expanding rim brakes",
    "volume flows": "reference atmosphere ANR of ISO 8778",
}
"""Laws and their sources; the documentation derives each."""


def sources_section(runs: Sequence[Run]) -> Section:
    """The sources of all figures and laws, as the runs name them."""
    laws = table(("what", "law and source"), LAWS.items(), "Laws", "laws")
    meanings = [(word.replace("_", " "), told) for word, told in SOURCES.items()]
    words = table(("word", "what it means"), meanings, "Words for the source of a default", "words")
    return Section("Sources", html(laws, words, listing(_named(runs))), kind="page")


def _named(runs: Sequence[Run]) -> Iterator[str]:
    """What the runs name: the number of defaults of each kind, which the tables of the circuits list, then the rest."""
    defaults: dict[str, set[str]] = {}
    others: dict[str, None] = {}
    for source in (source for run in runs for source in run.sources):
        head, found, keys = source.partition(": defaults ")
        if found:
            defaults.setdefault(head.replace("_", " "), set()).update(keys.split(", "))
        else:
            others[source] = None
    yield from (f"{head}: {len(keys)} defaults, see the tables of the circuit" for head, keys in defaults.items())
    yield from others


def validity_section(runs: Sequence[Run]) -> Section:
    """Where the model ends."""
    road = any(run.scenario.road for run in runs)
    head = text("What the model does not show, and where its numbers are soft:")
    return Section("Limits of validity", html(head, listing(limit.words for limit in limits(road))), kind="page")
