"""Parts stand where they are on the vehicle, seen from above with the front at the left."""

import itertools

import pytest

from pneusim.show.schematic.labels import FONT
from pneusim.show.schematic.place import CELL
from pneusim.show.schematic.zones import has_cab
from tests.show.schematic.drawn import NAMES, layout

DRIVERS = {"foot_valve", "hand_valve", "park_control", "trailer_supply_control", "graduated_park_control"}


def brakes(name, unit):
    return [node for node in layout(name).sheet.nodes.values() if node.unit == unit.name and node.is_brake]


@pytest.mark.parametrize("name", NAMES)
def test_brakes_stand_in_the_order_of_their_axles(name):
    made = layout(name)
    for unit in made.sheet.units:
        for one, other in itertools.combinations(brakes(name, unit), 2):
            a, b = made.frame.boxes[one.name].centre, made.frame.boxes[other.name].centre
            assert (one.axle < other.axle) == (a[0] < b[0])
            assert (one.axle == other.axle) == (a[0] == b[0])


@pytest.mark.parametrize("name", NAMES)
def test_left_wheels_are_at_the_bottom(name):
    made = layout(name)
    for unit in made.sheet.units:
        chassis = made.frame.chassis.get(unit.name)
        for node in brakes(name, unit):
            y = made.frame.boxes[node.name].centre[1]
            assert y > chassis.centre[1] if node.side == "left" else y < chassis.centre[1]


@pytest.mark.parametrize("name", NAMES)
def test_what_the_driver_moves_stands_before_the_first_axle(name):
    made = layout(name)
    for unit in made.sheet.units:
        first = [made.frame.boxes[node.name].centre[0] for node in brakes(name, unit) if node.axle == 1]
        for node in made.sheet.nodes.values():
            if has_cab(unit) and first and node.unit == unit.name and node.type in DRIVERS:
                assert made.frame.boxes[node.name].centre[0] < min(first)


@pytest.mark.parametrize("name", NAMES)
def test_units_follow_each_other_and_heads_face_each_other(name):
    made = layout(name)
    for deck in made.frame.decks:
        for one, other in itertools.pairwise(deck):
            assert made.frame.chassis[one].x + made.frame.chassis[one].w < made.frame.chassis[other].x
    for net in made.sheet.nets:
        if net.coupling:
            front = {made.sheet.nodes[node].end: made.pins[node, port].side for node, port in net.ends}
            assert front == {"rear": "E", "front": "W"}


@pytest.mark.parametrize("name", NAMES)
def test_labels_are_18_pixels_high_on_a_projector(name):
    assert FONT * 1920 / (CELL * layout(name).frame.width) >= 18


def test_shipped_vehicles_have_brakes_and_cabs():
    units = [(name, unit) for name in NAMES for unit in layout(name).sheet.units]
    assert sum(len(brakes(name, unit)) for name, unit in units) > 100
    assert sum(has_cab(unit) for _, unit in units) > 8
