"""The schematic of a replay page: everything in it that can be known from the run is shown, and can be addressed."""

from __future__ import annotations

import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from functools import cache
from importlib.resources import files
from itertools import pairwise

import pytest

from pneusim.circuit.circuit import Circuit, Component, Joint, Line, Port
from pneusim.parts.registry import part, part_types
from pneusim.reading import load_text
from pneusim.show.replay import scene
from pneusim.show.replay.course import along, split
from pneusim.show.replay.poses import ANY, PORTS, POSES
from pneusim.show.replay.wheels import half_pressure
from pneusim.show.schematic.layout import lay_out
from pneusim.show.schematic.sheet import sheet
from pneusim.show.schematic.symbols.registry import DRAWINGS
from tests.circuits.shipped import circuit, run
from tests.show.schematic.drawn import NAMES, drawing, layout

BETWEEN_THROTTLES = {  # ports screwed together of parts that tell no pressure
    "semitrailer-timing-rig": {"j-feed.2", "j-exhaust_throat.2"},
    "tank-and-orifice": {"j-cock.2"},
}
STYLE = (files("pneusim.show") / "web" / "scene.css").read_text("utf-8")


def channels(of: Circuit) -> list[str]:
    """Names of the channels that a run of a circuit has."""
    own = [f"{name}.{spec.name}" for name, item in of.components.items() for spec in part(item.type).channels]
    return own + [f"{name}.pressure_{end}" for name in of.lines for end in ("in", "out")]


@cache
def actors(name: str) -> list[dict]:
    return scene.actors(circuit(name), layout(name), channels(circuit(name)))


@cache
def elements(name: str) -> dict[str, ET.Element]:
    tree = ET.fromstring(scene.drawing(layout(name)))
    return {item.get("data-id"): item for item in tree.iter() if item.get("data-id")}


def shown(name: str, element: str) -> dict[str, dict]:
    return {actor["pose"]: actor for actor in actors(name) if actor["element"] == element}


# ---- what moves


@pytest.mark.parametrize("name", NAMES)
def test_every_line_shows_both_its_ends_and_every_joint_its_pressure(name):
    dark = set()
    for net in layout(name).sheet.nets:
        poses = shown(name, net.id)
        if net.id.startswith("l-"):
            line = net.id[2:]
            told = {pose: actor["channel"] for pose, actor in poses.items()}
            assert told == {"start": f"{line}.pressure_in", "end": f"{line}.pressure_out"}
        elif not poses:
            dark.add(net.id)
    assert dark == BETWEEN_THROTTLES.get(name, set())


@pytest.mark.parametrize("name", NAMES)
def test_what_acts_is_in_the_drawing_and_is_seen(name):
    for actor in actors(name):
        element = elements(name)[actor["element"]]
        classes = {word for item in element.iter() for word in item.get("class", "").split()}
        pose = actor["pose"]
        assert pose in classes or f".is-{pose}" in STYLE, f"{pose} shows nowhere"
        assert actor["high"] is None or actor["high"] != actor["low"]


def test_the_channels_of_a_run_are_those_of_the_parts():
    assert set(run("tractor-semitrailer", "trailer_separates").channels) >= {
        actor["channel"] for actor in actors("tractor-semitrailer")
    }


@pytest.mark.parametrize("symbol", sorted(POSES))
def test_no_pose_is_of_a_channel_that_no_part_has(symbol):
    kinds = [part(name) for name in part_types() if part(name).symbol == symbol]
    known = {spec.name for kind in kinds for spec in kind.channels}
    assert kinds
    for pose in POSES[symbol]:
        assert pose.channel in known
        assert not pose.minus or pose.minus in known


def test_ports_tell_channels_that_parts_have():
    for symbol, ports in PORTS.items():
        known = {spec.name for name in part_types() if part(name).symbol == symbol for spec in part(name).channels}
        assert {channel for channel in ports.values() if channel} <= known, symbol
    assert set(ANY) <= set(DRAWINGS)


def test_a_spring_brake_shows_its_rooms_and_its_wheel():
    brake = shown("tractor-semitrailer", "c-trailer.axle1_left")
    assert set(brake) == {"stroke", "service", "spring", "holdoff", "caged"}
    assert brake["stroke"]["channel"] == "trailer.axle1_left.stroke"
    assert brake["holdoff"]["high"] is None
    wheel = shown("tractor-semitrailer", "w-trailer.axle1_left")
    assert set(wheel) == {"braked", "service", "spring", "firm", "caged"}
    assert not {"spring", "firm"} & set(shown("tractor-semitrailer", "w-tractor.front_left"))


def test_a_spring_presses_firmly_below_the_hold_off_pressure_that_takes_half_of_its_force():
    """Its share of its own force, from the balance of the piston, is a half there."""
    given = {"size": "24/30", "spring_force": 8000.0, "spring_rate": 50e3, "free_stroke": 0.02, "spring_area": 0.02}
    made = part("spring_brake_actuator")(**given)
    alone = 8000.0 - 50e3 * 0.02
    assert alone - 0.02 * half_pressure(made) == pytest.approx(0.5 * alone)
    firm = shown("tractor-semitrailer", "w-trailer.axle1_left")["firm"]
    assert firm["channel"] == "trailer.axle1_left.spring_pressure"
    assert firm["low"] > firm["high"] > 100e3  # shown below it


def test_a_foot_valve_shows_both_sections_and_the_treadle():
    foot = [actor for actor in actors("tractor-semitrailer") if actor["element"] == "c-tractor.foot"]
    assert {actor["pose"] for actor in foot} == {"pedal", "passing", "venting", "passing2", "venting2"}
    assert {actor["channel"] for actor in foot if actor["pose"] == "pedal"} == {
        "tractor.foot.travel", "tractor.foot.demand",
    }  # fmt: skip


def test_a_low_pressure_switch_warns_and_a_stop_lamp_switch_lights():
    assert "warning" in shown("tractor-semitrailer", "c-tractor.low_primary")
    parts = {"lamp": Component("lamp", "stop_lamp_switch"), "tank": Component("tank", "reservoir")}
    made = Circuit("", parts, {}, (Joint((Port("tank", "21"), Port("lamp", "1"))),))
    poses = {actor["pose"] for actor in scene.actors(made, lay_out(sheet(made)), channels(made))}
    assert "lit" in poses
    assert "warning" not in poses


def posed(of, actor: dict, time: float) -> float:
    """Share that a pose shows at a time of a run."""
    value = of[actor["channel"]](time) - (of[actor["minus"]](time) if "minus" in actor else 0.0)
    return min(max((value - actor["low"]) / (actor["high"] - actor["low"]), 0.0), 1.0)


def test_the_ball_of_a_double_check_valve_is_at_the_seat_of_the_lower_pressure_flow_or_none():
    name, seen = "tractor-semitrailer", set()
    done = run(name, "full_application")
    for node in layout(name).sheet.nodes.values():
        if node.symbol == "shuttle":
            ball = shown(name, f"c-{node.name}")["ball"]
            left = min(("11", "12"), key=lambda port: layout(name).pins[node.name, port].x)
            seen.add(left)
            inlet = (node.name, left)
            assert ball["channel"] == scene._pressure_of(circuit(name), layout(name), inlet, set(done.channels))
            higher = done[ball["channel"]](1.0) - done[ball["minus"]](1.0)
            assert abs(higher) > 1e3
            assert posed(done, ball, 1.0) == (1.0 if higher > 0 else 0.0)  # at 1 the ball is at the right
    assert seen == {"11", "12"}
    ball = shown(name, "c-tractor.anti_compound")["ball"]
    assert (ball["channel"], ball["minus"]) == ("tractor.park_pipe.pressure_out", "tractor.service_pipe.pressure_out")


def test_a_double_check_valve_between_throttles_shows_what_its_openings_tell():
    made = circuit("tractor-semitrailer")
    (ball,) = [
        actor for actor in scene.actors(made, layout("tractor-semitrailer"), [
            "tractor.dash_check.opening_11", "tractor.dash_check.opening_12",
        ]) if actor["pose"] == "ball"
    ]  # fmt: skip
    assert {ball["channel"], ball["minus"]} == {"tractor.dash_check.opening_11", "tractor.dash_check.opening_12"}


def test_a_governor_passes_its_signal_while_the_compressor_is_unloaded():
    passing = shown("tractor-semitrailer", "c-tractor.governor")["passing"]
    assert (passing["channel"], passing["low"], passing["high"]) == ("tractor.governor.mode", 1.0, 0.0)


def test_a_tractor_protection_valve_shuts_the_control_line_alone():
    group = elements("tractor-semitrailer")["c-tractor.protection"]
    positions = [item.get("class") for item in group.iter() if "position" in item.get("class", "")]
    assert positions == ["position on", "position passing"]
    for name in NAMES:
        made = layout(name)
        for node in made.sheet.nodes.values():
            if node.symbol == "tractor_protection":
                box, at = made.frame.boxes[node.name], {port: made.pins[node.name, port] for port in node.ports}
                assert at["11"].y == at["21"].y == box.y + box.h // 4
                assert at["12"].y == at["22"].y == box.y + 3 * box.h // 4


def test_springs_that_are_vented_show_it_though_no_air_is_left_to_hold_the_exhaust_open():
    done = run("tractor-semitrailer", "trailer_separates")
    venting = [
        actor for actor in actors("tractor-semitrailer")
        if actor["element"] == "c-trailer.spring_valve" and actor["pose"] == "venting"
    ]  # fmt: skip
    assert done["trailer.spring_valve.exhaust_opening"](12.0) < 0.01
    assert max(posed(done, actor, 12.0) for actor in venting) > 0.1
    assert max(posed(done, actor, 0.0) for actor in venting) == 0.0


def test_a_relay_valve_that_holds_its_pressure_is_lapped():
    done = run("tractor-semitrailer", "graded_application")
    passing = shown("tractor-semitrailer", "c-trailer.rear_relay")["passing"]
    opening = done[passing["channel"]]
    held = [time for time, share in zip(opening.times, opening.values) if 0.01 < share < 0.03]
    assert held
    assert not any(posed(done, passing, time) for time in held)
    assert posed(done, passing, opening.times[opening.values.argmax()]) > 1 / 64


FOREIGN = """
import pneusim as ps
from pneusim.parts.registry import part
from pneusim.reading import load_text
from pneusim.show.replay import scene
ps.add_parts("tests.parts.foreign")
made = load_text(part("needle_valve").example)
layout = ps.draw(made).layout
print(sorted({a["pose"] for a in scene.actors(made, layout, ["needle.flow", "needle.opening", "needle.screw"])}))
print('data-id="c-needle"' in scene.drawing(layout))
"""


def test_a_symbol_that_nobody_drew_is_a_box_that_shows_what_names_tell():
    told = subprocess.run([sys.executable, "-c", FOREIGN], capture_output=True, text=True, check=True).stdout
    assert told.splitlines() == ["['passing']", "True"]


# ---- the drawing


@pytest.mark.parametrize("name", NAMES)
def test_every_part_line_and_wheel_can_be_addressed_and_belongs_to_its_unit(name):
    tree = ET.fromstring(scene.drawing(layout(name)))
    made = circuit(name)
    expected = {f"c-{one}" for one in made.components} | {f"l-{one}" for one in made.lines}
    expected |= {f"w-{node.name}" for node in layout(name).sheet.nodes.values() if node.is_brake}
    assert expected <= set(elements(name))
    assert not [item for item in tree.iter() if item.get("id") or item.get("style") or item.tag.endswith("style")]
    for group in tree.iter():
        if group.get("data-unit") and group.get("data-unit") in made.components:
            raise AssertionError("a unit has the name of a part")
        for item in group.iter() if group.get("data-unit") else []:
            if (item.get("data-id") or "")[:2] == "c-" and item.get("data-id")[2:] in layout(name).sheet.nodes:
                assert layout(name).sheet.nodes[item.get("data-id")[2:]].unit == group.get("data-unit")


def test_halves_of_a_line_meet_at_half_its_length_and_begin_at_its_start():
    made = layout("tractor-semitrailer")
    for net in made.sheet.nets:
        if net.id.startswith("l-"):
            near, far = split(along(made, net), 0.5)
            length = [sum(abs(a - c) + abs(b - d) for (a, b), (c, d) in pairwise(piece)) for piece in (near, far)]
            assert near[-1] == far[0]
            assert length[0] == pytest.approx(length[1])
            pin = made.pins[net.ends[0]]
            assert abs(near[0][0] - 12 * pin.x) <= 48  # the centre of a round symbol lies inside of its pin
            assert abs(near[0][1] - 12 * pin.y) <= 48


def test_couplings_say_which_units_they_join():
    text = scene.drawing(layout("road-train"))
    joined = re.findall(r'data-from="(\w+)" data-to="(\w+)"', text)
    assert sorted(set(joined)) == [("lead", "middle"), ("middle", "last"), ("tractor", "lead")]


def test_a_still_picture_and_the_scene_have_the_same_parts():
    still = {item for item in re.findall(r' id="([^"]+)"', drawing("one-axle").svg) if item[1] == "-"}
    assert still == set(elements("one-axle"))


def test_hostile_names_are_text():
    evil = '"><script>alert(1)</script> id="x" &\'"'
    parts = {evil: Component(evil, "reservoir", label=evil), "b": Component("b", "reservoir", label="]]></template>")}
    made = Circuit(evil, parts, {evil: Line(evil, Port(evil, "<1>"), Port("b", "21"), 1.0, 0.01, label=evil)})
    text = scene.drawing(lay_out(sheet(made)))
    tree = ET.fromstring(text)
    assert "<script" not in text
    assert "</template" not in text
    assert {f"c-{evil}", f"l-{evil}"} <= {item.get("data-id") for item in tree.iter()}
    assert not [item for item in tree.iter() if item.get("id")]


def test_an_example_of_every_part_can_be_shown():
    for name in part_types():
        made = load_text(part(name).example)
        placed = lay_out(sheet(made))
        ids = set(re.findall(r'data-id="([^"]+)"', scene.drawing(placed)))
        assert {actor["element"] for actor in scene.actors(made, placed, channels(made))} <= ids
