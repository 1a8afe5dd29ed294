"""The files of a fit: fit.json, residuals.csv, the patch, and the circuit with the patch in it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pneusim.reading import read
from pneusim.results.plain import as_csv, as_json, finite
from pneusim.results.run import CAUTION
from pneusim.results.store import write_files
from pneusim.results.units import si_unit
from pneusim.studies.fit.patch import holds_something, patch, patched
from pneusim.studies.fit.result import Estimate, Fitted

PATCH = "patch.yaml"


def write(fitted: Fitted, folder: Path) -> None:
    """Write all files into a folder.

    Raises
    ------
    UsageError
        If the folder cannot be written.
    """
    write_files(folder, files(fitted))
    whole = folder / _whole(fitted)
    if whole.is_file() and read(whole)[0] is None:  # it names files that lie beside the circuit, not here
        whole.unlink()


def _whole(fitted: Fitted) -> str:
    """Name of the circuit's file with the patch in it."""
    return f"{fitted.fit.circuit.name}-fitted.yaml"


def files(fitted: Fitted) -> dict[str, bytes]:
    """The files by name."""
    found = {"fit.json": summary_bytes(fitted), "residuals.csv": residuals(fitted)}
    if holds_something(fitted):
        found[PATCH] = patch(fitted).encode()
        whole = patched(fitted)
        if whole is not None:
            found[_whole(fitted)] = whole.encode()
    return found


def residuals(fitted: Fitted) -> bytes:
    """A line for each measured value, SI: column, time on the file's clock, measured, fitted, residual."""
    return as_csv(("column", "channel", "unit", "time", "measured", "fitted", "residual"), _residuals(fitted))


def _residuals(fitted: Fitted) -> Iterator[tuple[Any, ...]]:
    for found in fitted.comparisons:
        trace = found.trace
        for row in zip(trace.times, trace.values, found.fitted, found.residuals):
            yield (trace.column, trace.channel, si_unit(trace.dimension), *row)


def summary_bytes(fitted: Fitted) -> bytes:
    """What ``fit.json`` holds."""
    return as_json(summary(fitted))


def summary(fitted: Fitted) -> dict[str, Any]:
    """What a fit came to, SI, pressures gauge; no wall times."""
    from pneusim import __version__

    fit, sure = fitted.fit, fitted.certainty
    names = [estimate.name for estimate in fitted.estimates]
    return {
        "pneusim": __version__,
        "fit": fit.name,
        "title": fit.title,
        "circuit": fit.circuit.name,
        "scenario": fit.scenario.name,
        "rtol": fit.rtol,
        "confidence": fit.confidence,
        "parameters": {estimate.name: _estimate(estimate) for estimate in fitted.estimates},
        "offset": fit.offset_at(fitted.shares),
        "correlations": {
            name: {other: finite(value) for other, value in zip(names, row)}
            for name, row in zip(names, sure.correlations)
        },
        "condition": finite(sure.condition),
        "values": fit.size,
        "left_out": fit.left_out,
        "columns": {
            found.trace.column: {
                "channel": found.trace.channel, "unit": si_unit(found.trace.dimension),
                "values": len(found.trace.values), "spread": found.spread, "noise": found.trace.noise,
                "durbin_watson": found.durbin_watson,
            }
            for found in fitted.comparisons
        },
        "searches": [
            {
                "start": fit.values(end.start), "end": fit.values(end.shares), "cost": finite(end.cost),
                "runs": end.runs, "converged": end.converged, "failure": end.failure,
            }
            for end in fitted.ends
        ],
        "warnings": list(fitted.warnings),
        "caution": CAUTION,
    }  # fmt: skip


def _estimate(estimate: Estimate) -> dict[str, Any]:
    unknown = estimate.unknown
    return {
        "unit": si_unit(unknown.dimension), "paths": list(unknown.paths), "value": estimate.value,
        "low": estimate.low, "high": estimate.high, "deviation": estimate.deviation,
        "from": unknown.low, "to": unknown.high, "start": unknown.start,
    }  # fmt: skip
