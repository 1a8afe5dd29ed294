"""The section ``measured`` of a fit file: which columns of which file are held against which channels, and when."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from pneusim import quantities
from pneusim.errors import Place
from pneusim.reading.context import Context
from pneusim.reading.faults import listed, nearest
from pneusim.reading.fields import Fields, quantity_of
from pneusim.reading.targets import find_channel
from pneusim.reading.tree import Entry, MapNode, Scalar, kind_in_words
from pneusim.studies.fit.problem import OFFSET, Trace
from pneusim.studies.fit.table import Column, Table, read_table
from pneusim.studies.fit.unknown import Unknown

Floats = npt.NDArray[np.float64]

FIT = "fit"
ROOM = 0.1
"""How far the clocks may be apart if ``offset: fit`` gives no bounds, as a share of the run."""


@dataclass(frozen=True)
class Measured:
    """Traces, the offset or the unknown that stands for it, and the number of rows that are left out."""

    traces: tuple[Trace, ...]
    offset: float | Unknown
    left_out: int


@dataclass(frozen=True)
class _Wanted:
    """A column that the fit file asks for."""

    column: str
    scalar: Scalar
    dimension: str
    noise: float | None


class MeasuredReader:
    """Reads the section and the file that it names."""

    def __init__(self, section: MapNode, lasts: float, context: Context) -> None:
        self.context, self.lasts = context, lasts
        self.fields = Fields(
            section, context.faults, ("columns",), ("file", "time", "offset", "from", "to"),
            ambient=context.ambient.pressure, missing_at=section.place,
        )  # fmt: skip

    def read(self, beside: Path | None, given: Path | None) -> Measured | None:
        """What was measured; None if something is at fault.

        Parameters
        ----------
        beside : Path or None
            The fit file.
        given : Path or None
            A measured file in place of the one named.
        """
        wanted = self._columns()
        offset = self._offset()
        window = tuple(self.fields.quantity(key, "time") for key in ("from", "to"))
        table = self._table(beside, given)
        if table is None or not table.heads or offset is None:
            return None
        times = self._times(table)
        columns = [self._column(one, table) for one in wanted]
        if times is None or not columns or any(column is None for column in columns) or self.context.faults.errors:
            return None
        return self._cut(table, times, [c for c in columns if c], wanted, offset, window)

    # ---- the fit file

    def _columns(self) -> list[_Wanted]:
        section = self.fields.mapping("columns")
        if section is None:
            return []
        if not section.entries:
            self.fields.report("S02", "columns", "no column is named", "add one, such as 'tank: tank.pressure'")
        found = [self._wanted(entry) for entry in section]
        return [one for one in found if one]

    def _wanted(self, entry: Entry) -> _Wanted | None:
        node, noise, fields = entry.node, None, None
        if isinstance(node, MapNode):
            fields = Fields(node, self.context.faults, ("channel",), ("noise",), missing_at=entry.place)
            channel = fields.get("channel")
            if channel is None:
                return None
            node = channel
        if not isinstance(node, Scalar) or node.value is None:
            fix = "write the name of a channel, such as tank.pressure"
            self._report("S05", node.place, node.path, f"{entry.key!r} holds {kind_in_words(node)}", fix)
            return None
        spec = find_channel(node, self.context)
        if spec is None:
            return None
        dimension = spec.dimension if spec.dimension in quantities.DIMENSIONS else "number"
        if fields is not None and "noise" in fields:
            noise = self._noise(fields, dimension)
        return _Wanted(entry.key, node, dimension, noise)

    def _noise(self, fields: Fields, dimension: str) -> float | None:
        scalar = fields.get("noise")
        if dimension == "temperature" and isinstance(scalar, Scalar) and quantities.symbol_in(scalar.text) != "K":
            fields.report("U03", "noise", f"{scalar.text!r} is no difference of temperatures", "write it in K")
            return None
        return fields.quantity("noise", "pressure_difference" if dimension == "pressure" else dimension, above=0.0)

    def _offset(self) -> float | Unknown | None:
        """The offset, or the unknown that stands for it; None if it is at fault."""
        fields, node = self.fields, self.fields.get("offset")
        room = ROOM * self.lasts
        if node is None:
            return 0.0
        if isinstance(node, Scalar):
            if node.text == FIT:
                return Unknown(OFFSET, (), "time", -room, room, 0.0)
            return quantity_of(node, "time", self.context.faults, self.context.ambient.pressure)
        inner = fields.mapping("offset")
        if inner is None:
            return None
        bounds = Fields(inner, self.context.faults, ("from", "to"), ("start",), missing_at=inner.place)
        low, high = (bounds.quantity(key, "time") for key in ("from", "to"))
        if low is None or high is None:
            return None
        if low >= high:
            bounds.report("M08", "to", "'to' is not more than 'from'", "exchange them")
            return None
        start = bounds.quantity("start", "time", low=low, high=high)
        return Unknown(OFFSET, (), "time", low, high, 0.5 * (low + high) if start is None else start)

    # ---- the measured file

    def _table(self, beside: Path | None, given: Path | None) -> Table | None:
        name = self.fields.get("file")
        if given is not None:
            return read_table(given, self.context.faults)
        if not isinstance(name, Scalar) or name.value is None:
            if name is None:
                fix = "add 'file: ...', or name one with --measured"
                self._report("S02", self.fields.node.place, self.fields.node.path, "the key 'file' is missing", fix)
            else:
                self.fields.text("file")
            return None
        if beside is None:
            self._report("F01", name.place, name.path, "a fit given as text cannot name files", "give the file beside")
            return None
        wanted = Path(name.text)
        if wanted.is_absolute() or ".." in wanted.parts or "\\" in name.text:
            fix = "put the file into this folder or below, or name it with --measured"
            self._report("F02", name.place, name.path, f"{name.text!r} lies outside the folder of this file", fix)
            return None
        path = beside.parent / wanted
        if not path.is_file():
            known = sorted(file.relative_to(beside.parent).as_posix() for file in path.parent.glob("*.csv"))
            near = nearest(name.text, known)
            fix = f"write {near!r}" if near else f"name one of {listed(known)}" if known else "create the file"
            self._report("F03", name.place, name.path, f"there is no file {name.text!r} here", fix)
            return None
        return read_table(path, self.context.faults)

    def _times(self, table: Table) -> Floats | None:
        name = self.fields.text("time") or "time"
        if name not in table.heads:
            problem, fix = table.unknown(name)
            where = self.fields.get("time")
            place = where.place if where else self.fields.node.place
            self._report("S06", place, self.fields.node.path, problem, f"{fix} under 'time:'")
            return None
        head = table.heads[name]
        column = table.column(head, "time", self.context.ambient.pressure)
        if column is None:
            return None
        times = column.values
        for row in range(len(times)):
            if np.isnan(times[row]):
                self._report("U01", table.place(row, head), "measured", "the row has no time", "write one")
                return None
            if row and times[row] <= times[row - 1]:
                problem = f"the time {times[row]:g} s is not later than that of the row before, {times[row - 1]:g} s"
                self._report("U07", table.place(row, head), "measured", problem, "put the rows in order, each once")
                return None
        return times

    def _column(self, wanted: _Wanted, table: Table) -> Column | None:
        if wanted.column in table.heads:
            return table.column(table.heads[wanted.column], wanted.dimension, self.context.ambient.pressure)
        problem, fix = table.unknown(wanted.column)
        section = self.fields.mapping("columns")
        assert section is not None
        place = section.entries[wanted.column].place
        self._report("S06", place, f"{section.path}.{wanted.column}", problem, fix)
        return None

    def _cut(
        self, table: Table, times: Floats, columns: list[Column], wanted: list[_Wanted], offset: float | Unknown,
        window: tuple[float | None, ...],
    ) -> Measured | None:  # fmt: skip
        """Traces of those rows that lie in the run whatever the offset, and in the window."""
        low, high = (offset.low, offset.high) if isinstance(offset, Unknown) else (offset, offset)
        first, last = window
        inside = (times >= high) & (times <= low + self.lasts)
        inside &= (times >= (-np.inf if first is None else first)) & (times <= (np.inf if last is None else last))
        if not inside.any():
            span = f"the times run from {times[0]:g} s to {times[-1]:g} s"
            shift = f"from {low:g} s to {high:g} s" if low < high else f"{low:g} s"
            cut = "" if window == (None, None) else ", and outside the window"
            problem = f"{span}; less the offset, {shift}, none is in the run, 0 s to {self.lasts:g} s{cut}"
            head = table.heads[self.fields.text("time") or "time"]
            fix = "set 'offset:' to what the file's clock shows when the run begins"
            self._report("U07", table.place(0, head), "measured", problem, fix)
            return None
        traces = []
        for column, one in zip(columns, wanted):
            kept = inside & ~np.isnan(column.values)
            if not kept.any():
                problem = f"the column {one.column!r} has no number in the run"
                self._report("U01", column.head.place, "measured", problem, "leave it out")
                return None
            traces.append(
                Trace(one.column, one.scalar.text, one.dimension, times[kept], column.values[kept], one.noise)
            )
        return Measured(tuple(traces), offset, int((~inside).sum()))

    def _report(self, code: str, place: Place, path: str, problem: str, fix: str) -> None:
        self.context.faults.report(code, place, path, problem, fix)
