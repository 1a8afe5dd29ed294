"""Groups of curves that tell a run, for figures and pages."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pneusim.results.run import Run
from pneusim.show.figures import curves
from pneusim.show.figures.curves import Curve
from pneusim.show.figures.flows import of_flows
from pneusim.show.figures.road import curves as road
from pneusim.show.figures.road import rows
from pneusim.show.figures.rows import Row


@dataclass(frozen=True)
class Group:
    """Curves that belong together: their title, and the curves of a run between two times [s].

    ``rows`` say below them what was so from when to when; ``ends`` are those of the axis [SI], None where the curves
    tell them; ``words`` stand at the axis in place of those of the dimension.
    """

    title: str
    curves: Callable[[Run, float, float], list[Curve]]
    rows: Callable[[Run], list[Row]] = lambda _: []
    ends: tuple[float, float] | None = None
    words: str = ""


GROUPS = {
    "reservoirs": Group("Reservoirs", lambda run, *_: curves.of_reservoirs(run)),
    "controls": Group("Controls and couplings", lambda run, *_: curves.of_controls(run)),
    "chambers": Group("Brake chambers", lambda run, *_: curves.of_chambers(run)),
    "forces": Group("Pushrod forces", lambda run, *_: curves.of_forces(run)),
    "strokes": Group("Strokes", lambda run, *_: curves.of_strokes(run)),
    "flows": Group("Flows that carry most", of_flows),
    "speeds": Group("Speeds", lambda run, *_: road.of_speeds(run), rows.of_speeds),
    "slips": Group(
        "Slips: 0 % rolls, 100 % is locked", lambda run, *_: road.of_slips(run), ends=(-0.05, 1.05), words="slip"
    ),
    "loads": Group("Loads of axles and hitches", lambda run, *_: road.of_loads(run)),
    "hitches": Group("Forces between units", lambda run, *_: road.of_hitches(run)),
    "heat": Group("Turned into heat", lambda run, *_: road.of_heat(run)),
}

SAVED = ("speeds", "slips", "reservoirs", "controls", "chambers", "forces")
"""The groups that the overview and the replay page show, where a run has curves of them."""

ALONE = ("loads", "hitches", "heat")
"""Groups that are written to a result's folder besides."""


def telling(run: Run) -> list[str]:
    """The groups that the overview and the replay page of a run show."""
    return [name for name in SAVED if GROUPS[name].curves(run, *run.span)]
