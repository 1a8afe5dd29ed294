"""Sensors are drawn at their wheel, outside of the tyre; the control stands in the cab; neither has lines."""

from __future__ import annotations

import pytest

from pneusim.reading import load_text
from pneusim.show.replay.scene import actors
from pneusim.show.schematic.layout import lay_out
from pneusim.show.schematic.picture import draw
from pneusim.show.schematic.pins import new_pins
from pneusim.show.schematic.sheet import sheet

TRUCK = """\
pneusim: 1
title: A truck with anti-lock
vehicle: {kind: truck}
components:
  tank:        {type: reservoir, volume: 40 L, pressure: 8 bar}
  modulator:   {type: brake_modulator}
  left:        {type: brake_chamber, size: 24, axle: 1, side: left}
  right:       {type: brake_chamber, size: 24, axle: 1, side: right}
  speed_left:  {type: wheel_speed_sensor, axle: 1, side: left}
  speed_right: {type: wheel_speed_sensor, axle: 1, side: right}
  anti_lock:   {type: anti_lock_control}
lines:
  feed:  {from: tank.1, to: modulator.1, bore: 9 mm, length: 2 m}
  rod_l: {from: modulator.21, to: left.11, bore: 9 mm, length: 1 m}
  rod_r: {from: modulator.22, to: right.11, bore: 9 mm, length: 1 m}
"""


@pytest.fixture(scope="module")
def layout():
    return lay_out(sheet(load_text(TRUCK)))


@pytest.mark.parametrize(("side", "outward"), [("left", 1), ("right", -1)])
def test_a_sensor_is_at_its_wheel_beyond_the_tyre(layout, side, outward):
    sensor, brake = layout.frame.boxes[f"speed_{side}"], layout.frame.boxes[side]
    assert sensor.centre[0] == brake.centre[0]
    assert 6 < outward * (sensor.centre[1] - brake.centre[1]) < 12
    assert 0 <= sensor.y <= layout.frame.height - sensor.h - 3, "above the legend"


def test_a_sensor_takes_no_place_of_a_part(layout):
    assert "speed_left" not in layout.cells
    assert not new_pins(layout).keys() & {"speed_left", "speed_right"}
    without = TRUCK.replace("speed_left", "x_left").replace("speed_right", "x_right")
    bare = "\n".join(line for line in without.splitlines() if "  x_" not in line)
    assert lay_out(sheet(load_text(bare))).frame.width == layout.frame.width


def test_a_wheel_is_that_of_its_brake(layout):
    drawn = draw(load_text(TRUCK)).svg
    assert 'id="w-left"' in drawn
    assert 'id="w-speed_left"' not in drawn
    assert 'id="c-speed_left"' in drawn
    assert 'id="c-anti_lock"' in drawn


def test_a_pin_or_a_wheel_without_a_brake_gives_a_sensor_a_place_of_its_own():
    pinned = TRUCK.replace("side: left}\n  speed_right", "side: left, pos: [2, 0]}\n  speed_right")
    assert lay_out(sheet(load_text(pinned))).cells["speed_left"] == (2.0, 0.0)
    elsewhere = TRUCK.replace("wheel_speed_sensor, axle: 1, side: left", "wheel_speed_sensor, axle: 2, side: left")
    made = lay_out(sheet(load_text(elsewhere)))
    assert "speed_left" in made.cells
    assert "speed_right" not in made.cells


def test_the_control_stands_before_the_first_axle(layout):
    assert layout.frame.boxes["anti_lock"].centre[0] < layout.frame.boxes["left"].centre[0]


def test_a_page_shows_a_lost_sensor_the_lamp_and_that_it_controls(layout):
    circuit = load_text(TRUCK)
    channels = {"speed_left.signal", "anti_lock.lamp", "anti_lock.controlling"}
    shown = {(actor["element"], actor["pose"]): actor for actor in actors(circuit, layout, channels)}
    assert set(shown) == {("c-speed_left", "shut"), ("c-anti_lock", "warning"), ("c-anti_lock", "ball")}
    assert shown["c-speed_left", "shut"]["high"] == 0.0
