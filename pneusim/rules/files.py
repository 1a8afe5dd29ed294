"""The files of a report: report.json and report.csv."""

from __future__ import annotations

import csv
import io
import json
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from pneusim.results.store import check_writable
from pneusim.results.units import si_unit
from pneusim.rules.finding import CAUTIONS, MET, MISSED, NOT_JUDGED, Finding, Report
from pneusim.rules.limits import SOURCES

COLUMNS = ("unit", "procedure", "clause", "what", "limit", "value", "margin", "si_unit", "verdict", "why", "source")


def report_as_data(report: Report) -> dict[str, Any]:
    """What ``report.json`` and ``--json`` say: SI, pressures gauge."""
    from pneusim import __version__

    return {
        "pneusim": __version__,
        "regulation": report.regulation,
        "title": report.title,
        "circuit": report.circuit,
        "file": report.source,
        "counts": {verdict: report.count(verdict) for verdict in (MET, MISSED, NOT_JUDGED)},
        "findings": [_finding(finding) for finding in report.findings],
        "notes": list(report.notes),
        "caution": " ".join(CAUTIONS),
    }


def report_as_json(report: Report) -> str:
    """Text of ``report.json``."""
    return json.dumps(report_as_data(report), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def report_as_csv(report: Report) -> str:
    """Text of ``report.csv``: a row a finding, and the caution below."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    for finding in report.findings:
        writer.writerow(_row(finding))
    for caution in (*report.notes, *CAUTIONS):
        writer.writerow(("", "", "", caution))
    return text.getvalue()


def store(report: Report, into: Path, draw: Callable[[Report, Path], object] | None = None) -> Path:
    """Write a report into ``rules-<regulation>`` below ``into``, in place of an earlier one; return that folder.

    What else lies in that folder stays.  ``draw`` gets the report and the folder, and adds pictures.

    Raises
    ------
    UsageError
        If the folder cannot be written.
    """
    check_writable(into)
    folder = into / f"rules-{report.regulation}"
    work = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=into))
    try:
        (work / "report.json").write_text(report_as_json(report), encoding="utf-8")
        (work / "report.csv").write_text(report_as_csv(report), encoding="utf-8")
        if draw is not None:
            draw(report, work)
        check_writable(folder)
        for name in _written(folder):
            (folder / name).unlink(missing_ok=True)
        for file in work.iterdir():
            file.replace(folder / file.name)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    return folder


def picture_file(unit: str, picture: str) -> str:
    """Name of the file of a picture: ``tractor_actuation.png``."""
    return "_".join(filter(None, (unit.replace(".", "_"), picture))) + ".png"


def _written(folder: Path) -> set[str]:
    """Files that an earlier report wrote into a folder, by what it says itself."""
    try:
        earlier = json.loads((folder / "report.json").read_text(encoding="utf-8"))
        pictures = {picture_file(f["unit"], f["picture"]) for f in earlier["findings"] if f["picture"]}
    except (OSError, ValueError, KeyError, TypeError):
        return set()
    return {name for name in ("report.json", "report.csv", *pictures) if name == Path(name).name}


def _finding(finding: Finding) -> dict[str, Any]:
    limit = finding.limit
    return {
        "unit": finding.unit,
        "procedure": finding.procedure,
        "clause": finding.clause,
        "what": finding.what,
        "verdict": finding.verdict,
        "value": finding.value,
        "margin": finding.margin,
        "si_unit": si_unit(limit.dimension) if limit else None,
        "limit": {"sense": limit.sense, "value": limit.value, "words": limit.words, "source": limit.source,
                  "provenance": SOURCES[limit.source], "note": limit.note} if limit else None,
        "why": finding.why,
        "picture": finding.picture,
    }  # fmt: skip


def _row(finding: Finding) -> tuple[str, ...]:
    limit = finding.limit
    numbers = ["" if number is None else repr(float(number)) for number in (finding.value, finding.margin)]
    about = (limit.told(), *numbers, si_unit(limit.dimension)) if limit else ("", *numbers, "")
    source = SOURCES[limit.source] if limit else ""
    return (finding.unit, finding.procedure, finding.clause, finding.what, *about, finding.verdict, finding.why, source)
