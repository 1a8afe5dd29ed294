"""A sweep for the terminal: measures, limits with yields and worst cases, what the measures depend on, failed cases."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from pneusim.quantities import DIMENSIONS, digits, express, unit_of
from pneusim.reading.faults import listed
from pneusim.results.measures.expectations import limit_in_words
from pneusim.results.run import CAUTION
from pneusim.studies.outcome import FAILED
from pneusim.studies.sweep.parameter import NORMAL, Parameter
from pneusim.studies.sweep.plans import GRID, LIST
from pneusim.studies.sweep.result import Sweep, WorstCase, limit_key
from pneusim.studies.sweep.statistics import Correlation, Index

NONE = "-"

MOST_VALUES = 6
"""So many values of a list are told."""

MOST_FAILED = 10
"""So many failed cases are told; table.csv has all."""

MOST_TOLD = 8
"""So many axes are told for a measure; summary.json has all."""


def tables(sweep: Sweep, units: str = "si") -> RenderableType:
    """All tables of a sweep, one below the other; without rows a table is left out."""
    study = sweep.study
    seed = "" if study.plan.kind in (GRID, LIST) else f", seed {study.plan.seed}"
    plan = f"{study.plan.kind.replace('_', ' ')}{seed}, relative tolerance {study.rtol:g}"
    parts: list[RenderableType | None] = [
        _varied(sweep, units),
        _measures(sweep, units),
        _limits(sweep, units),
        _dependence(sweep),
        _worst(sweep, units),
        _failed(sweep),
    ]
    head = Text(f"{study.title}: {len(sweep.outcomes)} cases of {study.circuit.title}, {plan}", style="bold underline")
    shown = (piece for part in parts if part is not None for piece in (Text(), part))
    return Group(head, *shown, Text(), Text(CAUTION, style="dim"))


def in_words(value: Any, dimension: str, units: str) -> str:
    """A value of an axis or a measure with its unit; words as they are."""
    if value is None:
        return NONE
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return value
    return express(value, dimension, units) if dimension in DIMENSIONS else digits(value)


def _table(title: str, left: str, *right: str) -> Table:
    table = Table(title=title, title_justify="left", title_style="bold italic", box=None, pad_edge=False)
    table.add_column(left, overflow="fold")
    for head in right:
        table.add_column(Text(head), justify="right", no_wrap=True)
    return table


def _varied(sweep: Sweep, units: str) -> RenderableType:
    """What varies, between what, and how it is spread."""
    lines = []
    for parameter in sweep.study.parameters:
        same = len(set(parameter.nominal)) == 1
        nominal = f"nominal {in_words(parameter.nominal[0], parameter.dimension, units)}" if same else ""
        told = filter(None, (_between(parameter, units), *_spread(sweep, parameter, units), nominal))
        lines.append(Text(f"{parameter.name}: {', '.join(told)}"))
    return Group(Text("Varied", style="bold italic"), *lines)


def _between(parameter: Parameter, units: str) -> str:
    if parameter.values:
        return listed([in_words(value, parameter.dimension, units) for value in parameter.values], MOST_VALUES)
    low, high = min(spread.low for spread in parameter.spreads), max(spread.high for spread in parameter.spreads)
    return f"{in_words(low, parameter.dimension, units)} to {in_words(high, parameter.dimension, units)}"


def _spread(sweep: Sweep, parameter: Parameter, units: str) -> Iterator[str]:
    """``in 3 steps``, ``normal with sigma 1.7 mm``, ``4 paths each on its own``."""
    drawn = sweep.study.plan.kind not in (GRID, LIST)
    if parameter.spreads and not drawn:
        yield f"in {parameter.steps} steps"
    if drawn and parameter.spreads:
        sigmas = {spread.sigma for spread in parameter.spreads}
        told = parameter.spreads[0].kind
        if told == NORMAL and len(sigmas) == 1 and parameter.dimension != "temperature":
            difference = "pressure_difference" if parameter.dimension == "pressure" else parameter.dimension
            told += f" with sigma {in_words(sigmas.pop(), difference, units)}"
        yield told
    if len(parameter.paths) > 1:
        share = parameter.correlation if drawn else 1.0
        how = {1.0: "together", 0.0: "each on its own"}.get(share, f"correlated by {100.0 * share:g} %")
        yield f"{len(parameter.paths)} paths {how}"


def _measures(sweep: Sweep, units: str) -> Table:
    table = _table("Measures", "measure", "nominal", "mean", "deviation", "least", "median", "most", "none")
    for name, found in sweep.summaries.items():
        unit = unit_of(sweep.dimension(name), units)
        values = (sweep.nominal.measures.get(name), found.mean, None, found.low, found.median, found.high)
        cells = [NONE if value is None else digits((value - unit.offset) / unit.factor) for value in values]
        if found.deviation is not None:
            cells[2] = digits(found.deviation / unit.factor)
        table.add_row(Text(f"{name} [{unit.symbol}]" if unit.symbol else name), *cells, str(found.missing or ""))
    return table


def _limits(sweep: Sweep, units: str) -> Table | None:
    study = sweep.study
    if not study.limits:
        return None
    heads = ["share", f"{100.0 * study.confidence:g} % interval"] if study.drawn else []
    table = _table("Limits", "measure", "limit", "kept", *heads)
    rows = {limit_key(limit): limit for limit in study.limits}
    for key, found in sweep.yields.items():
        limit = rows.get(key)
        name = limit.measure if limit else "all of them"
        told = limit_in_words(limit, sweep.dimension(name), units) if limit else ""
        cells = [f"{found.kept} of {found.cases}"]
        if found.low is not None and found.high is not None:  # else a share of points is no probability
            cells += [f"{100.0 * found.share:.1f} %", f"{100.0 * found.low:.1f} to {100.0 * found.high:.1f} %"]
        table.add_row(name, told, *cells)
    return table


def _dependence(sweep: Sweep) -> RenderableType | None:
    """What each measure depends on: Sobol's indices where the plan is made for them, else rank correlations."""
    lines = []
    for measure in sweep.study.measures:
        indices, rhos = sweep.indices.get(measure, {}), sweep.correlations.get(measure, {})
        strong = {axis: (abs(rho.value), _rho(rho)) for axis, rho in rhos.items() if rho.told}
        found = {axis: (index.total, _index(index)) for axis, index in indices.items()} or strong
        told = sorted(found, key=lambda axis: -found[axis][0])[:MOST_TOLD]
        if indices or rhos:
            words = ", ".join(f"{axis} {found[axis][1]}" for axis in told)
            lines.append(Text(f"{measure}: {words or 'nothing that is told from 0'}"))
    share = f"{100.0 * sweep.study.confidence:g} %"
    title = f"Partial rank correlations with their {share} intervals, if these leave out 0"
    if any(sweep.indices.values()):
        title = f"Sobol's indices: alone / in all, +- half of the {share} interval"
    return Group(Text(title, style="bold italic"), *lines) if lines else None


def _rho(rho: Correlation) -> str:
    """``+0.97 (+0.96 to +0.98)``."""
    return f"{rho.value:+.2f} ({rho.low:+.2f} to {rho.high:+.2f})"


def _index(index: Index) -> str:
    """``0.53 +-0.21 / 0.51 +-0.18``."""
    return f"{index.first:.2f} +-{index.first_half_width:.2f} / {index.total:.2f} +-{index.total_half_width:.2f}"


def _worst(sweep: Sweep, units: str) -> RenderableType | None:
    lines = []
    for case in sweep.worst:
        dimension = sweep.dimension(case.limit.measure)
        axes = (f"{a} {in_words(value, sweep.dimension(a), units)}" for a, value in case.values.items())
        limit = limit_in_words(case.limit, dimension, units)
        value = worst_in_words(case, dimension, units)
        lines.append(Text(f"{case.limit.measure}, {limit}: {value}; with {', '.join(axes)}"))
    title = f"Worst cases found, with {sweep.study.worst.cases if sweep.study.worst else 0} cases for each limit"
    return Group(Text(title, style="bold italic"), *lines) if lines else None


def worst_in_words(case: WorstCase, dimension: str, units: str) -> str:
    """The value of a worst case, and whether it misses the limit."""
    if case.value is None:
        return "no value: missed"
    return in_words(case.value, dimension, units) + (", missed" if (case.margin or 0.0) < 0.0 else "")


def _failed(sweep: Sweep) -> RenderableType | None:
    failed = [outcome for outcome in sweep.outcomes if outcome.status == FAILED]
    if not failed:
        return None
    told = [Text(f"case {outcome.name}: {outcome.message}") for outcome in failed[:MOST_FAILED]]
    if len(failed) > MOST_FAILED:
        told.append(Text(f"and {len(failed) - MOST_FAILED} more; table.csv has all"))
    return Group(Text("Failed cases", style="bold italic"), *told)
