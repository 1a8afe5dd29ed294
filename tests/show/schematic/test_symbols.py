"""Every part has a drawing."""

import xml.etree.ElementTree as ET

import pytest

from pneusim.parts.registry import part, part_types
from pneusim.show.schematic.symbols.registry import DRAWINGS

IN_USE = sorted({part(name).symbol for name in part_types()})


def test_every_part_has_a_symbol():
    assert set(IN_USE) <= set(DRAWINGS)
    assert set(DRAWINGS) - set(IN_USE) == {"stub"}


@pytest.mark.parametrize("name", IN_USE)
def test_a_symbol_is_drawn(name):
    drawing = DRAWINGS[name]
    text = drawing.draw(12.0 * drawing.width, 12.0 * drawing.height)
    strokes = list(ET.fromstring(f"<g>{text}</g>").iter())[1:]
    assert strokes
    assert {stroke.tag for stroke in strokes} <= {"path", "rect", "circle", "text", "g"}
    assert drawing.width % 2 == drawing.height % 2 == 0, "centres must lie on the grid"


def test_symbols_differ():
    same = {("push_pull", "push_pull")}
    drawn = {}
    for name, drawing in DRAWINGS.items():
        text = drawing.draw(72.0, 48.0)
        assert text not in drawn or (drawn[text], name) in same
        drawn[text] = name
