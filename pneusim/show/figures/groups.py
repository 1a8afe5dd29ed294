"""Groups of curves that tell a run, for figures and pages."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pneusim.results.run import Run
from pneusim.show.figures import curves
from pneusim.show.figures.curves import Curve
from pneusim.show.figures.flows import of_flows


@dataclass(frozen=True)
class Group:
    """Curves that belong together: their title, and the curves of a run between two times [s]."""

    title: str
    curves: Callable[[Run, float, float], list[Curve]]


GROUPS = {
    "reservoirs": Group("Reservoirs", lambda run, *_: curves.of_reservoirs(run)),
    "controls": Group("Controls and couplings", lambda run, *_: curves.of_controls(run)),
    "chambers": Group("Brake chambers", lambda run, *_: curves.of_chambers(run)),
    "forces": Group("Pushrod forces", lambda run, *_: curves.of_forces(run)),
    "strokes": Group("Strokes", lambda run, *_: curves.of_strokes(run)),
    "flows": Group("Flows that carry most", of_flows),
}

SAVED = ("reservoirs", "controls", "chambers", "forces")
"""The groups that are written to a result's folder, and that the overview and the replay page show."""
