"""Colours and line styles: told apart in print, on a projector, and by people with any colour vision.

The six line colours have at least 3:1 contrast on white, and stay at least 0.12 apart in OKLab under
simulated full protanopia, deuteranopia and tritanopia (a test recomputes both).  Colour is never alone: every
curve also has its own marker, and every quantity its own dash.  Red is kept for faults.
"""

from __future__ import annotations

from typing import Any

LINES = ("#355acc", "#ca5f0d", "#2b0b26", "#3e9d93", "#9b1484", "#464c08")
"""Colours of curves, in the order of use."""

MARKERS = ("o", "s", "^", "D", "v", "P", "X", "<", ">")
"""Markers of curves, in the order of use: more than there are colours, so that pairs repeat late."""

DASHES = {"solid": "-", "dashed": (0, (5.0, 2.0)), "dotted": (0, (1.2, 1.6)), "dashdot": (0, (6.0, 1.6, 1.2, 1.6))}
"""Dashes by name: service pressure and force are solid, hold-off pressure dashed; of two runs the second is dashed, and
hold-off pressures are dotted and dash-dotted."""

INK = "#1b1f27"
"""Text and axes: 16:1 on white."""

QUIET = "#5c6470"
"""Event marks and grid labels: 6:1 on white."""

GRID = "#d9dde3"
"""Grid lines: decoration only."""

PRESSURES = {
    "light": (
        "#f7f0d7", "#edebcc", "#e2e6c3", "#d6e1bc", "#c9dcb6", "#bcd7b1", "#afd2ad", "#a2ccaa", "#94c7a8",
        "#86c2a6", "#78bca6", "#6ab6a5", "#5db0a5", "#4faaa6", "#41a4a6", "#349da6", "#2796a7", "#1a8fa7",
        "#0e88a7", "#0580a7", "#0579a6", "#0c71a5", "#1569a4", "#1d61a2", "#24599f", "#2b509c", "#304898",
        "#353f94", "#39368f", "#3c2d89", "#3f2483", "#40197c", "#420c74",
    ),
    "dark": (
        "#443d24", "#474326", "#494a29", "#4a512c", "#4a5731", "#495e37", "#47653e", "#436c46", "#3f734f",
        "#3a7a5a", "#368065", "#318671", "#2c8c7d", "#289289", "#269796", "#279ca2", "#2da0ae", "#39a4ba",
        "#46a8c5", "#53abd0", "#60aeda", "#6db2e3", "#7bb5ec", "#89b7f3", "#97bafa", "#a5befd", "#b3c1fe",
        "#bfc5ff", "#cbcafe", "#d5cffe", "#e0d4ff", "#e9daff", "#f1e0ff",
    ),
}  # fmt: skip
"""Pressure from empty to full on each ground: sand, green, teal, blue, violet in equal steps of OKLab, ever darker on a
light ground, ever brighter on a dark one: full lines stand out most.

The first and the last of them do not stand out from every ground by themselves: lines have a casing.
"""

GROUNDS = {
    "light": {
        "ink": INK, "paper": "#ffffff", "body": "#eef1f4", "edge": "#b4bdc8", "axle": "#c3cad3",
        "quiet": "#46505c", "fault": "#a4161a", "focus": "#0a4fa3", "casing": INK,
    },
    "dark": {
        "ink": "#eef1f5", "paper": "#12161d", "body": "#1f2630", "edge": "#56616f", "axle": "#3a4451",
        "quiet": "#b3bdc9", "fault": "#ff8178", "focus": "#8cbcff", "casing": "#717c8a",
    },
}  # fmt: skip
"""Colours of the schematic on a light and on a dark ground; scene.css has the same."""

WARNING = "#ffd23f"
"""Ground of a warning, with a dark sign on it."""


def style(index: int, hollow: bool = False) -> dict[str, Any]:
    """Colour and marker of the curve with this index; a hollow marker tells its twin apart."""
    colour = LINES[index % len(LINES)]
    return {
        "color": colour,
        "marker": MARKERS[index % len(MARKERS)],
        "markerfacecolor": "white" if hollow else colour,
    }
