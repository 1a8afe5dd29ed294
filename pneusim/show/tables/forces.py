"""The table of forces at the tyres: what axles, vehicles and the combination brake and hold, and over their loads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rich.table import Table
from rich.text import Text

from pneusim.circuit.braking import COMBINATION, axle_name, vehicle_name
from pneusim.quantities import unit_of
from pneusim.results.run import MeasureResult, Run
from pneusim.results.words import numbered, unit_title
from pneusim.show.tables.made import NONE, add, in_units, number, titled

MEASURES = {
    "highest_braking_ratio": "braking ratio [{fraction}]",
    "parking_force": "springs hold [{force}]",
    "parking_ratio": "parking ratio [{fraction}]",
    "grade_held": "grade held [{fraction}]",
}
"""Columns behind the largest braking force; one that has no value at all is left out."""

Cells = tuple[str, ...]


def forces(run: Run, known: Mapping[str, MeasureResult], units: str) -> Table | None:
    """Largest braking force and ratio, and what the springs hold; None where no brake and tyre radius is given.

    Parameters
    ----------
    run : Run
    known : mapping
        The run's measures by name.
    units : {"si", "us"}
    """
    symbols = {dimension: unit_of(dimension, units).symbol for dimension in ("force", "fraction")}
    heads = [head.format(**symbols) for head in ("brake with [{force}]", *MEASURES.values())]
    rows = [(who, cells) for who, cells in _rows(run, known, units) if cells]
    if not rows:
        return None
    shown = [k for k in range(len(heads)) if any(cells[k] != NONE for _, cells in rows)]
    table = titled("Forces at the tyres and their ratio to the static load, adhesion aside")
    table.add_column(Text("of"))
    for k in shown:
        table.add_column(Text(heads[k]), justify="right")
    for who, cells in rows:
        add(table, who, *(cells[k] for k in shown))
    return table


def _rows(run: Run, known: Mapping[str, MeasureResult], units: str) -> Iterator[tuple[str, Cells]]:
    vehicles = run.circuit.vehicles
    for vehicle in vehicles:
        same: dict[Cells, list[int]] = {}
        for axle in vehicle.axles:
            same.setdefault(_cells(run, axle_name(vehicle.name, axle.number), known, units), []).append(axle.number)
        for cells, numbers in same.items():
            yield f"{unit_title(vehicle.name)} {numbered('axle', numbers)}".strip(), cells
        yield unit_title(vehicle.name) or "vehicle", _cells(run, vehicle_name(vehicle.name), known, units)
    yield COMBINATION, _cells(run, COMBINATION, known, units)


def _cells(run: Run, owner: str, known: Mapping[str, MeasureResult], units: str) -> Cells:
    """Cells of an owner, () where its force is not known."""
    channel = run.channels.get(f"{owner}.brake_force")
    if channel is None:
        return ()
    highest = in_units(float(channel.values.max()), "force", units)
    told = [number(known.get(f"{owner}.{name}"), units) for name in MEASURES]
    return (highest, *told)
