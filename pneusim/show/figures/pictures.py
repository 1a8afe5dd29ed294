"""Pictures that are not over time, by name; what they need is loaded when one is asked for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib import import_module

from pneusim.errors import UsageError
from pneusim.results.road.rolling import units
from pneusim.results.run import Run
from pneusim.show.figures.panels import RunFigure


@dataclass(frozen=True)
class Asked:
    """What is to be drawn: a run, others beside it, the unit system, the part of the run [s], or a moment of it [s].

    ``band`` holds (pressure [Pa gauge], lowest, highest ratio [-]).
    """

    run: Run
    others: Sequence[Run]
    units: str
    start: float | None = None
    end: float | None = None
    at: float | None = None
    band: Sequence[tuple[float, float, float]] = ()


@dataclass(frozen=True)
class Picture:
    """A picture: its title, its module, what it needs and can do, and which runs have it in their folders.

    ``road``: it is of a run on a road; ``moment``: it shows one; ``several``: it shows several runs.
    """

    title: str
    home: str
    road: bool = True
    moment: bool = False
    several: bool = False
    saved: Callable[[Run], bool] = lambda _: False


_ROAD = "pneusim.show.figures.road"


def _rolls(run: Run) -> bool:
    return any(abs(unit.speed.values).max() > 1.0 for unit in units(run))


PICTURES = {
    "friction": Picture("Friction used against slip", f"{_ROAD}.friction", moment=True, saved=_rolls),
    "ellipse": Picture("Friction for braking and for steering", f"{_ROAD}.ellipse", moment=True),
    "side_force": Picture("Side force left while braking", f"{_ROAD}.side_force", moment=True),
    "distance": Picture("Speed against distance", f"{_ROAD}.distance", several=True, saved=_rolls),
    "utilisation": Picture("Adhesion utilisation", f"{_ROAD}.utilisation", road=False),
    "braking_ratio": Picture("Braking ratio against pressure", f"{_ROAD}.braking_ratio", road=False),
}


BANDED = "braking_ratio"
"""The picture that shows a band."""


def picture(name: str, asked: Asked) -> RunFigure:
    """Draw one of `PICTURES`.

    Raises
    ------
    UsageError
        If it needs a road and the run has none, or it cannot show what is asked.
    """
    one = PICTURES[name]
    if one.road and any(run.scenario.road is None for run in (asked.run, *asked.others)):
        raise UsageError(f"{name} needs a road: give the scenario one, for example road: {{speed: 60 km/h}}")
    if asked.at is not None and not one.moment:
        raise UsageError(f"{name} shows the whole run, not a moment")
    if asked.others and not one.several:
        raise UsageError(f"{name} shows one run, not several beside each other")
    if asked.band and name != BANDED:
        raise UsageError(f"a band is drawn by {BANDED} alone")
    drawn: RunFigure = import_module(one.home).figure(asked)
    return drawn


def pictures_of(run: Run) -> list[str]:
    """The pictures that are written to a result's folder."""
    return [name for name, one in PICTURES.items() if one.saved(run)]
