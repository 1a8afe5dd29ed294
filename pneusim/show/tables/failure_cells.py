"""The cells of the matrix of failures: what stands in each, how grave it is, under which heading."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from pneusim.results.words import unit_title
from pneusim.studies.failures.groups import Group, grouped
from pneusim.studies.failures.judge import DRAGS, FREE, HELD, IN_TIME, LATE, LIMITS, NEVER, Consequences
from pneusim.studies.failures.study import Study

SIGNS = ("", "○", "◐", "●")
"""Before a number, by how grave it is; nothing where all is as in the intact vehicle."""

MORE = "▲"
"""Before a share that is more than that of the intact vehicle."""

LATER, MUCH_LATER = LIMITS.late, 0.5
VERY_LOPSIDED = 0.6
MUCH_MORE = 1.5

FEWEST = 3
"""A heading stands over so many columns at least; else it is part of their names."""


@dataclass(frozen=True)
class Cell:
    """A text and how grave it is: 0 as intact, 1 slight, 2 marked, 3 grave; None where there is nothing to say."""

    text: str = ""
    level: int | None = 0


@dataclass(frozen=True)
class Column:
    """A column under a heading, with what it shows of a failure; some are left out where all is as intact."""

    heading: str
    name: str
    cell: Callable[[Consequences], Cell]
    always: bool = True


@dataclass(frozen=True)
class Line:
    """A row of the matrix: a group of failures; its cells are those of its worst member."""

    group: Group
    label: str
    cells: tuple[Cell, ...]


def matrix(study: Study) -> tuple[list[Column], list[Line]]:
    """Columns and rows, worst first."""
    groups = grouped(study)
    worst = [group.rows[0].consequences for group in groups]
    columns = [c for c in _columns(study) if c.always or any(c.cell(found).level for found in worst)]
    lines = []
    for group in groups:
        first, *others = group.rows
        more = f"  (+{len(others)})" if others else ""
        cells = tuple(column.cell(first.consequences) for column in columns)
        lines.append(Line(group, f"{first.failure.words}{more}", cells))
    return columns, lines


def _columns(study: Study) -> Iterator[Column]:
    owners = study.owners
    owned = {owners.whole: "all"} | {name: unit_title(unit) for name, unit in owners.units.items()}
    if len(owners.units) == 1:
        owned = {owners.whole: "all"}
    axles = {name: name.rpartition("axle_")[0].rstrip(".").replace("_", " ") + f" {name.rpartition('axle_')[2]}"
             for name in owners.axles}  # fmt: skip
    several = len(owners.axles) > 1
    braking = owned | ({name: f"axle {words.strip()}" for name, words in axles.items()} if several else {})
    yield from _shares("force with the pedal down [%]", braking, lambda c: c.braking, owned)
    yield Column("", "later [s]", _later, always=False)
    yield Column("", "sides differ [%]", _lopsided, always=False)
    yield Column("", "on by itself at [s]", _by_itself)
    yield Column("", "wheels not off", lambda c: _count(len(c.stuck_on)))
    yield Column("", "warned at [s]", _warned)
    reservoirs = {name: study.circuit.title_of(study.circuit.components[name]) for name in study.intact.extra["air"]}
    yield from _shares("air kept [%]", reservoirs, lambda c: c.air)
    if "parked" in study.intact.extra["forces"]:
        yield from _shares("force parked [%]", owned, lambda c: c.parking, owned)
    units = {name: unit_title(unit) or "vehicle" for name, unit in owners.units.items()}
    for name, words in units.items():
        yield Column("drives off", words, _drives(name))
    if any(row.consequences.stops for row in study.rows):
        yield Column("", "stops when it came away", _stops)


def _shares(
    heading: str, names: Mapping[str, str], of: Callable[[Consequences], Mapping[str, float]],
    wholes: Collection[str] = (),
) -> Iterator[Column]:  # fmt: skip
    return (Column(heading, words, _share(name, of, wholes)) for name, words in names.items())


def _share(
    name: str, of: Callable[[Consequences], Mapping[str, float]], wholes: Collection[str]
) -> Callable[[Consequences], Cell]:
    """The cell of a share; half of a whole vehicle is graver than half of an axle."""

    def cell(found: Consequences) -> Cell:
        share = of(found).get(name)
        if share is None:
            return Cell("", None)
        number = f"{100.0 * share:.0f}"
        if share > LIMITS.strong:
            return Cell(f"{MORE}{number}", 1 + (share > MUCH_MORE))
        if name in wholes:
            return _graded(number, 3 if share < LIMITS.half else int(share < LIMITS.weak))
        return _graded(number, sum(share < limit for limit in (LIMITS.weak, LIMITS.half, LIMITS.lost)))

    return cell


def _graded(text: str, level: int) -> Cell:
    return Cell(f"{SIGNS[level]}{text}", level)


def _later(found: Consequences) -> Cell:
    if not found.later:
        return Cell("", None)
    most = max(found.later.values())
    return _graded(f"{max(most, 0.0):.2f}" if most > LATER else "0", (most > LATER) + (most > MUCH_LATER))


def _lopsided(found: Consequences) -> Cell:
    if not found.lopsided:
        return Cell("", None)
    most = max(found.lopsided.values())
    return _graded(f"{100.0 * most:.0f}", 2 * (most > LIMITS.lopsided) + (most > VERY_LOPSIDED))


def _by_itself(found: Consequences) -> Cell:
    if not found.by_itself:
        return Cell("")
    return _graded(f"{min(found.by_itself.values()):.1f}", 2 if found.warning == IN_TIME else 3)


def _count(number: int) -> Cell:
    return _graded(str(number), 2) if number else Cell("")


def _warned(found: Consequences) -> Cell:
    time = "" if found.warned is None else f"{found.warned:.1f}"
    return _graded(time or "no", {IN_TIME: 0, LATE: 1, NEVER: 2}[found.warning]) if found.warning else Cell(time)


def _drives(name: str) -> Callable[[Consequences], Cell]:
    levels = {FREE: 0, DRAGS: 2, HELD: 3}

    def cell(found: Consequences) -> Cell:
        state = found.drives.get(name)
        return Cell("", None) if state is None else _graded("" if state == FREE else state, levels[state])

    return cell


def _stops(found: Consequences) -> Cell:
    if not found.stops:
        return Cell("", None)
    return Cell("yes") if all(found.stops.values()) else _graded("no", 3)


def headings(columns: Sequence[Column]) -> list[tuple[str, int, int]]:
    """Headings of at least `FEWEST` columns, each with its first and last column."""
    return [(heading, first, last) for heading, first, last in _spans(columns) if last - first + 1 >= FEWEST]


def names(columns: Sequence[Column]) -> list[str]:
    """What stands over each column: its name, with its heading where this does not stand over it."""
    found = [column.name for column in columns]
    for heading, first, last in _spans(columns):
        if last - first + 1 < FEWEST:
            for k in range(first, last + 1):
                what, _, unit = heading.partition(" [")
                found[k] = f"{what}: {found[k]}" + (f" [{unit}" if unit else "")
    return found


def _spans(columns: Sequence[Column]) -> list[tuple[str, int, int]]:
    found: list[tuple[str, int, int]] = []
    for k, column in enumerate(columns):
        if found and found[-1][0] == column.heading and column.heading:
            found[-1] = (column.heading, found[-1][1], k)
        elif column.heading:
            found.append((column.heading, k, k))
    return found
