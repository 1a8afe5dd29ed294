"""How a run shows itself in a notebook."""

from __future__ import annotations

from html import escape
from importlib import import_module
from typing import Any

from pneusim.quantities import express
from pneusim.results.run import MeasureResult, Run


def run_as_html(run: Run) -> str:
    """Title, story, the measures with a limit, a small overview, and the closures, as HTML."""
    show: Any = import_module("pneusim.show.notebook")  # asked for by name: results know nothing of pictures
    scenario = run.scenario
    variant = f", variant {run.variant}" if run.variant else ""
    judged = [result for result in run.measures if result.limit]
    return "".join(
        (
            f"<h4>{escape(run.circuit.title)}: {escape(scenario.title or scenario.name)}{escape(variant)}</h4>",
            "" if run.status == "ok" else f"<p><b>Failed:</b> {escape(run.message)}</p>",
            _list(run.narrative),
            _table(judged) if judged else "",
            show.run_as_picture(run),
            f"<p>{len(run.channels)} channels, {len(run.events)} events, {len(run.measures)} measures; "
            f"mass closes to {run.closure.mass:.1e}, energy to {run.closure.energy:.1e}.</p>",
        )
    )


def _list(sentences: tuple[str, ...]) -> str:
    items = "".join(f"<li>{escape(sentence)}</li>" for sentence in sentences)
    return f"<ul>{items}</ul>" if items else ""


def _table(results: list[MeasureResult]) -> str:
    rows = "".join(
        f"<tr><td>{escape(r.name)}</td>"
        f"<td>{escape(r.reason if r.value is None else express(r.value, r.dimension))}</td>"
        f"<td>{escape(r.limit)}</td><td>{'met' if r.met else 'not met'}</td></tr>"
        for r in results
    )
    return f"<table><tr><th>measure</th><th>value</th><th>limit</th><th></th></tr>{rows}</table>"
