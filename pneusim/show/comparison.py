"""A comparison in a notebook, and as files: tables, both runs in one figure, and the page that plays both."""

from __future__ import annotations

from pathlib import Path

from pneusim.errors import UsageError
from pneusim.results.comparison.comparison import Comparison
from pneusim.results.comparison.report import files
from pneusim.results.comparison.runs import RunComparison
from pneusim.results.store import write_files
from pneusim.show.figures.groups import GROUPS, SAVED
from pneusim.show.figures.plots import OVERVIEW, SAVED_AS, plot
from pneusim.show.markup import Html, html, image, plain_table, tag, text
from pneusim.show.notebook import DPI
from pneusim.show.replay.page import replay
from pneusim.show.tables.comparison import Sheet, sheets


def save(comparison: Comparison, folder: Path, units: str = "si") -> list[str]:
    """Write all files of a comparison into a folder; return what could not be drawn, in sentences.

    Raises
    ------
    UsageError
        If nothing can be written there.
    """
    write_files(folder, files(comparison))
    return [told for run in comparison.scenarios for told in _pictures(run, folder / run.folder, units)]


def _pictures(run: RunComparison, folder: Path, units: str) -> list[str]:
    folder.mkdir(exist_ok=True)
    if not all(one.span[0] < one.span[1] for one in (run.a, run.b)):
        return [f"{run.name}: there are no pictures, for a run failed at once"]
    for name, groups in _views(run).items():
        figure = plot(run.a, *groups, beside=run.b, units=units)
        for kind in SAVED_AS:
            figure.save(folder / f"{name}.{kind}")
    try:
        replay(run.a, run.b, units).save(folder / "replay.html")
    except UsageError as error:
        return [f"{run.name}: there is no replay.html: {error}"]
    return []


def _views(run: RunComparison) -> dict[str, tuple[str, ...]]:
    """The figures by name with their groups: those that both runs have curves of."""
    shown = [name for name in SAVED if all(GROUPS[name].curves(one, *one.span) for one in (run.a, run.b))]
    return ({OVERVIEW: tuple(shown)} if shown else {}) | {name: (name,) for name in shown}


def as_html(comparison: Comparison) -> str:
    """The comparison in a notebook: its tables and, of a single scenario, the figure."""
    alone = comparison.scenarios[0] if len(comparison.scenarios) == 1 else None
    return html(*map(_sheet, sheets(comparison)), _figure(alone) if alone is not None else "")


def _figure(run: RunComparison) -> Html:
    try:
        figure = plot(run.a, beside=run.b)
    except UsageError:
        return Html()
    return image(figure.small_png(DPI), "A and B over time")


def _sheet(sheet: Sheet) -> Html:
    return html(
        tag("h4" if sheet.top else "h5", sheet.title),
        *map(text, sheet.sentences),
        plain_table(sheet.head, sheet.rows),
        text(f"and {sheet.left_out} more") if sheet.left_out else "",
    )
