"""The files of a result: summary, circuit, timing, channels, events and measures.

Everything but ``timing.json`` is byte-identical for identical runs.
"""

from __future__ import annotations

import io
import zipfile
from typing import Any

import numpy as np

from pneusim.results.plain import as_csv, as_json, finite
from pneusim.results.run import CAUTION, Channel, Run
from pneusim.results.stored import circuit_as_json
from pneusim.results.units import si_unit

_EPOCH = (1980, 1, 1, 0, 0, 0)
"""The time stamp of everything in an archive: the earliest that the format knows."""


def files(run: Run) -> dict[str, bytes]:
    """The files of a run by name, pictures aside."""
    return {
        "summary.json": as_json(summary(run)),
        "circuit.json": circuit_as_json(run.circuit, run.scenario),
        "timing.json": as_json(timing(run)),
        "channels.npz": _npz(run),
        "channels.json": as_json(
            {c.name: {"unit": c.unit, "dimension": c.dimension, "label": c.label} for c in _ordered(run)}
        ),
        "events.csv": as_csv(
            ("time", "category", "kind", "component", "text"),
            ((repr(e.time), e.category, e.kind, e.component, e.text) for e in run.events),
        ),
        "measures.csv": as_csv(
            ("name", "value", "unit", "limit", "met", "reason", "error", "source"),
            (
                (
                    m.name,
                    _number(m.value),
                    si_unit(m.dimension),
                    m.limit,
                    _verdict(m.met),
                    m.reason,
                    _number(m.error),
                    m.source,
                )
                for m in run.measures
            ),
        ),
    }


def summary(run: Run) -> dict[str, Any]:
    """What ``summary.json`` and ``--json`` say: SI, pressures gauge; no wall times."""
    from pneusim import __version__

    return {
        "pneusim": __version__,
        "circuit": run.circuit.name,
        "scenario": run.scenario.name,
        "variant": run.variant,
        "status": run.status,
        "message": run.message,
        "measures": [
            {
                "name": m.name,
                "value": m.value,
                "unit": si_unit(m.dimension),
                "dimension": m.dimension,
                "limit": m.limit or None,
                "met": m.met,
                **({"reason": m.reason} if m.reason else {}),
                **({"error": m.error} if m.error is not None else {}),
                **({"source": m.source} if m.source else {}),
            }
            for m in run.measures
        ],
        "events": [{"time": e.time, "kind": e.kind, "component": e.component, "text": e.text} for e in run.events],
        "narrative": list(run.narrative),
        "closure": {
            "mass": finite(run.closure.mass),
            "energy": finite(run.closure.energy),
            **({} if run.closure.motion is None else {"motion": finite(run.closure.motion)}),
        },
        "solver": {
            "engine": run.solver.engine,
            "states": run.solver.states,
            "steps": run.solver.steps,
            "rejected": run.solver.rejected,
            "segments": run.solver.segments,
            "smallest_time_constant": finite(run.solver.smallest_time_constant),
            "rtol": finite(run.solver.rtol),
        },
        "extrapolated": list(run.extrapolated),
        "sources": list(run.sources),
        "caution": CAUTION,
    }


def timing(run: Run) -> dict[str, Any]:
    """What ``timing.json`` says: wall and CPU time, also per phase [s]."""
    solver = run.solver
    return {
        "wall_s": solver.wall,
        "cpu_s": solver.cpu,
        "realtime_factor": run.span[1] / solver.wall if solver.wall > 0.0 else None,
        "phases": dict(solver.phases),
    }


def _ordered(run: Run) -> list[Channel]:
    return [run.channels[name] for name in sorted(run.channels)]


def _npz(run: Run) -> bytes:
    """``time`` and one array per channel, in the order of their names.

    Values are single precision: that errs by less than 0.1 Pa of 1 MPa, and lines that ring need many samples.
    """
    channels = _ordered(run)
    arrays = {"time": channels[0].times.astype("<f8")} if channels else {}
    arrays |= {channel.name: channel.values.astype("<f4") for channel in channels}
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        for name, array in arrays.items():
            member, entry = io.BytesIO(), zipfile.ZipInfo(f"{name}.npy", _EPOCH)
            np.lib.format.write_array(member, np.ascontiguousarray(array), allow_pickle=False)
            archive.writestr(entry, member.getvalue(), zipfile.ZIP_DEFLATED, 1)
    return buffer.getvalue()


def _number(value: float | None) -> str:
    return "" if value is None else repr(float(value))


def _verdict(met: bool | None) -> str:
    return "" if met is None else "yes" if met else "no"
