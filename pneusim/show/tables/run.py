"""Tables of a run for a terminal: brakes, springs, forces, reservoirs, limits, other measures, events, closures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.table import Table
from rich.text import Text

from pneusim.quantities import express, unit_of
from pneusim.results.measures.applications import Application, applications
from pneusim.results.measures.brakes import Brake, brakes
from pneusim.results.measures.reservoirs import EMPTY, reservoirs
from pneusim.results.measures.turns import turns
from pneusim.results.narrative import is_listed
from pneusim.results.restate import restate
from pneusim.results.run import MeasureResult, Run
from pneusim.results.words import amount, measure_words, places, title
from pneusim.show.tables.forces import forces
from pneusim.show.tables.made import NONE, add, in_units, number, titled
from pneusim.show.tables.road import locked, stops

UNSTEADY = "not steady"
"""A pressure that was not held."""

WIDE = 132
"""Columns from which on a table of limits also says where they are from."""

RISES = {"time_to_10": "10 %", "time_to_75": "75 %", "time_to_414": "414 kPa"}
MOMENTS = {
    +1: {"begins": "moves at", "touches": "touches at", "force_90": "90 % at", "final_force": "force"},
    -1: {"begins": "moves at", "force_10": "10 % at", "lets_go": "off at"},
}


def tables(run: Run, units: str = "si") -> RenderableType:
    """All tables of a run, one below the other; without rows a table is left out."""
    known = {result.name: result for result in run.measures}
    parts: list[RenderableType | None] = [
        *(_application(run, application, known, units) for application in applications(run)),
        _springs(run, known, +1, "Springs apply, times of the run", units),
        _springs(run, known, -1, "Springs release, times of the run", units),
        stops(run, known, units),
        locked(run, known, units),
        forces(run, known, units),
        _reservoirs(run, units),
        _judged(run, units),
        _asked(run, units),
        _events(run, units),
        closure_line(run),
    ]
    return Group(*(piece for part in parts if part is not None for piece in (Text(), part)))


def closure_line(run: Run) -> Text:
    """How well mass and energy close, and what the engine did, in one line."""
    solver = run.solver
    motion = "" if run.closure.motion is None else f", that of motion to {run.closure.motion:.1e}"
    text = (
        f"mass closes to {run.closure.mass:.1e}, energy to {run.closure.energy:.1e}{motion}; "
        f"{solver.engine}: {solver.states} states, {solver.steps} steps, {solver.rejected} rejected"
    )
    return Text(text, style="dim")


def _application(run: Run, application: Application, known: Mapping[str, MeasureResult], units: str) -> Table | None:
    if not brakes(run):
        return None
    control = title(run, run.circuit.components[application.control])
    force, pressure = (unit_of(dimension, units).symbol for dimension in ("force", "pressure"))
    table = titled(f"Application {application.number}: {control}, from {application.start:.2f} s")
    table.add_column(Text("brake"), no_wrap=True)
    rises = [restate(words, units) for words in RISES.values()]
    release = express(34.5e3, "pressure", units)
    for head in (*(f"to {words} [s]" for words in rises), f"held [{pressure}]", f"peak [{pressure}]",
                 f"force [{force}]", f"release to {release} [s]"):  # fmt: skip
        table.add_column(Text(head), justify="right")
    rows = []
    for brake in brakes(run):
        prefix = f"{brake.name}.{application.name}"
        cells = [_seconds(known.get(f"{prefix}.{name}")) for name in RISES]
        cells.append(_held(known.get(f"{prefix}.asymptotic_pressure"), units))
        for name in ("highest_pressure", "highest_force"):
            cells.append(number(known.get(f"{prefix}.{name}"), units))
        rows.append((brake, [*cells, _seconds(known.get(f"{prefix}.release_time"))]))
    return _filled(run, table, rows)


def _springs(run: Run, known: Mapping[str, MeasureResult], direction: int, title: str, units: str) -> Table | None:
    found = [(brake, turn) for brake in brakes(run) for turn in turns(brake) if turn.direction == direction]
    if not found:
        return None
    table = titled(title)
    table.add_column(Text("brake"), no_wrap=True)
    for name, head in MOMENTS[direction].items():
        unit = unit_of("force", units).symbol if name.endswith("force") else "s"
        table.add_column(Text(f"{head} [{unit}]"), justify="right")
    rows = []
    for brake, turn in found:
        results = {name: known.get(f"{brake.name}.{turn.name}.{name}") for name in MOMENTS[direction]}
        cells = [
            number(result, units) if name.endswith("force") else _seconds(result) for name, result in results.items()
        ]
        rows.append((brake, cells))
    return _filled(run, table, rows)


def _reservoirs(run: Run, units: str) -> Table | None:
    found = reservoirs(run)
    if not found:
        return None
    unit = unit_of("pressure", units).symbol
    table = titled("Reservoirs")
    table.add_column(Text("reservoir"))
    for head in (f"start [{unit}]", f"lowest [{unit}]", f"end [{unit}]", "kept [%]"):
        table.add_column(Text(head), justify="right")
    for component in found:
        values = run.channels[f"{component.name}.pressure"].values
        first, last = float(values[0]), float(values[-1])
        numbers = [in_units(value, "pressure", units) for value in (first, float(values.min()), last)]
        add(table, title(run, component), *numbers, f"{100 * last / first:.0f}" if first > EMPTY else NONE)
    return table


@dataclass(frozen=True)
class _Limits:
    """The measures that have a limit; where there is room, with what the limit is from."""

    run: Run
    units: str

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        """Yield the table."""
        found = [result for result in self.run.measures if result.limit]
        sourced = options.max_width >= WIDE and any(result.source for result in found)
        table = titled("Limits")
        for head in ("measure", "value", "limit", "", *(("from",) if sourced else ())):
            table.add_column(Text(head), overflow="fold", no_wrap=head == "")
        for result in found:
            verdict = Text("met") if result.met else Text("NOT MET", style="bold red")
            words, limit = measure_words(self.run, result.name, self.units), restate(result.limit, self.units)
            add(table, words, _value(result, self.units), limit, verdict, *((result.source,) if sourced else ()))
        yield table


def _judged(run: Run, units: str) -> RenderableType | None:
    return _Limits(run, units) if any(result.limit for result in run.measures) else None


def _asked(run: Run, units: str) -> Table | None:
    own = {measure.name for measure in run.scenario.measures}
    found = [result for result in run.measures if result.name in own and not result.limit]
    if not found:
        return None
    table = titled("Measures of the scenario")
    table.add_column(Text("measure"))
    table.add_column(Text("value"))
    for result in found:
        add(table, measure_words(run, result.name, units), _value(result, units))
    return table


def _events(run: Run, units: str) -> Table | None:
    found = [event for event in run.events if is_listed(run, event)]
    if not found:
        return None
    table = titled("Events")
    table.add_column(Text("time [s]"), justify="right")
    table.add_column(Text("what"), overflow="fold")
    for event in found:
        style = "bold" if event.category in ("trip", "warning") else ""
        add(table, f"{event.time:.3f}", Text(restate(event.text, units), style=style))
    return table


def _filled(run: Run, table: Table, rows: Iterable[tuple[Brake, Sequence[str]]]) -> Table:
    """The table with its rows; brakes of one vehicle with the same cells share a row."""
    groups: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for brake, cells in rows:
        groups.setdefault((brake.component.unit, tuple(cells)), []).append(brake.name)
    for (_, cells), names in groups.items():
        add(table, places(run, names), *cells)
    return table


def _seconds(result: MeasureResult | None) -> str:
    return NONE if result is None or result.value is None else f"{result.value:.3f}"


def _held(result: MeasureResult | None, units: str) -> str:
    return UNSTEADY if result is not None and result.value is None else number(result, units)


def _value(result: MeasureResult, units: str) -> str:
    """A value with its unit and numerical error, or why there is none."""
    if result.value is None:
        return restate(result.reason, units)
    error = f" ± {express(result.error, result.dimension, units)}" if result.error is not None else ""
    return f"{amount(result.value, result.dimension, units)}{error}"
