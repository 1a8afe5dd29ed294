"""Which curves a figure shows, named as people name them; brakes that do the same are one curve."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from pneusim.quantities import DIMENSIONS
from pneusim.results.measures.brakes import Brake, brakes
from pneusim.results.measures.reservoirs import reservoirs
from pneusim.results.run import Channel, Run
from pneusim.results.words import places, title

Owner = TypeVar("Owner")

NEGLIGIBLE = {"pressure": 2e3, "force": 50.0, "length": 5e-4}
"""A distance below this is none, whatever the largest value [SI]."""

QUIET = 1e3
"""Controls that never deliver more than this are left out [Pa]."""

SAME = 0.01
"""Curves whose distance is below this share of the largest value are one curve."""


@dataclass(frozen=True)
class Curve:
    """A curve of a figure: SI values, its name, and its dash (a key of ``palette.DASHES``).

    ``colour`` counts in the palette: brakes of one axle have one colour in all figures, those of its right
    side alone hollow markers.  ``channels`` names the channels that it stands for; ``while_above`` another channel and
    the size [SI] above which this one says something.
    """

    label: str
    times: npt.NDArray[np.float64]
    values: npt.NDArray[np.float64]
    dimension: str
    dash: str = "solid"
    colour: int = 0
    hollow: bool = False
    channels: tuple[str, ...] = ()
    while_above: tuple[str, float] | None = None


CONTROLS: dict[str, dict[str, str]] = {
    "foot_valve": {"primary_pressure": "primary", "secondary_pressure": "secondary"},
    "hand_valve": {"pressure": ""},
    "park_control": {"pressure": "delivery"},
    "trailer_supply_control": {"pressure": "delivery"},
    "trailer_spring_brake_valve": {"spring_pressure": "to the springs"},
    "coupling_head": {"pressure": ""},
    "supply": {"pressure": ""},
}
"""By type of part, the channels that a figure of controls shows, and how each is called behind the part's
name."""


def of_reservoirs(run: Run) -> list[Curve]:
    """Pressures in all reservoirs."""
    return coloured(of_channel(run.channels[f"{c.name}.pressure"], title(run, c)) for c in reservoirs(run))


def of_controls(run: Run) -> list[Curve]:
    """What the driver's controls deliver, and the pressures at the couplings."""
    found = []
    for component in run.circuit.components.values():
        for quantity, words in CONTROLS.get(component.type, {}).items():
            channel = run.channels.get(f"{component.name}.{quantity}")
            if channel is not None and float(np.abs(channel.values).max()) > QUIET:
                found.append(of_channel(channel, ", ".join(filter(None, (title(run, component), words)))))
    return coloured(found)


def of_chambers(run: Run) -> list[Curve]:
    """Service pressures, solid, and hold-off pressures of the springs, dashed."""
    springs = _of_brakes(run, lambda brake: brake.spring_pressure, ", hold-off", "dashed")
    return _of_brakes(run, lambda brake: brake.pressure) + springs


def of_forces(run: Run) -> list[Curve]:
    """Pushrod forces."""
    return _of_brakes(run, lambda brake: brake.force)


def of_strokes(run: Run) -> list[Curve]:
    """Pushrod strokes, solid, and travels of the springs' pistons, dashed."""
    springs = _of_brakes(run, lambda brake: brake.spring_travel, ", spring", "dashed")
    return _of_brakes(run, lambda brake: brake.stroke) + springs


def of_channels(run: Run, names: Iterable[str]) -> list[Curve]:
    """Channels by name; a wrong name tells the nearest ones (KeyError)."""
    return coloured(of_channel(run[name], run[name].label) for name in names)


def coloured(curves: Iterable[Curve]) -> list[Curve]:
    """The curves with colours in order."""
    return [replace(curve, colour=k) for k, curve in enumerate(curves)]


def sampled(curves: Sequence[Curve], start: float, end: float) -> list[Curve]:
    """The curves between two times [s], one sample more on each side."""
    cut = []
    for curve in curves:
        i = max(int(np.searchsorted(curve.times, start, side="left")) - 1, 0)
        j = int(np.searchsorted(curve.times, end, side="right")) + 1
        cut.append(replace(curve, times=curve.times[i:j], values=curve.values[i:j]))
    return cut


def alike(
    found: Iterable[tuple[Owner, Channel]], unit: Callable[[Owner], str], limit: float
) -> list[list[tuple[Owner, Channel]]]:
    """Owners of one unit whose channels nowhere differ by more than a limit; what is not a number counts as nothing."""
    groups: list[list[tuple[Owner, Channel]]] = []
    for owner, own in found:
        for members in groups:
            other = members[0][1].values
            same = own.values.shape == other.shape and unit(members[0][0]) == unit(owner)
            if same and float(np.nan_to_num(np.abs(own.values - other)).max()) <= limit:
                members.append((owner, own))
                break
        else:
            groups.append([(owner, own)])
    return groups


def of_channel(channel: Channel, label: str, dash: str = "solid") -> Curve:
    """A channel as a curve."""
    dimension = channel.dimension if channel.dimension in DIMENSIONS else "number"
    return Curve(label, channel.times, channel.values, dimension, dash, channels=(channel.name,))


def _of_brakes(
    run: Run, channel: Callable[[Brake], Channel | None], words: str = "", dash: str = "solid"
) -> list[Curve]:
    """One curve for every set of brakes of a vehicle that do the same."""
    found = [(brake, own) for brake in brakes(run) if (own := channel(brake)) is not None]
    scale = max((float(np.abs(own.values).max()) for _, own in found), default=0.0)
    limit = max(SAME * scale, NEGLIGIBLE[found[0][1].dimension] if found else 0.0)
    groups = alike(found, lambda brake: brake.component.unit, limit)
    return [_together(run, members, words, dash) for members in groups]


def _together(run: Run, members: Sequence[tuple[Brake, Channel]], words: str, dash: str) -> Curve:
    """One curve for brakes that do the same, in the colour of their first axle; one without an axle counts as one."""
    own = [brake for brake, _ in members]
    axles = list(dict.fromkeys(_axle(brake) for brake in brakes(run)))
    return replace(
        of_channel(members[0][1], _name(run, own) + words, dash),
        colour=axles.index(_axle(own[0])),
        hollow={brake.component.side for brake in own} == {"right"},
        channels=tuple(channel.name for _, channel in members),
    )


def _axle(brake: Brake) -> tuple[str, int | str]:
    component = brake.component
    return component.unit, component.name if component.axle is None else component.axle


def _name(run: Run, members: Sequence[Brake]) -> str:
    """``trailer axles 1 to 3``, ``tractor axle 2 both sides``, ``axle 1 left``."""
    where = places(run, [brake.name for brake in members])
    axles = {brake.component.axle for brake in members}
    sides = {brake.component.side for brake in members}
    both = axles != {None} and len(axles) == 1 and {"left", "right"} <= sides
    return f"{where} both sides" if both else where
