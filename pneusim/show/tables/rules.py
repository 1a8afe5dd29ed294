"""A report of a regulation's procedures: tables for a terminal, and a picture of every timed test."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Literal

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from pneusim.quantities import express
from pneusim.results.restate import restate
from pneusim.rules.finding import CAUTIONS, MISSED, NOT_JUDGED, VERDICTS, Finding, Report
from pneusim.rules.limits import SOURCES

HEADS = ("clause", "what", "limit", "value", "margin", "verdict")
NUMBERS = ("value", "margin")
LEAST = {"clause": 8, "what": 14, "limit": 8}
"""Columns that may wrap, and the width that they keep in a narrow terminal."""
MARKS = {"memory": "*", "reading": "†"}
"""Stands behind a limit whose text was not seen, or has no such figure."""


def tables(report: Report, units: str = "si") -> RenderableType:
    """All that a report says, one table a vehicle; findings that are alike share a row."""
    parts: list[RenderableType] = [Text(f"{report.circuit}: {report.title}", style="bold underline")]
    notes: list[str] = []
    for unit in dict.fromkeys(finding.unit for finding in report.findings):
        judged = [f for f in report.findings if f.unit == unit and f.verdict != NOT_JUDGED]
        if judged:
            parts += [Text(), _judged(unit, judged, notes, units)]
    parts += [Text(f"({k}) {restate(note, units)}", style="dim") for k, note in enumerate(notes, 1)]
    if open_ones := [finding for finding in report.findings if finding.verdict == NOT_JUDGED]:
        parts += [Text(), _not_judged(open_ones, units)]
    parts += [Text(), Text(summary(report), style="bold"), _provenance(report)]
    parts += [Text(line, style="dim") for line in (*report.notes, *CAUTIONS)]
    return Group(*parts)


def summary(report: Report) -> str:
    """``26 met, 1 missed, 6 not judged.``"""
    return ", ".join(f"{report.count(verdict)} {words}" for verdict, words in VERDICTS.items()) + "."


def margin_in_words(finding: Finding, units: str = "si") -> str:
    """``0.205 s``, negative outside the limit, ``-`` without a value."""
    if finding.margin is None or finding.limit is None:
        return "-"
    return express(finding.margin, _difference(finding.limit.dimension), units)


def value_in_words(finding: Finding, units: str = "si") -> str:
    """``0.245 s``, ``-`` without a value."""
    if finding.value is None or finding.limit is None:
        return "-"
    return express(finding.value, finding.limit.dimension, units)


def _difference(dimension: str) -> str:
    return "pressure_difference" if dimension == "pressure" else dimension


def _judged(unit: str, findings: Sequence[Finding], notes: list[str], units: str) -> Table:
    table = _table(unit.replace(".", " ").replace("_", " ") or "Procedures")
    for head in HEADS:
        side: Literal["left", "right"] = "right" if head in NUMBERS else "left"
        table.add_column(
            Text(head), justify=side, no_wrap=head not in LEAST, min_width=LEAST.get(head), overflow="fold"
        )
    for _, group in groupby(findings, key=lambda finding: _shown(finding, units)):
        alike = list(group)
        first = alike[0]
        if first.why and first.why not in notes:
            notes.append(first.why)
        note = f" ({notes.index(first.why) + 1})" if first.why else ""
        what = restate(first.what, units) + (f", and {len(alike) - 1} alike" if len(alike) > 1 else "")
        verdict = Text("MISSED", style="bold red") if first.verdict == MISSED else Text("met")
        cells = (first.clause, what, _limit(first, units), value_in_words(first, units), margin_in_words(first, units))
        table.add_row(*map(Text, cells), verdict + Text(note))
    return table


def _limit(finding: Finding, units: str) -> str:
    if finding.limit is None:
        return "-"
    return finding.limit.told(units) + (f" {mark}" if (mark := MARKS.get(finding.limit.source)) else "")


def _shown(finding: Finding, units: str) -> tuple[object, ...]:
    """What a row shows beside the name of the part: findings that agree in it share the row."""
    return finding.clause, finding.limit, value_in_words(finding, units), finding.verdict, finding.why, finding.picture


def _not_judged(findings: Sequence[Finding], units: str) -> Table:
    table = _table("Not judged")
    for head in ("clause", "what", "why"):
        table.add_column(Text(head), min_width=LEAST.get(head), overflow="fold")
    for finding in findings:
        unit = f"{finding.unit.replace('_', ' ')}: " if finding.unit else ""
        table.add_row(Text(finding.clause), Text(f"{unit}{finding.what}"), Text(restate(finding.why, units)))
    return table


def _provenance(report: Report) -> Text:
    """What the marks behind limits mean."""
    used = {finding.limit.source for finding in report.findings if finding.limit}
    told = {source: f"{mark} limit: {SOURCES[source]}" for source, mark in MARKS.items()}
    told["seen"] = f"without a mark: {SOURCES['seen']}"
    return Text("; ".join(words for source, words in told.items() if source in used), style="dim")


def _table(title: str) -> Table:
    return Table(
        title=Text(title), title_justify="left", title_style="bold", box=None, pad_edge=False, padding=(0, 2, 0, 0)
    )
