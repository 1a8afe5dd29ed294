"""What stands beside a symbol: what the file calls the part, or its name in words, off the lines."""

from itertools import combinations

import pytest

from pneusim.circuit.circuit import Circuit, Component
from pneusim.show.schematic.labels import label_lines, text_width
from pneusim.show.schematic.quality import segments
from pneusim.show.schematic.sheet import sheet
from pneusim.show.schematic.spots import LINE
from tests.circuits.shipped import circuit
from tests.show.schematic.drawn import NAMES, layout

EDGE = 5.0
"""So much of a label's outline is no text."""


def areas(made):
    """Left, top, right and bottom of every label's text."""
    for name, label in made.labels.items():
        wide, top = max(map(text_width, label.lines)), label.y - 0.8 * 21
        left = label.x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor]
        yield name, (left + EDGE, top + EDGE, left + wide - EDGE, top + LINE * len(label.lines) - EDGE)


def meet(one, other):
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


@pytest.mark.parametrize("name", NAMES)
def test_no_label_lies_on_a_line_or_on_another(name):
    made = layout(name)
    found = dict(areas(made))
    wires = [
        (12 * min(a, c), 12 * min(b, d), 12 * max(a, c), 12 * max(b, d))
        for _, (a, b), (c, d) in (*segments(made.routes), *segments(made.routes, signals=True))
    ]  # fmt: skip
    assert found
    assert not [part for part, area in found.items() if any(meet(area, wire) for wire in wires)]
    assert not [pair for pair in combinations(found, 2) if meet(found[pair[0]], found[pair[1]])]


def lines(**labels):
    parts = {name: Component(name, "relay_valve", label=label) for name, label in labels.items()}
    return {name: label_lines(node) for name, node in sheet(Circuit("", parts, {})).nodes.items()}


def test_a_short_label_is_written_as_it_is_and_for_a_long_one_the_name_in_words():
    made = lines(wet="supply reservoir", low_primary="low-pressure switch of the primary circuit", rear_relay=None)
    assert made["wet"] == ("supply", "reservoir")
    assert made["low_primary"] == ("low primary",)
    assert made["rear_relay"] == ("rear relay",)


def test_two_parts_of_a_unit_with_one_label_are_told_apart_by_their_names():
    assert lines(left="relay valve", right="relay valve") == {"left": ("left",), "right": ("right",)}


def test_words_of_the_narrative_stand_in_the_drawing_of_a_tractor():
    nodes = layout("tractor-semitrailer").sheet.nodes
    written = {name: " ".join(label.lines) for name, label in layout("tractor-semitrailer").labels.items()}
    for name in ("tractor.wet", "tractor.engine_air", "tractor.trailer_supply", "tractor.protection"):
        assert written[name] == circuit("tractor-semitrailer").components[name].label
    assert all("_" not in text for text in written.values())
    assert written["tractor.front_left"] == "front left brake"
    assert nodes["tractor.wet"].label == "wet"


def test_a_word_too_long_for_a_line_stays_whole():
    assert lines(a="Druckluftbehaelterentwaesserung")["a"] == ("a",)
    assert lines(Druckluftbehaelterentwaesserung=None) == {
        "Druckluftbehaelterentwaesserung": ("Druckluftbehaelterentwaesserung",)
    }
