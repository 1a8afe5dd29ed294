"""The folder of a scenario: summary, channels, events and measures as files.

Everything but ``timing.json`` is byte-identical for identical runs.  The files are written under a temporary
name and moved into place, so that an earlier result is replaced whole or not at all; a failed run goes beside
it.
"""

from __future__ import annotations

import csv
import io
import json
import math
import os
import shutil
import tempfile
import zipfile
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from pneusim.errors import UsageError
from pneusim.results.run import CAUTION, Run
from pneusim.results.units import si_unit

_EPOCH = (1980, 1, 1, 0, 0, 0)
"""The time stamp of everything in an archive: the earliest that the format knows."""


def folder_name(scenario: str, variant: str | None = None) -> str:
    """Name of a result's folder: the scenario's, with ``+variant`` for a variant."""
    return f"{scenario}+{variant}" if variant else scenario


def store(run: Run, into: Path, draw: Callable[[Run, Path], object] | None = None) -> Path:
    """Write the result of a run into its folder below ``into``, and return the folder.

    Parameters
    ----------
    run : Run
        Finished; one with status "failed" goes to ``<scenario>.failed`` and leaves an earlier result alone.
    into : Path
        Made if it does not exist.
    draw : callable, optional
        Gets the run and the folder, and adds pictures.

    Raises
    ------
    UsageError
        If the folder cannot be written.
    """
    check_writable(into)
    name = folder_name(run.scenario.name, run.variant)
    final = into / (name if run.status == "ok" else f"{name}.failed")
    work = Path(tempfile.mkdtemp(prefix=f".{name}.", dir=into))
    try:
        work.chmod(0o777 & ~_umask())
        for file, content in files(run).items():
            (work / file).write_bytes(content)
        if draw is not None:
            draw(run, work)
        _move(work, final)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    if run.status == "ok":
        shutil.rmtree(into / f"{name}.failed", ignore_errors=True)
    return final


def check_writable(folder: Path) -> None:
    """Make the folder if need be; raise a UsageError if nothing can be written there."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except (FileExistsError, NotADirectoryError):
        raise UsageError(f"{folder}: cannot hold results, because a file is in the way; name another folder") from None
    except OSError as error:
        raise UsageError(f"{folder}: results cannot be written there ({error.strerror}); name another folder") from None


def files(run: Run) -> dict[str, bytes]:
    """The files of a run by name, pictures aside."""
    return {
        "summary.json": _json(summary(run)),
        "timing.json": _json(timing(run)),
        "channels.npz": _npz(run),
        "channels.json": _json(
            {c.name: {"unit": si_unit(c.dimension), "dimension": c.dimension, "label": c.label} for c in _ordered(run)}
        ),
        "events.csv": _csv(
            ("time", "category", "kind", "component", "text"),
            ((repr(e.time), e.category, e.kind, e.component, e.text) for e in run.events),
        ),
        "measures.csv": _csv(
            ("name", "value", "unit", "limit", "met", "reason", "error"),
            (
                (
                    m.name,
                    _number(m.value),
                    si_unit(m.dimension),
                    m.limit,
                    _verdict(m.met),
                    m.reason,
                    _number(m.error),
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
                "limit": m.limit or None,
                "met": m.met,
                **({"reason": m.reason} if m.reason else {}),
                **({"error": m.error} if m.error is not None else {}),
            }
            for m in run.measures
        ],
        "events": [{"time": e.time, "kind": e.kind, "component": e.component, "text": e.text} for e in run.events],
        "narrative": list(run.narrative),
        "closure": {"mass": _finite(run.closure.mass), "energy": _finite(run.closure.energy)},
        "solver": {
            "engine": run.solver.engine,
            "states": run.solver.states,
            "steps": run.solver.steps,
            "rejected": run.solver.rejected,
            "segments": run.solver.segments,
            "smallest_time_constant": _finite(run.solver.smallest_time_constant),
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


def _ordered(run: Run) -> list[Any]:
    return [run.channels[name] for name in sorted(run.channels)]


def _npz(run: Run) -> bytes:
    """``time`` and one array per channel, in the order of their names."""
    channels = _ordered(run)
    arrays = {"time": channels[0].times} if channels else {}
    arrays |= {channel.name: channel.values for channel in channels}
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_STORED) as archive:
        for name, array in arrays.items():
            member = io.BytesIO()
            np.lib.format.write_array(member, np.ascontiguousarray(array, dtype="<f8"), allow_pickle=False)
            archive.writestr(zipfile.ZipInfo(f"{name}.npy", _EPOCH), member.getvalue())
    return buffer.getvalue()


def _json(content: Any) -> bytes:
    return (json.dumps(content, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()


def _csv(head: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(head)
    writer.writerows(rows)
    return text.getvalue().encode()


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _number(value: float | None) -> str:
    return "" if value is None else repr(float(value))


def _verdict(met: bool | None) -> str:
    return "" if met is None else "yes" if met else "no"


def _move(work: Path, final: Path) -> None:
    """Put ``work`` in the place of ``final``; the earlier one comes back if that fails."""
    if not final.exists():
        work.rename(final)
        return
    aside = Path(tempfile.mkdtemp(prefix=f".{final.name}.earlier.", dir=final.parent))
    final.rename(aside / "it")
    try:
        work.rename(final)
    except OSError:
        (aside / "it").rename(final)
        raise
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
