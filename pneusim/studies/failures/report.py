"""The files of a study of failures: a row a failure, the summary; byte-identical for identical studies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from pneusim.results.plain import as_csv, as_json
from pneusim.results.run import CAUTION
from pneusim.results.store import write_files
from pneusim.studies.failures.classes import CLASSES, class_named
from pneusim.studies.failures.groups import consequence_in_words, grouped
from pneusim.studies.failures.study import Row, Study


def rows(study: Study) -> list[dict[str, Any]]:
    """One flat mapping a failure, worst first: shares of the intact vehicle [-], times [s]."""
    number = {row.failure.id: group.number for group in grouped(study) for row in group.rows}
    return [dict(_cells(row, number[row.failure.id])) for row in study.rows]


def _cells(row: Row, group: int) -> Iterator[tuple[str, Any]]:
    f, c = row.failure, row.consequences
    yield from (("id", f.id), ("kind", f.kind), ("failure", f.words), ("class", row.worst),
                ("classes", " ".join(row.classes)), ("group", group), ("alike", row.twin_of),
                ("status", row.outcome.status), ("message", row.outcome.message),
                ("case", row.outcome.key))  # fmt: skip
    for head, values in (("braking", c.braking), ("lopsided", c.lopsided), ("later", c.later),
                         ("by_itself", c.by_itself), ("parking", c.parking), ("air", c.air), ("drives", c.drives),
                         ("stops", c.stops), ("stopping distance", c.distances)):  # fmt: skip
        yield from ((f"{head} {name}", value) for name, value in values.items())
    yield from (("springs", " ".join(c.springs)), ("stuck_on", " ".join(c.stuck_on)), ("warned", c.warned),
                ("warning", c.warning), ("matters", c.matters))  # fmt: skip


def table(study: Study) -> bytes:
    """All rows; columns that only some failures have are empty for the others."""
    found = rows(study)
    heads = sorted({name for row in found for name in row}, key=_column_order(found))
    return as_csv(heads, ([row.get(head) for head in heads] for row in found))


def _column_order(found: list[dict[str, Any]]) -> Any:
    """Columns of one head together, in the order in which they are first met."""
    heads: dict[str, int] = {}
    names: dict[str, int] = {}
    for row in found:
        for name in row:
            heads.setdefault(name.split(" ")[0], len(heads))
            names.setdefault(name, len(names))
    return lambda name: (heads[name.split(" ")[0]], names[name])


def summary(study: Study) -> dict[str, Any]:
    """What ``summary.json`` and ``--json`` say."""
    from pneusim import __version__

    return {
        "pneusim": __version__,
        "circuit": study.circuit.name,
        "variant": study.variant or None,
        "cycle": {"scenario": study.cycle.scenario.name, "lasts": study.cycle.scenario.lasts,
                  "moments": asdict(study.moments)},
        "intact": {name: study.intact.extra[name] for name in ("forces", "pushes", "time_75", "air", "stops")},
        "failures": len(study.rows),
        "computed": study.computed,
        "classes": [{"name": kind.name, "words": kind.words, "means": kind.means,
                     "failures": sum(row.worst == kind.name for row in study.rows)} for kind in CLASSES],
        "groups": [
            {"number": group.number, "class": group.worst, "classes": list(group.rows[0].classes),
             "consequence": consequence_in_words(group.rows, study),
             "failures": [row.failure.id for row in group.rows]}
            for group in grouped(study)
        ],
        "rows": [one_row(row) for row in study.rows],
        "left_out": [{"id": left.id, "why": left.why} for left in study.left_out],
        "caution": CAUTION,
    }  # fmt: skip


def one_row(row: Row) -> dict[str, Any]:
    """A failure with all that it came to."""
    return {
        "id": row.failure.id, "kind": row.failure.kind, "failure": row.failure.words,
        "class": row.worst, "classes": list(row.classes), "alike": row.twin_of or None, "case": row.outcome.key,
        "status": row.outcome.status, **({"message": row.outcome.message} if row.outcome.message else {}),
        "consequences": asdict(row.consequences),
    }  # fmt: skip


def shown(row: Row, study: Study) -> dict[str, Any]:
    """All about one failure: its row, its events and its story."""
    events: tuple[Mapping[str, Any], ...] = row.outcome.events
    told = {"class_words": class_named(row.worst).words, "in_words": consequence_in_words([row], study)}
    return {**one_row(row), **told, "events": [dict(e) for e in events], "narrative": list(row.outcome.narrative)}


def write(study: Study, folder: Path) -> None:
    """Write ``table.csv`` and ``summary.json`` into a folder.

    Raises
    ------
    UsageError
        If they cannot be written.
    """
    write_files(folder, {"table.csv": table(study), "summary.json": as_json(summary(study))})
