"""A governor's signal is drawn to what it governs, though no line of the circuit carries it."""

from itertools import pairwise

import pytest

from pneusim.circuit.circuit import Circuit, Component
from pneusim.show.replay import scene
from pneusim.show.schematic.place import Box, Frame
from pneusim.show.schematic.ports import Pin
from pneusim.show.schematic.route import route
from pneusim.show.schematic.sheet import Net, sheet
from tests.circuits.shipped import circuit
from tests.show.schematic.drawn import NAMES, drawing, layout, points, within

GOVERNED = [name for name in NAMES if any(part.type == "governor" for part in circuit(name).components.values())]


@pytest.mark.parametrize("name", GOVERNED)
def test_every_governor_tells_its_compressor_and_the_dryer(name):
    made = layout(name)
    assert len(made.sheet.signals) == len(made.routes.signals) == 1
    (net,), (route,) = made.sheet.signals, made.routes.signals.values()
    assert [made.sheet.nodes[end].type for end, _ in net.ends] == ["governor", "compressor", "air_dryer"]
    steps = {frozenset(step) for other in made.routes.found.values() for way in points(other) for step in pairwise(way)}
    boxes = made.frame.boxes
    touched = set()
    for branch in points(route):
        assert not [step for step in pairwise(branch) if frozenset(step) in steps], "it runs along a line"
        for point in branch:
            here = {box for box in boxes if within(boxes[box], point)}
            assert not here or point in (branch[0], branch[-1])
            touched |= here
    assert touched == {end for end, _ in net.ends}
    assert drawing(name).svg.count('class="signal"') == 1
    assert ">signal</text>" in drawing(name).svg


def test_a_signal_is_no_line():
    made = circuit("tractor-semitrailer")
    (net,) = layout("tractor-semitrailer").sheet.signals
    told = scene.actors(made, layout("tractor-semitrailer"), [f"{name}.pressure_in" for name in made.lines])
    assert net.id not in {actor["element"] for actor in told}
    text = scene.drawing(layout("tractor-semitrailer"))
    assert net.id not in text
    assert f"<title>{net.title}</title>" in text
    assert net.title == "signal: tractor governor to compressor, air dryer"


def signals(parts):
    return [[end for end, _ in net.ends] for net in sheet(Circuit("", parts, {})).signals]


def test_a_governor_tells_the_compressor_that_it_names():
    parts = {name: Component(name, "compressor") for name in ("one", "two")}
    parts["governor"] = Component("governor", "governor")
    assert signals(parts) == []
    parts["governor"] = Component("governor", "governor", {"compressor": "two"})
    parts["dryer"] = Component("dryer", "air_dryer", {"compressor": "one"})
    assert signals(parts) == [["governor", "two"]]
    parts["dryer"] = Component("dryer", "air_dryer", {"compressor": "two"})
    assert signals(parts) == [["governor", "two", "dryer"]]


def test_a_drawing_without_a_governor_does_not_speak_of_signals():
    assert 'class="signal"' not in drawing("semitrailer-3axle").svg
    assert ">signal</text>" not in drawing("semitrailer-3axle").svg


def test_a_signal_that_finds_no_way_is_left_out():
    boxes = {"g": Box(5, 5, 4, 4), "c": Box(30, 5, 4, 4), "n": Box(4, 2, 12, 1), "s": Box(4, 11, 12, 1)}
    boxes |= {"e": Box(12, 3, 1, 8), "w": Box(2, 2, 1, 10)}
    net = Net("s-g", "signal", (("g", ""), ("c", "")))
    exits = {("g", ""): [Pin(9, 7, "E"), Pin(7, 5, "N")], ("c", ""): [Pin(30, 7, "W")]}
    assert not route([], {}, Frame(boxes, 40, 20, (), {}), signals=[(net, exits)]).signals
    del boxes["e"]
    assert set(route([], {}, Frame(boxes, 40, 20, (), {}), signals=[(net, exits)]).signals) == {"s-g"}


def test_a_signal_leaves_where_no_line_is():
    boxes = {"g": Box(5, 5, 4, 4), "c": Box(30, 5, 4, 4)}
    pins = {("g", "1"): Pin(9, 7, "E"), ("c", "2"): Pin(30, 7, "W")}
    nets = [Net("l-x", "x", (("g", "1"), ("c", "2")))]
    signal = Net("s-g", "signal", (("g", ""), ("c", "")))
    exits = {("g", ""): [Pin(9, 7, "E"), Pin(7, 5, "N")], ("c", ""): [Pin(32, 5, "N")]}
    made = route(nets, pins, Frame(boxes, 40, 20, (), {}), signals=[(signal, exits)])
    assert made.signals["s-g"].branches[0][0] in ((7, 5), (32, 5))
    assert made.signals["s-g"].branches[0][-1] in ((7, 5), (32, 5))
