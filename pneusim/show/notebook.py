"""How a circuit and a run show themselves in a notebook."""

from __future__ import annotations

from pneusim.circuit.circuit import Circuit
from pneusim.errors import UsageError
from pneusim.quantities import express
from pneusim.results.run import MeasureResult, Run
from pneusim.show.figures.groups import telling
from pneusim.show.figures.plots import plot
from pneusim.show.markup import BREAK, Html, html, image, listing, plain_table, tag
from pneusim.show.schematic.arrange import is_settled
from pneusim.show.schematic.picture import draw
from pneusim.show.schematic.sheet import sheet

DPI = 60
"""Fineness of the picture of a run."""


def circuit_as_html(circuit: Circuit) -> str:
    """What a circuit is, its scenarios, and its schematic; where that must first be searched for, its parts."""
    scenarios = [tag("li", tag("b", s.name), f" {s.title}") for s in circuit.scenarios.values()]
    size = f"{len(circuit.components)} parts, {len(circuit.lines)} lines"
    head = html(tag("b", circuit.title), BREAK, circuit.about, BREAK, size)
    return html(head, tag("ul", *scenarios), _drawing(circuit) or _parts(circuit))


def run_as_html(run: Run) -> str:
    """Title, story, the measures with a limit, a small overview, and the closures."""
    judged = [result for result in run.measures if result.limit]
    size = f"{len(run.channels)} channels, {len(run.events)} events, {len(run.measures)} measures"
    closes = f"mass closes to {run.closure.mass:.1e}, energy to {run.closure.energy:.1e}."
    return html(
        tag("h4", f"{run.circuit.title}: {run.title}"),
        "" if run.status == "ok" else tag("p", tag("b", "Failed:"), f" {run.message}"),
        listing(run.narrative),
        _measures(judged) if judged else "",
        _picture(run),
        tag("p", f"{size}; {closes}"),
    )


def _picture(run: Run) -> Html:
    """The overview of a run as an image, nothing if there is nothing to draw."""
    try:
        figure = plot(run)
    except UsageError:
        return Html()
    return image(figure.small_png(DPI), f"{', '.join(telling(run))} over time")


def _measures(results: list[MeasureResult]) -> Html:
    values = [r.reason if r.value is None else express(r.value, r.dimension) for r in results]
    rows = [(r.name, value, r.limit, "met" if r.met else "not met") for r, value in zip(results, values)]
    return plain_table(("measure", "value", "limit", ""), rows)


def _drawing(circuit: Circuit) -> Html:
    try:
        return Html(draw(circuit).svg) if is_settled(sheet(circuit)) else Html()
    except UsageError:
        return Html()


def _parts(circuit: Circuit) -> Html:
    rows = [(part.name, circuit.title_of(part), part.type) for part in circuit.components.values()]
    return plain_table(("name", "what it is", "type"), rows)
