"""A fit for the terminal: values with intervals, columns with residuals, correlations, searches, warnings."""

from __future__ import annotations

import numpy as np
from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from pneusim.quantities import Unit, express_in, unit_of
from pneusim.results.run import CAUTION
from pneusim.studies.fit.result import Estimate, Fitted
from pneusim.studies.fit.warnings import AS_GOOD

NONE = "-"


def tables(fitted: Fitted, units: str = "si") -> RenderableType:
    """All tables of a fit, one below the other."""
    fit = fitted.fit
    head = f"{fit.title}: {len(fit.unknowns)} unknowns, {fit.size} measured values of {fit.circuit.title}"
    parts: list[RenderableType | None] = [
        _values(fitted, units),
        _columns(fitted, units),
        _correlations(fitted),
        _searches(fitted),
    ]
    if fitted.warnings:
        parts.append(Group(Text("Beware", style="bold italic"), *(Text(f"- {told}") for told in fitted.warnings)))
    shown = (piece for part in parts if part is not None for piece in (Text(), part))
    return Group(Text(head, style="bold underline"), *shown, Text(), Text(CAUTION, style="dim"))


def _table(title: str, left: str, *right: str) -> Table:
    table = Table(title=title, title_justify="left", title_style="bold italic", box=None, pad_edge=False)
    table.add_column(left, overflow="fold")
    for head in right:
        table.add_column(Text(head), justify="right", no_wrap=True)
    return table


def number(value: float, unit: Unit, digits: int = 4) -> str:
    """A value in a unit, in so many significant digits."""
    return f"{(value - unit.offset) / unit.factor:.{digits}g}"


def _values(fitted: Fitted, units: str) -> Table:
    share = f"{100.0 * fitted.fit.confidence:g} % interval"
    table = _table("Fitted", "parameter", "value", share, "deviation", "start", "bounds")
    for estimate in fitted.estimates:
        unknown, unit = estimate.unknown, unit_of(estimate.unknown.dimension, units)
        name = f"{estimate.name} [{unit.symbol}]" if unit.symbol else estimate.name
        bounds = f"{number(unknown.low, unit)} to {number(unknown.high, unit)}"
        table.add_row(Text(name), *_told(estimate, unit), number(unknown.start, unit), bounds)
    return table


def _told(estimate: Estimate, unit: Unit) -> tuple[str, str, str]:
    """Value, interval and deviation, to the digits that the deviation leaves meaning."""
    if estimate.low is None or estimate.high is None or estimate.deviation is None:
        why = f"on its {estimate.bound} bound" if estimate.bound else "cannot be told"
        return number(estimate.value, unit), why, NONE
    deviation = estimate.deviation / unit.factor
    places = 1 - int(np.floor(np.log10(deviation))) if deviation > 0.0 else 4
    value, low, high = ((end - unit.offset) / unit.factor for end in (estimate.value, estimate.low, estimate.high))
    places = min(max(places, 0), 12)
    return f"{value:.{places}f}", f"{low:.{places}f} to {high:.{places}f}", f"{deviation:.2g}"


def _columns(fitted: Fitted, units: str) -> Table:
    table = _table("Residuals", "column", "channel", "values", "spread", "noise given", "Durbin-Watson")
    for found in fitted.comparisons:
        trace, unit = found.trace, unit_of(found.trace.dimension, units)._replace(offset=0.0)
        noise = express_in(trace.noise, unit) if trace.noise else NONE
        spread = express_in(found.spread, unit)
        table.add_row(
            Text(trace.column), trace.channel, str(len(trace.values)), spread, noise, f"{found.durbin_watson:.2f}"
        )
    if fitted.fit.left_out:
        table.caption = f"{fitted.fit.left_out} rows outside the run or the window are left out"
        table.caption_justify = "left"
    return table


def _correlations(fitted: Fitted) -> Table | None:
    names = [estimate.name for estimate in fitted.estimates]
    if len(names) < 2:
        return None
    table = _table("Correlations", "", *names[:-1])
    for k, name in enumerate(names[1:], 1):
        row = [fitted.certainty.correlations[k, i] for i in range(k)]
        table.add_row(Text(name), *(f"{value:+.2f}" if np.isfinite(value) else NONE for value in row))
    return table


def _searches(fitted: Fitted) -> Text:
    best = fitted.ends[0]
    same = sum(end.cost < AS_GOOD * best.cost for end in fitted.ends)
    runs = sum(end.runs for end in fitted.ends)
    count = len(fitted.ends)
    told = f"{same} of {count} searches came to this sum of squares" if count > 1 else "one search"
    return Text(f"{told}, {runs} runs")
