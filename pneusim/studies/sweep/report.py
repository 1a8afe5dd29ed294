"""The files of a sweep: table.csv, summary.json, and on request table.parquet."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import asdict
from importlib import import_module
from pathlib import Path
from typing import Any

from pneusim.errors import UsageError
from pneusim.results.run import CAUTION
from pneusim.results.store import check_writable
from pneusim.results.units import si_unit
from pneusim.studies.sweep.result import Sweep, WorstCase


def write(sweep: Sweep, folder: Path) -> None:
    """Write table and summary into a folder, each under a temporary name first."""
    check_writable(folder)
    for name, content in {"table.csv": table(sweep), "summary.json": summary_bytes(sweep)}.items():
        part = folder / f".{name}.part"
        try:
            part.write_bytes(content)
            part.replace(folder / name)
        except OSError as error:
            why = f"{folder / name}: cannot be written ({error.strerror or error}); make room and try again"
            raise UsageError(why) from None
        finally:
            part.unlink(missing_ok=True)


def check_parquet() -> None:
    """Raise a UsageError if there is no pyarrow, before anything is computed."""
    try:
        import_module("pyarrow.parquet")
    except ImportError:
        raise UsageError("Parquet files need pyarrow; install 'pneusim[parquet]'") from None


def write_parquet(sweep: Sweep, folder: Path) -> Path:
    """Write the table as Parquet.

    Raises
    ------
    UsageError
        Without pyarrow.
    """
    check_parquet()
    import pyarrow as pa
    import pyarrow.parquet as pq

    rows = sweep.rows()
    file = folder / "table.parquet"
    pq.write_table(pa.table({name: [row[name] for row in rows] for name in rows[0]} if rows else {}), file)
    return file


def table(sweep: Sweep) -> bytes:
    """A line for each case, SI; a number has all its digits, what has no value is empty."""
    rows = sweep.rows()
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(rows[0] if rows else ["case"])
    writer.writerows([_cell(value) for value in row.values()] for row in rows)
    return text.getvalue().encode()


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return repr(float(value)) if isinstance(value, float) else str(value)


def summary_bytes(sweep: Sweep) -> bytes:
    """What ``summary.json`` holds."""
    return (json.dumps(summary(sweep), indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()


def summary(sweep: Sweep) -> dict[str, Any]:
    """What a sweep came to, SI, pressures gauge; no wall times."""
    from pneusim import __version__

    study = sweep.study
    return {
        "pneusim": __version__,
        "study": study.name,
        "title": study.title,
        "circuit": study.circuit.name,
        "scenario": study.scenario.name,
        "rtol": study.rtol,
        "plan": {"kind": study.plan.kind, "cases": len(sweep.outcomes), "seed": study.plan.seed},
        "failed": sweep.failed,
        "parameters": {p.name: _parameter(p) for p in study.parameters},
        "measures": {
            name: {"unit": sweep.unit(name), "nominal": sweep.nominal.measures.get(name), **asdict(found)}
            for name, found in sweep.summaries.items()
        },
        "yields": {words: {"share": found.share, **asdict(found)} for words, found in sweep.yields.items()},
        "yield_interval": {"method": study.interval, "confidence": study.confidence} if study.drawn else None,
        "rank_correlations": sweep.correlations,
        "sobol_indices": {
            measure: {axis: asdict(index) for axis, index in found.items()} for measure, found in sweep.indices.items()
        },
        "worst": [_worst(case) for case in sweep.worst],
        "caution": CAUTION,
    }


def _parameter(parameter: Any) -> dict[str, Any]:
    return {
        "unit": si_unit(parameter.dimension),
        "paths": list(parameter.paths),
        "nominal": list(parameter.nominal),
        "correlation": parameter.correlation,
        "values": list(parameter.values),
        "spreads": [asdict(spread) for spread in parameter.spreads],
    }


def _worst(case: WorstCase) -> dict[str, Any]:
    return {
        "measure": case.limit.measure, "at_least": case.limit.low, "at_most": case.limit.high,
        "value": case.value, "margin": case.margin, "axes": dict(case.values), "cases": case.cases,
    }  # fmt: skip
