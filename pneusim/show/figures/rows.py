"""Rows under the curves of a panel that say what was so from when to when: locked wheels, commands of modulators."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from matplotlib.axes import Axes
from matplotlib.offsetbox import AnnotationBbox, DrawingArea, HPacker, TextArea
from matplotlib.patches import Rectangle

from pneusim.show import palette

HIGH, MOST = 0.085, 0.6
"""Height of a row over that of the curves' axis, and of all rows together at most."""

FEW, MORE = 4, 0.2
"""So many rows have room in a panel; it is higher by this for each more [in]."""

WORD = 0.09
"""What lasts this share of the time shown has room for its word."""


SMALL: Any = {"size": "small", "color": palette.INK}
"""Text of the key."""


class Look(NamedTuple):
    """How a state is drawn: its lower and upper edge in the row, its colour, whether its word can stand in it."""

    low: float
    high: float
    colour: str
    named: bool = False


LOOKS = {
    "locked": Look(0.12, 0.88, palette.INK, named=True),
    "apply": Look(0.62, 0.88, palette.LINES[0]),
    "hold": Look(0.38, 0.62, palette.QUIET),
    "release": Look(0.12, 0.38, palette.LINES[1]),
}
"""By state; commands are told apart by their height too."""


KEY = {"locked": "locked, above 15 km/h"}
"""What the key says more than the word."""


@dataclass(frozen=True)
class Row:
    """A row: what it is of, and from when to when [s] it was in which state, a key of `LOOKS`."""

    label: str
    states: Sequence[tuple[float, float, str]]


def height(rows: Sequence[Row]) -> float:
    """By how much rows make their panel higher [in]."""
    return MORE * max(len(rows) - FEW, 0)


def draw(axes: Axes, rows: Sequence[Row], span: tuple[float, float]) -> None:
    """Draw rows below zero of the axes, with a key of their states."""
    if not rows:
        return
    top = axes.get_ylim()[1]
    ticks = [tick for tick in axes.get_yticks() if 0.0 <= tick <= top]
    step = min(HIGH, MOST / (len(rows) + 1)) * top
    for k, row in enumerate(rows, 1):
        _draw(axes, row, -k * step - 0.4 * step, step, span)
    _key(axes, {state for row in rows for *_, state in row.states}, (0.4 + len(rows) + 0.55) * -step)
    axes.axhline(0.0, color=palette.INK, linewidth=0.8, zorder=1)
    axes.set_ylim(-(len(rows) + 1.5) * step, top)
    axes.set_yticks([*ticks, *(-(k + 0.9) * step + step for k in range(1, len(rows) + 1))])
    axes.set_yticklabels([*(f"{tick:g}" for tick in ticks), *(row.label for row in rows)])
    for label in axes.get_yticklabels()[len(ticks) :]:
        label.set_fontsize("medium" if len(rows) <= FEW else "small")


def _draw(axes: Axes, row: Row, bottom: float, high: float, span: tuple[float, float]) -> None:
    for start, end, state in row.states:
        look = LOOKS[state]
        start, end = max(start, span[0]), min(end, span[1])
        if not start < end:
            continue
        low = bottom + look.low * high
        axes.add_patch(Rectangle((start, low), end - start, (look.high - look.low) * high, **_filled(look)))
        if look.named and end - start > WORD * (span[1] - span[0]):
            axes.text((start + end) / 2.0, bottom + 0.47 * high, state, color="white", ha="center", va="center",
                      fontsize="small", clip_on=True)  # fmt: skip


def _filled(look: Look) -> dict[str, Any]:
    return {"facecolor": look.colour, "edgecolor": look.colour, "linewidth": 0.5, "zorder": 2}


def _key(axes: Axes, states: set[str], y: float) -> None:
    """What the states look like, from the left."""
    shown: list[Any] = []
    for state, look in LOOKS.items():
        if state in states:
            sample = DrawingArea(16, 10)
            low, high = 10 * look.low, 10 * look.high
            sample.add_artist(Rectangle((0, low), 16, high - low, **_filled(look)))
            word = TextArea(KEY.get(state, state), textprops=SMALL)
            shown += [HPacker(children=[sample, word], pad=0, sep=4, align="center")]
    box = HPacker(children=shown, pad=0, sep=14, align="center")
    at = ("axes fraction", "data")
    axes.add_artist(AnnotationBbox(box, (0.0, y), (4, 0), at, "offset points", frameon=False, pad=0.0,
                                   box_alignment=(0.0, 0.5)))  # fmt: skip
