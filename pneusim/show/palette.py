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


def style(index: int, hollow: bool = False) -> dict[str, Any]:
    """Colour and marker of the curve with this index; a hollow marker tells its twin apart."""
    colour = LINES[index % len(LINES)]
    return {
        "color": colour,
        "marker": MARKERS[index % len(MARKERS)],
        "markerfacecolor": "white" if hollow else colour,
    }
