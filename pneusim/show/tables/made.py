"""What tables of a run are made with: their look, rows of plain text, numbers in the units asked for."""

from __future__ import annotations

from rich.table import Table
from rich.text import Text

from pneusim.quantities import digits, unit_of
from pneusim.results.run import MeasureResult

NONE = "-"
"""A measure without a value; the reasons are in measures.csv and summary.json."""


def titled(title: str) -> Table:
    """An empty table with its title at the left."""
    return Table(
        title=Text(title), title_justify="left", title_style="bold", box=None, pad_edge=False, padding=(0, 2, 0, 0)
    )


def add(table: Table, *cells: str | Text) -> None:
    """A row whose texts are taken as they are: names may hold brackets."""
    table.add_row(*(Text(cell) if isinstance(cell, str) else cell for cell in cells))


def in_units(value: float, dimension: str, units: str) -> str:
    """A value without its unit, with two decimals at most."""
    unit = unit_of(dimension, units)
    return digits(round((value - unit.offset) / unit.factor, 2))


def number(result: MeasureResult | None, units: str) -> str:
    """A measure without its unit, or that it has no value."""
    return NONE if result is None or result.value is None else in_units(result.value, result.dimension, units)
