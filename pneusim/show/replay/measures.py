"""The measures of a run for a page."""

from __future__ import annotations

from typing import Any

from pneusim.quantities import express
from pneusim.results.restate import restate
from pneusim.results.run import MeasureResult, Run
from pneusim.results.words import amount, measure_words
from pneusim.show.tables.made import NONE


def measures(run: Run, units: str) -> list[dict[str, Any]]:
    """Measures with a limit first, then those that the file asks for, then the others."""
    own = {measure.name for measure in run.scenario.measures}
    ranked = sorted(run.measures, key=lambda m: (not m.limit, m.name not in own))
    return [
        {
            "name": m.name, "words": measure_words(run, m.name, units), "value": _value(m, units),
            "limit": restate(m.limit, units) + (f" ({m.source})" if m.source else ""), "met": m.met,
            "reason": restate(m.reason, units), "asked": bool(m.limit) or m.name in own,
        }
        for m in ranked
    ]  # fmt: skip


def _value(measure: MeasureResult, units: str) -> str:
    if measure.value is None:
        return NONE
    error = f" ± {express(measure.error, measure.dimension, units)}" if measure.error is not None else ""
    return f"{amount(measure.value, measure.dimension, units)}{error}"
