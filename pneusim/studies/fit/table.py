"""Reads a file of measured columns: ``name [unit]`` over numbers; every fault with line and column."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from pneusim import quantities
from pneusim.errors import Place
from pneusim.quantities import QuantityError
from pneusim.reading.faults import Faults, listed, nearest

Floats = npt.NDArray[np.float64]

MOST_BYTES = 100_000_000
_HEAD = re.compile(r"(.*?)\s*\[([^\]]*)\]")
_SEPARATORS = ("\t", ";", ",")
_CODES = {"form": "U01", "bare": "U02", "unit": "U03", "plain": "U04", "absolute": "U05", "range": "U06"}


@dataclass(frozen=True)
class Head:
    """The head of a column: its name, its unit ("" if it has none), its number from 0, and where it stands."""

    name: str
    unit: str
    number: int
    place: Place


@dataclass(frozen=True)
class Column:
    """A column of numbers [SI]; where a cell is empty it is nan."""

    head: Head
    dimension: str
    values: Floats


class Table:
    """A text of measured columns, separated by commas, semicolons or tabs; lines that begin with ``#`` are remarks.

    Where the separator is not a comma, numbers may have a decimal comma.
    """

    def __init__(self, text: str, name: str, faults: Faults) -> None:
        self.name, self.faults = name, faults
        self.heads: dict[str, Head] = {}
        self._rows: list[tuple[int, list[str]]] = []
        text = text.removeprefix("\ufeff")
        faults.source(name, text)
        lines = [(n, line) for n, line in enumerate(text.splitlines(), 1) if line.strip() and line[0] != "#"]
        if len(lines) < 2:
            fix = "write 'time [s],pressure [bar]' and numbers below"
            self._report("S09", Place(name, 1, 1), "the file holds no heads with numbers below them", fix)
            return
        self._separator = next((s for s in _SEPARATORS if s in lines[0][1]), ",")
        self._read_heads(*lines[0])
        self._rows = [(n, line.split(self._separator)) for n, line in lines[1:]]
        self._check_widths(len(lines[0][1].split(self._separator)))

    @property
    def lines(self) -> list[int]:
        """Line of every row in the file."""
        return [line for line, _ in self._rows]

    def place(self, row: int, head: Head) -> Place:
        """Where a number stands."""
        line, cells = self._rows[row]
        return Place(self.name, line, _column(cells, head.number))

    def column(self, head: Head, dimension: str, ambient: float) -> Column | None:
        """The numbers of a column in SI; None if its unit does not do or a cell is no number."""
        scale = self._scale(head, dimension, ambient)
        numbers = self._numbers(head)
        if scale is None or numbers is None:
            return None
        zero, factor = scale
        return Column(head, dimension, zero + factor * numbers)

    def unknown(self, name: str) -> tuple[str, str]:
        """What to say of a column that is not there, and what to do."""
        near = nearest(name, self.heads)
        fix = f"write {near!r}" if near else f"use one of {listed(self.heads)}"
        return f"{self.name} has no column {name!r}", fix

    def _read_heads(self, line: int, text: str) -> None:
        cells = text.split(self._separator)
        for number, cell in enumerate(cells):
            place = Place(self.name, line, _column(cells, number))
            bare = cell.strip().strip('"').strip()
            found = _HEAD.fullmatch(bare)
            name, unit = (found[1], found[2].strip()) if found else (bare, "")
            if name in self.heads:
                self._report("N02", place, f"two columns are called {name!r}", "rename one of them")
            self.heads.setdefault(name, Head(name, unit, number, place))

    def _check_widths(self, width: int) -> None:
        for line, cells in self._rows:
            if len(cells) != width:
                problem = f"the row has {len(cells)} cells, and there are {width} heads"
                fix = "write one number below each head"
                if self._separator == "," and len(cells) > width:
                    fix += "; decimal commas need ';' between the columns"
                self._report("U01", Place(self.name, line, 1), problem, fix)

    def _scale(self, head: Head, dimension: str, ambient: float) -> tuple[float, float] | None:
        """What a number is in SI: a zero and a factor."""
        unit = "" if head.unit == "1" and dimension in ("fraction", "number") else f" {head.unit}"
        if not head.unit:
            fix = f"write '{head.name} [unit]', the unit of {quantities.allowed(dimension)}"
            self._report("U02", head.place, f"the column {head.name!r} has no unit", fix)
            return None
        try:
            zero, one = (quantities.parse(f"{n}{unit}", dimension, ambient) for n in (0, 1))
        except QuantityError as error:
            words = quantities.DIMENSIONS[dimension].words
            problem = f"the column {head.name!r} has the unit {head.unit!r}, and it is {words}"
            self._report(_CODES[error.kind], head.place, problem, error.fix)
            return None
        return zero, one - zero

    def _numbers(self, head: Head) -> Floats | None:
        values = np.full(len(self._rows), np.nan)
        good = True
        for row, (_, cells) in enumerate(self._rows):
            text = cells[head.number].strip() if head.number < len(cells) else ""
            if not text:
                continue
            values[row] = number = _number(text, self._separator)
            if not math.isfinite(number):
                good = False
                problem = f"{text!r} in the column {head.name!r} is no number"
                self._report("U01", self.place(row, head), problem, "write a number, or leave the cell empty")
        return values if good else None

    def _report(self, code: str, place: Place, problem: str, fix: str) -> None:
        self.faults.report(code, place, "measured", problem, fix)


def read_table(path: Path, faults: Faults, shown: str = "") -> Table | None:
    """The table of a file; None if it cannot be read."""
    name = shown or str(path)
    place = Place(name, 1, 1)
    try:
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
        text = data.decode("utf-8")
    except OSError as error:
        problem = f"the file cannot be opened: {(error.strerror or 'unknown reason').lower()}"
        faults.report("F06", place, "measured", problem, "name a file that exists and may be read")
        return None
    except UnicodeDecodeError:
        faults.report("Y14", place, "measured", "the file is not UTF-8", "save the file as UTF-8")
        return None
    if len(data) > MOST_BYTES:
        faults.report("Y07", place, "measured", f"the file is larger than {MOST_BYTES} bytes", "leave rows out")
        return None
    return Table(text, name, faults)


def _column(cells: Sequence[str], number: int) -> int:
    """Where a cell begins in its line, from 1."""
    before = sum(len(cell) + 1 for cell in cells[:number])
    cell = cells[number]
    return 1 + before + len(cell) - len(cell.lstrip())


def _number(text: str, separator: str) -> float:
    """The number of a cell; nan if it is none."""
    if separator != ",":
        text = text.replace(",", ".")
    try:
        return float(text)
    except ValueError:
        return math.nan
