"""The files of a comparison: JSON and tables, SI; byte-identical for identical comparisons."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pneusim.results.comparison.comparison import Comparison
from pneusim.results.comparison.description import Change
from pneusim.results.comparison.events import EventPair
from pneusim.results.comparison.measures import MeasureDifference
from pneusim.results.comparison.runs import RunComparison
from pneusim.results.plain import as_csv, as_json
from pneusim.results.run import CAUTION, MeasureResult, Run
from pneusim.results.units import si_unit

Row = Sequence[Any]


def files(comparison: Comparison) -> dict[str, bytes]:
    """The files by name."""
    return {
        "comparison.json": summary_bytes(comparison),
        "description.csv": as_csv(("section", "what", "a", "b", "unit"), map(_change, comparison.changes)),
        "measures.csv": as_csv(
            ("scenario", "measure", "a", "b", "difference", "share", "unit", "threshold", "differs", "limit_a",
             "met_a", "limit_b", "met_b", "reason_a", "reason_b", "error_a", "error_b"), _measures(comparison)
        ),
        "events.csv": as_csv(
            ("scenario", "category", "kind", "component", "time_a", "time_b", "difference", "parted", "text_a",
             "text_b"), _events(comparison)
        ),
        "channels.csv": as_csv(
            ("scenario", "channel", "time", "a", "b", "difference", "unit", "label"),
            ((run.name, c.name, c.time, c.a, c.b, c.difference, si_unit(c.dimension), c.label)
             for run in comparison.scenarios for c in run.channels),
        ),
    }  # fmt: skip


def summary_bytes(comparison: Comparison) -> bytes:
    """What ``comparison.json`` and ``--json`` say: SI, pressures gauge, times on the clock of A."""
    return as_json(summary(comparison))


def summary(comparison: Comparison) -> dict[str, Any]:
    """The content of ``comparison.json``."""
    from pneusim import __version__

    heads = ("section", "what", "a", "b", "unit")
    return {
        "pneusim": __version__,
        "a": comparison.a,
        "b": comparison.b,
        "description": [dict(zip(heads, _change(change))) for change in comparison.changes],
        "scenarios": [_scenario(run) for run in comparison.scenarios],
        "only_in_a": list(comparison.only_a),
        "only_in_b": list(comparison.only_b),
        "caution": CAUTION,
    }


def _scenario(run: RunComparison) -> dict[str, Any]:
    return {
        "name": run.name,
        "a": _side(run.a),
        "b": _side(run.b),
        "b_moved_by": run.by,
        "parting": list(run.parting()),
        "measures": [_measure(one) for one in run.measures],
        "events": [_event(pair) for pair in run.events],
        "channels": [
            {"name": c.name, "unit": si_unit(c.dimension), "time": c.time, "a": c.a, "b": c.b} for c in run.channels
        ],
    }


def _side(run: Run) -> dict[str, Any]:
    return {
        "circuit": run.circuit.name, "scenario": run.scenario.name, "variant": run.variant, "status": run.status,
        "message": run.message,
    }  # fmt: skip


def _measure(one: MeasureDifference) -> dict[str, Any]:
    return {
        "name": one.name, "unit": si_unit(one.dimension), "a": _result(one.a), "b": _result(one.b),
        "difference": one.difference, "share": one.share, "threshold": one.threshold, "differs": one.telling,
        "limit_turned": one.turned,
    }  # fmt: skip


def _result(result: MeasureResult | None) -> dict[str, Any] | None:
    if result is None:
        return None
    return {
        "value": result.value, "limit": result.limit or None, "met": result.met, "reason": result.reason,
        "error": result.error,
    }  # fmt: skip


def _event(pair: EventPair) -> dict[str, Any]:
    event = pair.event
    return {
        "category": event.category, "kind": event.kind, "component": event.component, "parted": pair.parted,
        **{side: None if one is None else {"time": one.time, "text": one.text}
           for side, one in (("a", pair.a), ("b", pair.b))},
        "difference": pair.difference,
    }  # fmt: skip


def _change(change: Change) -> Row:
    unit = si_unit(change.dimension) if isinstance(change.a if change.b is None else change.b, float) else ""
    return (change.section, change.what, change.a, change.b, unit)


def _measures(comparison: Comparison) -> Iterator[Row]:
    for run in comparison.scenarios:
        for one in run.measures:
            a, b = (result or MeasureResult(one.name, None, one.dimension) for result in (one.a, one.b))
            yield (
                run.name, one.name, a.value, b.value, one.difference, one.share, si_unit(one.dimension), one.threshold,
                one.telling, a.limit, a.met, b.limit, b.met,
                *(x.reason if y else f"{side} does not have it" for side, x, y in (("A", a, one.a), ("B", b, one.b))),
                a.error, b.error,
            )  # fmt: skip


def _events(comparison: Comparison) -> Iterator[Row]:
    for run in comparison.scenarios:
        for pair in run.events:
            event, sides = pair.event, (pair.a, pair.b)
            times = (None if one is None else one.time for one in sides)
            texts = (None if one is None else one.text for one in sides)
            yield (
                run.name, event.category, event.kind, event.component, *times, pair.difference, pair.parted, *texts
            )
