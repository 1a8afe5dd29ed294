"""How a circuit and the picture of a run show themselves in a notebook."""

from __future__ import annotations

from base64 import b64encode
from html import escape

from pneusim.circuit.circuit import Circuit
from pneusim.errors import UsageError
from pneusim.results.run import Run
from pneusim.show.figures.groups import SAVED
from pneusim.show.figures.plots import plot
from pneusim.show.schematic.arrange import is_settled
from pneusim.show.schematic.picture import draw
from pneusim.show.schematic.sheet import sheet

DPI = 60
"""Fineness of the picture of a run."""


def circuit_as_html(circuit: Circuit) -> str:
    """What a circuit is, its scenarios, and its schematic; where that must first be searched for, its parts."""
    scenarios = "".join(f"<li><b>{escape(s.name)}</b> {escape(s.title)}</li>" for s in circuit.scenarios.values())
    size = f"{len(circuit.components)} parts, {len(circuit.lines)} lines"
    head = f"<b>{escape(circuit.title)}</b><br>{escape(circuit.about)}<br>{size}"
    return f"{head}<ul>{scenarios}</ul>{_drawing(circuit) or _parts(circuit)}"


def run_as_picture(run: Run) -> str:
    """The overview of a run as an image, "" if there is nothing to draw."""
    try:
        figure = plot(run)
    except UsageError:
        return ""
    words = f"{', '.join(SAVED)} over time"
    return f'<img alt="{words}" src="data:image/png;base64,{b64encode(figure.small_png(DPI)).decode()}">'


def _drawing(circuit: Circuit) -> str:
    try:
        return draw(circuit).svg if is_settled(sheet(circuit)) else ""
    except UsageError:
        return ""


def _parts(circuit: Circuit) -> str:
    rows = "".join(
        f"<tr><td>{escape(part.name)}</td><td>{escape(circuit.title_of(part))}</td><td>{escape(part.type)}</td></tr>"
        for part in circuit.components.values()
    )
    return f"<table><tr><th>name</th><th>what it is</th><th>type</th></tr>{rows}</table>"
