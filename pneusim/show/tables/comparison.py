"""Tables of a comparison: what a terminal and a notebook show of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Component
from pneusim.quantities import digits, express, unit_of
from pneusim.results.comparison.channels import furthest
from pneusim.results.comparison.comparison import Comparison
from pneusim.results.comparison.measures import MeasureDifference, threshold_in_words
from pneusim.results.comparison.parting import grouped, in_words
from pneusim.results.comparison.runs import RunComparison
from pneusim.results.restate import restate
from pneusim.results.run import CAUTION, MeasureResult, Run
from pneusim.results.words import amount, listed, measure_words, places

NONE = "-"

MOST = 25
"""So many rows of a table are shown, unless all are wanted."""

FURTHEST = {"pressure": "Pressures", "force": "Forces"}
"""Dimensions whose channels are told where they are furthest apart."""

MOST_FURTHEST = 4
"""So many channels of a dimension."""


@dataclass(frozen=True)
class Sheet:
    """A heading, sentences below it, and a table, of which ``left_out`` rows are not shown."""

    title: str
    sentences: Sequence[str] = ()
    head: Sequence[str] = ()
    rows: Sequence[Sequence[str]] = ()
    left_out: int = 0
    file: str = ""
    """The file that has them all."""
    top: bool = False
    """Whether it begins a new subject."""

    @property
    def more(self) -> str:
        """What stands below a table that is cut."""
        return f"and {self.left_out} more; --all shows all, {self.file} has all" if self.left_out else ""


def tables(comparison: Comparison, units: str = "si", *, everything: bool = False) -> RenderableType:
    """The whole comparison for a terminal; ``everything`` leaves nothing out."""
    parts: list[RenderableType] = []
    for sheet in sheets(comparison, units, everything=everything):
        parts += [Text(sheet.title, style="bold underline" if sheet.top else "bold")]
        parts += [Padding(Text(sentence), (0, 0, 0, 2), expand=False) for sentence in sheet.sentences]
        if sheet.rows:
            parts.append(_table(sheet))
        parts += [Text(sheet.more, style="dim")] if sheet.more else []
        parts.append(Text())
    return Group(*parts, Text(CAUTION, style="dim"))


def _table(sheet: Sheet) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for head in sheet.head:
        numbers = head.endswith("[s]") or head in ("B - A", "of A")
        table.add_column(Text(head), justify="right" if numbers else "left", overflow="fold", no_wrap=numbers)
    for row in sheet.rows:
        table.add_row(*map(Text, row))
    return table


def sheets(comparison: Comparison, units: str = "si", *, everything: bool = False) -> Iterator[Sheet]:
    """The comparison in sheets: the description, then every scenario."""
    most = None if everything else MOST
    yield _description(comparison, units, most)
    yield from _scenario_changes(comparison, units, most)
    for run in comparison.scenarios:
        yield _story(run, units, _other_test(comparison, run))
        yield from _turned(run, units)
        yield from _measures(run, units, everything, most)
        yield from _only(run, units, most)
        yield from _events(run, units, everything, most)
        yield from _furthest(run, units)
    only = {"A": comparison.only_a, "B": comparison.only_b}
    left = [f"Only {side} has: {', '.join(names)}." for side, names in only.items() if names]
    if not comparison.scenarios:
        left.insert(0, "No scenario is in both.")
    if left:
        yield Sheet("Scenarios not compared", left, top=True)


def _cut(
    title: str, head: Sequence[str], rows: Sequence[Sequence[str]], file: str, most: int | None,
    sentences: Sequence[str] = (),
) -> Sheet:  # fmt: skip
    shown = rows[:most]
    return Sheet(title, sentences, head, shown, len(rows) - len(shown), file)


def _description(comparison: Comparison, units: str, most: int | None) -> Sheet:
    found = [change for change in comparison.changes if change.section != "scenarios"]
    rows = [(change.section, change.what, *change.in_words(units)) for change in found]
    sides = [f"A  {comparison.a}", f"B  {comparison.b}"]
    if comparison.scenarios:
        runs = comparison.scenarios[0].a, comparison.scenarios[0].b
        sides = [f"{words}: {run.circuit.title}" for words, run in zip(sides, runs)]
    if not found:
        sides.append("The descriptions are the same.")
    cut = _cut("", ("", "what", "A", "B"), rows, "description.csv", most)
    return Sheet("A and B", sides, cut.head, cut.rows, cut.left_out, cut.file, top=True)


def _scenario_changes(comparison: Comparison, units: str, most: int | None) -> Iterator[Sheet]:
    rows = [(c.what, *c.in_words(units)) for c in comparison.changes if c.section == "scenarios"]
    if rows:
        yield _cut("What the scenarios do differently", ("what", "A", "B"), rows, "description.csv", most)


def _other_test(comparison: Comparison, run: RunComparison) -> str:
    """A warning if the scenarios begin otherwise or do something else, "" if they do not."""
    heads = tuple(f"{run.a.scenario.name}.{part}" for part in ("begin.", "step_"))
    count = sum(change.section == "scenarios" and change.what.startswith(heads) for change in comparison.changes)
    if not count:
        return ""
    things = "1 thing differs" if count == 1 else f"{count} things differ"
    return f"Beware: this is not the same test of both: {things} in how it begins and in its steps (see above)."


def _story(run: RunComparison, units: str, warning: str) -> Sheet:
    """How they part, and what must be known first."""
    told = [warning] if warning else []
    for side, one in (("A", run.a), ("B", run.b)):
        if one.status != "ok":
            told.append(f"{side} failed and stops at {one.span[1]:.2f} s: {restate(one.message, units)}")
    if abs(run.by) >= 5e-3:
        told.append(f"B is moved by {run.by:+.2f} s so that the first step of both coincides; times are those of A.")
    if abs(run.a.span[1] - run.b.span[1] - run.by) >= 5e-3:
        ends = min(run.a.span[1], run.b.span[1] + run.by)
        told.append(f"One lasts longer than the other: events and channels are compared until {ends:.2f} s.")
    title = run.a.scenario.title
    head = f"{run.name}: {title}" if title and run.a.scenario.name == run.b.scenario.name else run.name
    return Sheet(head, [*told, *run.parting(units)], top=True)


def _turned(run: RunComparison, units: str) -> Iterator[Sheet]:
    rows = []
    for one in run.turned:
        if one.a is not None and one.b is not None:
            limits = dict.fromkeys(restate(x.limit, units) for x in (one.a, one.b))
            verdicts = [f"{_value(x, units)}: {'met' if x.met else 'NOT MET'}" for x in (one.a, one.b)]
            rows.append((measure_words(run.a, one.name, units), "; ".join(limits), *verdicts))
    if rows:
        yield Sheet("Limits met in one and missed in the other", (), ("measure", "limit", "A", "B"), rows)


def _measures(run: RunComparison, units: str, everything: bool, most: int | None) -> Iterator[Sheet]:
    common = [one for one in run.measures if one.common]
    found = common if everything else sorted((one for one in common if one.telling), key=_rank)
    rows = _merged(run.a, [(one, _cells(one, units)) for one in found], units)
    if everything:
        title, words = f"All measures that both have: {len(common)}", ""
    else:
        title = f"Measures that differ: {len(found)} of {len(common)}"
        words = f"Counted are differences {threshold_in_words(run.measures, units)}."
    if common:
        yield _cut(title, ("measure", "A", "B", "B - A", "of A"), rows, "measures.csv", most, [words] if words else ())


def _rank(one: MeasureDifference) -> float:
    """A value in one run only comes first, then the differences by how far they are above the threshold."""
    if one.difference is None:
        return float("-inf")
    return -abs(one.difference) / one.threshold if one.threshold else float("-inf")


def _cells(one: MeasureDifference, units: str) -> tuple[str, ...]:
    share = "" if one.share is None else f"{'-' if one.share < 0.0 else '+'}{digits(100.0 * abs(one.share))} %"
    values = (_value(result, units) for result in (one.a, one.b))
    return (*values, _difference(one.difference, one.dimension, units), share)


def _value(result: MeasureResult | None, units: str) -> str:
    if result is None or result.value is None:
        return NONE
    error = f" ± {express(result.error, result.dimension, units)}" if result.error is not None else ""
    return amount(result.value, result.dimension, units) + error


def _difference(value: float | None, dimension: str, units: str) -> str:
    """A difference with its sign; of shares in points of per cent."""
    if value is None:
        return ""
    unit = unit_of(dimension, units)
    number = digits(abs(value) / unit.factor)
    symbol = "points" if dimension == "fraction" else unit.symbol
    return f"{'-' if value < 0.0 else '+'}{number} {symbol}".rstrip() if number != "0" else "0"


def _merged(
    run: Run, found: Sequence[tuple[MeasureDifference, tuple[str, ...]]], units: str
) -> list[tuple[str, ...]]:
    """Rows, measures in words; brakes of one vehicle with the same cells share one."""
    groups: dict[tuple[str, str, str, tuple[str, ...]], list[str]] = {}
    for one, cells in found:
        words, brake = measure_words(run, one.name, units), _brake(run, one.name)
        noun, _, rest = words.partition(" of ") if brake else ("", "", words)
        what = rest.partition(": ")[2] if brake else words
        groups.setdefault((brake.unit if brake else "", noun, what, cells), []).append(brake.name if brake else "")
    return [
        (f"{noun}{'s' if len(owners) > 1 else ''} of {places(run, owners)}: {what}" if noun else what, *cells)
        for (_, noun, what, cells), owners in groups.items()
    ]


def _brake(run: Run, name: str) -> Component | None:
    """The brake that an automatic measure is of."""
    words = name.split(".")
    found = (run.circuit.components.get(".".join(words[:k])) for k in (1, 2))
    return next((component for component in found if component is not None and component.type in ACTUATORS), None)


def _only(run: RunComparison, units: str, most: int | None) -> Iterator[Sheet]:
    rows = []
    for side, owner in (("A", run.a), ("B", run.b)):
        found = [one for one in run.measures if not one.common and (one.b is None) == (side == "A")]
        cells = [(one, (_value(one.a or one.b, units),)) for one in found]
        rows += [(side, *row) for row in _merged(owner, cells, units)]
    if rows:
        yield _cut("Measures only in one", ("in", "measure", "value"), rows, "measures.csv", most)


def _events(run: RunComparison, units: str, everything: bool, most: int | None) -> Iterator[Sheet]:
    rows = []
    for group in grouped([pair for pair in run.events if everything or pair.parted]):
        pair = group[0]
        times = [NONE if one is None else f"{one.time:.2f}" for one in (pair.a, pair.b)]
        late = "" if pair.difference is None else f"{pair.difference:+.2f}"
        owner = run.a if pair.event is pair.a else run.b
        words = in_words(owner, group)
        if pair.a is not None and pair.b is not None and pair.event.category == "step" and pair.a.text != pair.b.text:
            words = f"A: {pair.a.text}; B: {pair.b.text}"
        rows.append((*times, late, restate(words, units)))
    if rows:
        title = "All events" if everything else "Events that come in one only, or at another time"
        yield _cut(title, ("A [s]", "B [s]", "B - A [s]", "what"), rows, "events.csv", most)


def _furthest(run: RunComparison, units: str) -> Iterator[Sheet]:
    """Channels with their largest difference; of those that are as far apart at the same time one stands for all."""
    rows: list[tuple[str, ...]] = []
    for dimension in FURTHEST:
        seen: dict[tuple[str, ...], tuple[str, ...]] = {}
        for one in furthest(run.channels, dimension):
            if one.difference and len(seen) < MOST_FURTHEST:
                values = tuple(amount(value, dimension, units) for value in (one.a, one.b))
                seen.setdefault((f"{one.time:.1f}", *values), (one.label, f"{one.time:.2f}", *values))
        rows += seen.values()
    if rows:
        title = f"{listed([*FURTHEST.values()])} where they are furthest apart"
        yield Sheet(title.capitalize(), (), ("channel", "at [s]", "A", "B"), rows)
