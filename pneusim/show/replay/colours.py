"""Colours of pressure: light is empty, dark is full."""

from __future__ import annotations

PRESSURES = (
    "#f7f0d7", "#edebcc", "#e2e6c3", "#d6e1bc", "#c9dcb6", "#bcd7b1", "#afd2ad", "#a2ccaa", "#94c7a8", "#86c2a6",
    "#78bca6", "#6ab6a5", "#5db0a5", "#4faaa6", "#41a4a6", "#349da6", "#2796a7", "#1a8fa7", "#0e88a7", "#0580a7",
    "#0579a6", "#0c71a5", "#1569a4", "#1d61a2", "#24599f", "#2b509c", "#304898", "#353f94", "#39368f", "#3c2d89",
    "#3f2483", "#40197c", "#420c74",
)  # fmt: skip
"""From no pressure to the highest: equal steps in OKLab, the lightness falling throughout under every colour vision."""

FAULT = "#a4161a"
"""Red is kept for what is broken."""
