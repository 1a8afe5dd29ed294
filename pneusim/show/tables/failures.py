"""A study of failures for the terminal: groups with the same consequence, worst first; all about one failure."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from rich.console import Group as Together
from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from pneusim.results.restate import restate
from pneusim.results.run import CAUTION
from pneusim.studies.failures.classes import NOT_COMPUTED, class_named, rank
from pneusim.studies.failures.groups import Group, consequence_in_words, grouped
from pneusim.studies.failures.study import Row, Study

NAMED = 3
"""So many targets of a group are named."""

GRAVE = 11
"""Classes up to this place stand out."""


def tables(study: Study, units: str = "si", *, whole: bool = False) -> RenderableType:
    """All groups under the headings of their classes; ``whole`` names every failure."""
    title = study.cycle.scenario.words
    cycle = f"Cycle: {title}. Shares are of the intact vehicle in the same cycle."
    parts: list[RenderableType] = [Text(f"{study.title}: failures", style="bold underline"), Text(cycle)]
    for name, found in groupby(grouped(study), key=lambda group: group.worst):
        parts += [Text(), _class(name, list(found), study, units, whole)]
    parts += [Text(), Text(counts(study), style="bold")]
    parts += [Text(f"left out: {left.id}: {left.why}", style="dim") for left in study.left_out]
    return Together(*parts, Text(CAUTION, style="dim"))


def counts(study: Study) -> str:
    """``383 failures in 81 groups; 300 cases computed, 83 failures are mirror images of others.``"""
    alike = len(study.rows) - study.computed
    failed = sum(row.worst == NOT_COMPUTED.name for row in study.rows)
    told = f"{counted(len(study.rows), 'failure')} in {counted(len(grouped(study)), 'group')}; "
    told += f"{counted(study.computed, 'case')} computed"
    told += f", {counted(alike, 'failure')} are mirror images of others" if alike else ""
    return f"{told}; {failed} failed." if failed else f"{told}."


def counted(number: int, noun: str) -> str:
    """``1 failure``, ``4 failures``."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def one(row: Row, study: Study, units: str = "si") -> RenderableType:
    """All about one failure: what it came to, how its story goes."""
    parts: list[RenderableType] = [
        Text(f"{study.title}: {row.failure.words}", style="bold underline"),
        Text(f"{row.failure.id} ({row.failure.kind}): {class_named(row.worst).words}", style="bold"),
        Text(restate(_sentence(consequence_in_words([row], study)), units)),
    ]
    if len(row.classes) > 1:
        others = "; ".join(class_named(name).words for name in row.classes[1:])
        parts.append(Text(f"also: {others}"))
    if row.twin_of:
        words = f"The circuit makes it the mirror image of {row.twin_of}, of which the story tells."
        parts.append(Text(words, style="dim"))
    parts += [Padding(Text(restate(line, units)), (0, 0, 0, 2), expand=False) for line in row.outcome.narrative]
    return Together(*parts)


def _class(name: str, groups: Sequence[Group], study: Study, units: str, whole: bool) -> RenderableType:
    kind, count = class_named(name), sum(len(group.rows) for group in groups)
    style = "bold red" if _is_grave(name) else "bold"
    head = Text(f"{kind.words}: {count}", style=style)
    table = Table.grid(padding=(0, 1, 0, 0))
    table.add_column(justify="right", no_wrap=True, min_width=3, style="dim")
    table.add_column(overflow="fold")
    for group in groups:
        table.add_row(str(group.number), Text(names(group.rows, None if whole else NAMED), style="bold"))
        words = restate(consequence_in_words(group.rows, study), units)
        table.add_row("", Padding(Text(words), (0, 0, 0, 2), expand=False))
    return Together(head, Text(kind.means, style="dim"), table)


def names(rows: Sequence[Row], most: int | None) -> str:
    """Ids of a group, those of one target together: ``rear_feed: blocked, broken_middle``."""
    by_target: dict[str, list[str]] = {}
    for row in rows:
        target, _, what = row.failure.id.rpartition(".")
        by_target.setdefault(target, []).append(what)
    told = [f"{target}: {', '.join(whats)}" for target, whats in by_target.items()]
    shown = told if most is None else told[:most]
    rest = sum(len(whats) for whats in list(by_target.values())[len(shown) :])
    return "; ".join(shown) + (f"; and {rest} more" if rest else "")


def _is_grave(name: str) -> bool:
    return rank(name) < GRAVE


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."
