"""The files of a sweep: table.csv, summary.json, and on request table.parquet."""

from __future__ import annotations

import io
from dataclasses import asdict
from importlib import import_module
from pathlib import Path
from typing import Any

from pneusim.errors import UsageError
from pneusim.results.plain import as_csv, as_json
from pneusim.results.run import CAUTION
from pneusim.results.store import write_files
from pneusim.results.units import si_unit
from pneusim.studies.sweep.result import Sweep, WorstCase

PARQUET = "table.parquet"


def write(sweep: Sweep, folder: Path) -> None:
    """Write table and summary into a folder.

    Raises
    ------
    UsageError
        If they cannot be written.
    """
    write_files(folder, {"table.csv": table(sweep), "summary.json": summary_bytes(sweep)})


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
        Without pyarrow, or if it cannot be written.
    """
    check_parquet()
    import pyarrow as pa
    import pyarrow.parquet as pq

    rows, content = sweep.rows(), io.BytesIO()
    pq.write_table(pa.table({name: [row[name] for row in rows] for name in rows[0]} if rows else {}), content)
    write_files(folder, {PARQUET: content.getvalue()})
    return folder / PARQUET


def table(sweep: Sweep) -> bytes:
    """A line for each case, SI; a number has all its digits, what has no value is empty."""
    rows = sweep.rows()
    return as_csv(list(rows[0]) if rows else ["case"], (row.values() for row in rows))


def summary_bytes(sweep: Sweep) -> bytes:
    """What ``summary.json`` holds."""
    return as_json(summary(sweep))


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
        "partial_rank_correlations": {
            measure: {axis: asdict(rho) for axis, rho in found.items()} for measure, found in sweep.correlations.items()
        },
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
