"""Tables of a run on a road: how its vehicles stopped, came to rest or were held, and which wheels locked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rich.table import Table
from rich.text import Text

from pneusim.circuit.braking import axle_name, vehicle_name
from pneusim.circuit.rolling import SIDES, wheel_name
from pneusim.quantities import unit_of
from pneusim.results.restate import restate
from pneusim.results.run import MeasureResult, Run
from pneusim.results.words import numbered, unit_title
from pneusim.show.tables.made import NONE, add, number, titled

STOPS = {
    "stopping_distance": "stops after [{distance}]",
    "stopping_time": "in [s]",
    "mean_deceleration": "deceleration [{acceleration}]",
    "distance_lost_to_lag": "lost to lag [{distance}]",
    "rolled": "rolled [{distance}]",
    "highest_hitch_push": "pushes with [{force}]",
    "highest_hitch_pull": "pulls with [{force}]",
}
"""Columns of vehicles; one that has no value at all is left out."""

LOCKS = {"first_lock": "first at [s]", "longest_lock": "longest [s]", "locked_time": "in all [s]"}
"""Columns of wheels."""

Known = Mapping[str, MeasureResult]


def stops(run: Run, known: Known, units: str) -> Table | None:
    """What became of the vehicles; None without a road."""
    if run.scenario.road is None:
        return None
    symbols = {d: unit_of(d, units).symbol for d in ("distance", "acceleration", "force")}
    owners = [(vehicle_name(v.name), unit_title(v.name) or "vehicle") for v in run.circuit.vehicles]
    cells = {
        name: [number(known.get(f"{owner}.{name}"), units) for owner, _ in owners]
        for name in STOPS
    }
    shown = [name for name, column in cells.items() if any(cell != NONE for cell in column)]
    table = titled("On the road, from the first movement of the control or from the failure")
    table.add_column(Text("of"))
    for name in shown:
        table.add_column(Text(STOPS[name].format(**symbols)), justify="right")
    for row, (_, title) in enumerate(owners):
        add(table, title, *(cells[name][row] for name in shown))
    return table if shown else None


def locked(run: Run, known: Known, units: str) -> Table | None:
    """Wheels that locked above 15 km/h, those of an axle together where they did alike; None if none did."""
    if run.scenario.road is None:
        return None
    rows = list(_locked(run, known, units))
    table = titled(restate("Wheels locked above 15 km/h", units))
    table.add_column(Text("wheels of"))
    table.add_column(Text("place"), justify="right")
    for head in LOCKS.values():
        table.add_column(Text(head), justify="right")
    for row in rows:
        add(table, *row)
    return table if rows else None


def _locked(run: Run, known: Known, units: str) -> Iterator[tuple[str, ...]]:
    for vehicle in run.circuit.vehicles:
        for axle in vehicle.axles:
            rank = number(known.get(f"{axle_name(vehicle.name, axle.number)}.lock_rank"), units)
            same: dict[tuple[str, ...], list[str]] = {}
            for side in SIDES:
                wheel = wheel_name(vehicle.name, axle.number, side)
                cells = tuple(number(known.get(f"{wheel}.{name}"), units) for name in LOCKS)
                if cells[0] != NONE:
                    same.setdefault(cells, []).append(side)
            for cells, sides in same.items():
                side = "" if len(sides) == len(SIDES) else f" {sides[0]}"
                yield f"{unit_title(vehicle.name)} {numbered('axle', [axle.number])}{side}".strip(), rank, *cells
