"""What the strokes mean, below the drawing."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.show.schematic.labels import text_width
from pneusim.show.schematic.layout import Layout
from pneusim.show.schematic.place import CELL
from pneusim.show.schematic.symbols.strokes import signal

_KINDS = (
    ("", "working line", lambda net: not net.pilot and not net.hose),
    ("pilot", "control line", lambda net: net.pilot),
    ("hose", "hose", lambda net: net.hose),
)
_SAMPLE = 48


def legend(layout: Layout) -> Iterator[str]:
    """A sample of every kind of line that the drawing has."""
    y = CELL * layout.frame.height - 20
    used = [(kind, words) for kind, words, shown in _KINDS if any(shown(net) for net in layout.sheet.nets)]
    if layout.routes.signals:
        used.append(("signal", "signal"))
    width = sum(_SAMPLE + 36 + text_width(words) for _, words in used)
    x = max(CELL * layout.frame.width - 24 - width, 12.0)
    yield '<g id="legend">'
    for kind, words in used:
        d = f"M{x:.0f},{y} h{_SAMPLE}"
        strokes = f'<path class="casing" d="{d}"/><path class="core" d="{d}"/>'
        yield f'<g class="line {kind}">{strokes}</g>' if kind != "signal" else signal(d)
        yield f'<text x="{x + _SAMPLE + 8:.0f}" y="{y + 7}">{words}</text>'
        x += _SAMPLE + 36 + text_width(words)
    yield "</g>"
