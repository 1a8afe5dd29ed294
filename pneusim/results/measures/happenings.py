"""Warnings and trips, in order, each with its time."""

from __future__ import annotations

from collections import Counter

from pneusim.results.run import MeasureResult, Run


def measure(run: Run) -> list[MeasureResult]:
    """``<component>.<event>`` [s]; the second of the same kind is ``<component>.<event>_2``."""
    count: Counter[str] = Counter()
    results = []
    for event in run.events:
        if event.category in ("trip", "warning"):
            name = f"{event.component}.{event.kind}"
            count[name] += 1
            number = "" if count[name] == 1 else f"_{count[name]}"
            results.append(MeasureResult(name + number, event.time, "time"))
    return results
