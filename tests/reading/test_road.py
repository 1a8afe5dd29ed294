"""What files say about rolling: defaults, the road of a scenario, and that the rest is read as before."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.road import Road, Stretch
from pneusim.circuit.rolling import road_channels
from pneusim.circuit.statics import stand
from pneusim.circuit.surfaces import shipped_surfaces
from pneusim.errors import Fault, InvalidFile
from pneusim.quantities import STANDARD_GRAVITY as G
from pneusim.reading import load, load_text

PARTS = """
components:
  source: {type: supply}
  left:   {type: brake_chamber, axle: 1, side: left}
lines:
  pipe: {from: source.1, to: left.11, bore: 9 mm, length: 3 m}
"""
TRUCK = """pneusim: 1
vehicle:
  kind: truck
  laden: {mass: 16 t, centre_height: 1.2 m}
  empty: {mass: 7 t, centre_height: 1 m, centre_at: 2 m}
axles:
  1: {load: 6 t, tyre_radius: 0.5 m, at: 0 m}
  2: {load: 10 t, tyre_radius: 0.5 m, at: 5 m, tyre: {law: magic, adhesion: 0.9, rated_load: 4 t, relaxation: 25 cm}}
"""


def truck(road: str = "") -> Circuit:
    return load_text(TRUCK + PARTS + (f"scenarios: {{stop: {{road: {road}}}}}\n" if road else ""))


def road_of(words: str) -> Road:
    road = truck(words).scenarios["stop"].road
    assert road is not None
    return road


def test_what_is_not_said_has_usual_figures() -> None:
    (vehicle,) = truck().vehicles
    first, second = (axle.rolling for axle in vehicle.axles)
    assert first is not None
    assert second is not None
    assert vehicle.motion is not None
    assert (vehicle.motion.drag_area, vehicle.motion.skid) == (6.0, 0.4)
    assert (first.group, first.inertia, second.group, second.inertia) == ("front", 7.0, "rear", 13.0)
    assert (first.tyre.law, first.tyre.adhesion, first.tyre.load_sensitivity, first.tyre.relaxation) == (
        "burckhardt", 1.0, 0.08, 0.3)  # fmt: skip
    assert first.tyre.rated_load == pytest.approx(3e3 * G)  # half the axle's load
    assert (second.tyre.law, second.tyre.adhesion, second.tyre.relaxation) == ("magic", 0.9, 0.25)
    assert second.tyre.rated_load == pytest.approx(4e3 * G)


def test_a_file_that_does_not_speak_of_it_does_not_roll() -> None:
    for vehicle in load("semitrailer-2axle").vehicles:
        assert vehicle.motion is None
        assert [axle.rolling for axle in vehicle.axles] == [None, None]
    assert all(scenario.road is None for scenario in load("tractor-6x4").scenarios.values())


def test_a_road_without_words_is_dry_level_and_the_vehicle_stands() -> None:
    road = road_of("{}")
    assert (road.speed, road.grade, road.loading) == (0.0, 0.0, {})
    assert [(stretch.left, stretch.right) for stretch in road.stretches] == [("dry", "dry")]
    assert road.surfaces == {"dry": shipped_surfaces()["dry"]}


def test_a_road_in_full() -> None:
    road = road_of(
        "{speed: 60 km/h, grade: -5 deg, loading: empty, surface: mine, "
        "surfaces: {mine: {c1: 0.5, c2: 30, c3: 0.1, fading: 0.01 s/m}, "
        "table: {points: [[0, 0], [5 %, 0.4], [12 %, 0.6], [1, 0.3]]}, "
        "peak: {peak: 0.6, peak_slip: 12 %, locked: 0.4, slope: 20}}, "
        "stretches: [{from: 0 m, left: low, right: peak}, {from: 12 m, surface: table}]}"
    )
    assert road.speed == pytest.approx(60 / 3.6)
    assert road.grade == pytest.approx(math.tan(math.radians(-5.0)))
    assert road.loading == {"": "empty"}
    first, *others = road.stretches
    assert first.left == first.right == "mine"
    assert first.start < -1e5
    assert others == [Stretch(0.0, "low", "peak"), Stretch(12.0, "table", "table")]
    assert set(road.surfaces) == {"mine", "table", "peak", "low"}
    assert road.surfaces["mine"].coefficients == (0.5, 30.0, 0.1)
    assert road.surfaces["mine"].fading == 0.01
    assert road.surfaces["table"].points == ((0.0, 0.0), (0.05, 0.4), (0.12, 0.6), (1.0, 0.3))
    assert road.surfaces["peak"].shape == (0.6, 0.12, 0.4, 20.0)


def test_channels_of_the_road_are_known_where_there_is_a_road() -> None:
    names = [channel.name for channel in road_channels(truck().vehicles)]
    assert len(names) == len(set(names))
    measures = "".join(f"      - {{name: m{n}, max: {name}}}\n" for n, name in enumerate(names))
    text = TRUCK + PARTS + "scenarios:\n  stop:\n    road: {speed: 60 km/h}\n    measure:\n" + measures
    assert len(load_text(text).scenarios["stop"].measures) == len(names)
    with pytest.raises(InvalidFile) as caught:
        load_text(text.replace("    road: {speed: 60 km/h}\n", ""))
    assert {fault.code for fault in caught.value.faults} == {"T23"}
    assert len(caught.value.faults) == len(names)


def test_units_behind_another_have_hitch_channels() -> None:
    names = {channel.name for channel in road_channels(load("tractor-semitrailer").vehicles)}
    assert {"trailer.vehicle.hitch_force", "trailer.vehicle.hitched", "trailer.axle_3_right.slip"} <= names
    assert "tractor.vehicle.hitch_force" not in names


@pytest.mark.parametrize("name", ["rigid-truck", "semitrailer-3axle", "tractor-semitrailer"])
def test_shipped_vehicles_stand_with_the_axle_loads_that_they_give(name: str) -> None:
    for standing in stand(load(name).vehicles):
        for stood in standing.axles:
            assert stood.load == pytest.approx(stood.axle.load, rel=2e-3)


TEXT = TRUCK + PARTS + """scenarios:
  stop:
    road:
      speed: 60 km/h
      grade: -6 %
      surface: mine
      stretches: [{from: 5 m, left: low, right: dry}, {from: 9 m, surface: table}]
      surfaces:
        mine: {peak: 0.5, peak_slip: 10 %, locked: 0.4, slope: 20}
        table: {points: [[0, 0], [5 %, 0.4], [12 %, 0.6], [1, 0.3]], fading: 0.01 s/m}
      loading: empty
    steps:
      - {when: {channel: vehicle.speed, falls_below: 15 km/h}, note: slow}
"""
TOKENS = sorted({(match.start(), match.end()) for match in re.finditer(r"[\w.%/-]+", TEXT)})
JUNK = ["", "~", "[]", "{}", "[a]", "{a: 1}", "-1", "1e99 m", "'", "laden", "vehicle.speed", "0", "0 m", "50 %", "wet"]


@settings(derandomize=True, deadline=None, max_examples=400)
@given(token=st.sampled_from(TOKENS), junk=st.sampled_from(JUNK))
def test_with_one_word_replaced_there_are_faults_or_a_circuit(token: tuple[int, int], junk: str) -> None:
    faults: tuple[Fault, ...] = ()
    try:
        load_text(TEXT[: token[0]] + junk + TEXT[token[1] :])
    except InvalidFile as invalid:
        faults = invalid.faults
    assert all(fault.problem and fault.fix and fault.place.line >= 1 for fault in faults)


def test_a_short_list_of_surfaces() -> None:
    assert list(shipped_surfaces()) == ["dry", "wet", "cobbles_wet", "snow", "ice", "low"]
