"""Scenarios, variants and changes: what the file says is in the data, in SI."""

from __future__ import annotations

from pathlib import Path

import pytest

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Expectation, Scenario, Step, Trigger
from pneusim.errors import UsageError
from pneusim.reading import apply_changes, begin_parameters, load, load_text
from tests.reading.reader import FOLDER

HEAD = """\
pneusim: 1
ambient: {pressure: 100 kPa abs}
components:
  tank:   {type: reservoir, volume: 40 L, pressure: 8 bar}
  foot:   {type: foot_valve}
  park:   {type: park_control}
  left:   {type: spring_brake_actuator, size: 30/30}
  source: {type: supply}
  hole:   {type: restriction, hole: 4 mm}
  near:   {type: coupling_head, role: supply}
  far:    {type: coupling_head, role: supply}
  cap_1:  {type: plug}
  cap_2:  {type: plug}
lines:
  feed:   {from: tank.21, to: foot.11, bore: 9 mm, length: 3 m}
  rod:    {from: foot.21, to: left.11, bore: 9 mm, length: 3 m}
  hold:   {from: tank.22, to: park.1, bore: 8 mm, length: 3 m}
  spring: {from: park.21, to: left.12, bore: 8 mm, length: 3 m}
  fill:   {from: source.1, to: hole.1, bore: 8 mm, length: 3 m}
  out:    {from: tank.25, to: near.1, bore: 8 mm, length: 3 m}
  in:     {from: tank.26, to: far.1, bore: 8 mm, length: 3 m}
couplings:
  hose:   {from: near, to: far, bore: 9 mm, length: 3 m}
joints:
  - [foot.12, cap_1.1]
  - [foot.22, cap_2.1]
  - [hole.2, tank.24]
"""


def circuit(rest: str) -> Circuit:
    return load_text(HEAD + rest)


def scenario(body: str) -> Scenario:
    return circuit(f"scenarios:\n  s:\n    lasts: 60 s\n{body}").scenarios["s"]


def step(text: str) -> Step:
    (found,) = scenario(f"    steps:\n      - {{{text}}}\n").steps
    return found


def test_every_action_in_si() -> None:
    found = step("at: 500 ms, set: foot.travel, to: 100 %, over: 0.2 s")
    assert (found.action, found.at, found.target, found.to, found.over) == ("set", 0.5, "foot.travel", 1.0, 0.2)
    assert step("at: 1 s, set: foot.demand, to: 3 bar abs").to == pytest.approx(200e3)
    assert step("at: 1 s, set: park.lever, to: released").to == 1.0
    assert step("at: 1 s, set: tank.drain, to: open").to == 1.0
    assert step("at: 1 s, set: tank.drain, to: 30 %").to == pytest.approx(0.3)
    assert (step("at: 1 s, fault: foot.stuck").target, step("at: 1 s, fault: foot.stuck").to) == ("foot.stuck", 1.0)
    assert step("at: 1 s, fault: foot.stuck, to: false").to == 0.0
    assert step("at: 1 s, fault: tank.lost, to: 5 mm").to == pytest.approx(5e-3)
    assert step("at: 1 s, fault: tank.lost").to > 0.0
    found = step("at: 1 s, break: feed, where: 30 %")
    assert (found.action, found.target, found.where) == ("break", "feed", pytest.approx(0.3))
    assert step("at: 1 s, break: feed").where == 0.5
    found = step("at: 1 s, leak: rod, hole: 2 mm, where: 0.25")
    assert (found.target, found.to, found.where) == ("rod", pytest.approx(2e-3), 0.25)
    assert step("at: 1 s, leak: foot.primary, hole: 2 mm").target == "foot.21"
    assert step("at: 1 s, block: hold").target == "hold"
    found = step("at: 1 s, separate: [hose], apart_by: 50 ms")
    assert (found.targets, found.over) == (("hose",), pytest.approx(0.05))
    assert step("at: 1 s, couple: [hose]").targets == ("hose",)
    assert step("at: 1 s, ask: What will the driver feel?").text == "What will the driver feel?"
    assert step("at: 1 s, note: 42").text == "42"


def test_two_couplings_are_crossed(tmp_path: Path) -> None:
    for name in ("tractor", "trailer"):
        (tmp_path / f"{name}.yaml").write_text((FOLDER / "included" / f"{name}.yaml").read_text())
    combination = (FOLDER / "included" / "combination.yaml").read_text()
    crossed = "scenarios:\n  s:\n    steps:\n      - {at: 1 s, cross: [supply_line, control_line]}\n"
    (tmp_path / "all.yaml").write_text(combination + crossed)
    (found,) = load(tmp_path / "all.yaml").scenarios["s"].steps
    assert (found.action, found.targets) == ("cross", ("supply_line", "control_line"))


@pytest.mark.parametrize(
    ("text", "target"),
    [
        ("feed", "feed"),
        ("hose", "hose"),
        ("foot.stuck", "foot.stuck"),
        ("foot.primary", "foot.21"),
        ("foot.21", "foot.21"),
    ],
)
def test_what_can_be_mended(text: str, target: str) -> None:
    assert step(f"at: 1 s, mend: {text}").target == target


def test_a_trigger_takes_the_place_of_a_time() -> None:
    found = step("when: {channel: tank.pressure, falls_below: 2.0 bar}, set: park.lever, to: applied")
    assert (found.at, found.when, found.to) == (None, Trigger("tank.pressure", 2e5, -1), 0.0)
    found = step("when: {channel: feed.flow_in, rises_above: 3 g/s}, note: flow")
    assert found.when == Trigger("feed.flow_in", pytest.approx(3e-3), 1)


def test_repeats_are_unrolled() -> None:
    found = scenario(
        "    steps:\n"
        "      - {at: 1 s, set: foot.travel, to: 100 %, over: 0.2 s, repeat: 8, every: 6 s}\n"
        "      - {at: 3 s, set: foot.travel, to: 0 %, repeat: 8, every: 6 s}\n"
    ).steps
    assert [entry.at for entry in found[:8]] == [1, 7, 13, 19, 25, 31, 37, 43]
    assert [entry.at for entry in found[8:]] == [3, 9, 15, 21, 27, 33, 39, 45]
    assert {entry.to for entry in found[8:]} == {0.0}
    assert found[7].place == found[0].place


def test_begin_holds_inputs_and_parameters_in_si() -> None:
    made = circuit(
        "scenarios:\n  s:\n    begin:\n"
        "      park.lever: released\n      foot.travel: 20 %\n      tank.pressure: 7 bar\n"
        "      source.pressure: 6 bar abs\n      hole.cd: 0.8\n      feed.length: 12 m\n      left.size: 24/24\n"
    )
    begin = made.scenarios["s"].begin
    assert begin["park.lever"] == 1.0
    assert begin["foot.travel"] == pytest.approx(0.2)
    assert begin["source.pressure"] == pytest.approx(500e3)  # an input and a parameter: the input counts
    assert begin_parameters(made, made.scenarios["s"]) == {
        "tank.pressure": 7e5, "hole.cd": 0.8, "feed.length": 12.0, "left.size": "24/24",
    }  # fmt: skip


def test_measures() -> None:
    found = {
        measure.name: measure
        for measure in scenario(
            "    measure:\n"
            "      - {name: lag, since: foot.travel, reach: left.service_pressure, level: 414 kPa}\n"
            "      - {name: share, since: foot.travel, reach: all_brakes, level: 75 %}\n"
            "      - {name: drop, since: {channel: tank.pressure, falls_below: 6 bar}, reach: tank.pressure,"
            " falls_to: 3 bar}\n"
            "      - {name: opening, reach: tank.drain, level: 50 %}\n"
            "      - {name: peak, max: left.pushrod_force, since: foot.travel}\n"
            "      - {name: dip, min: tank.pressure}\n"
            "      - {name: end, value_at: tank.pressure, at: 30 s}\n"
        ).measures
    }
    lag, share, drop = found["lag"], found["share"], found["drop"]
    assert (lag.kind, lag.since, lag.reach, lag.level) == ("time", "foot.travel", "left.service_pressure", 414e3)
    assert (lag.relative, lag.falling) == (False, False)
    assert (share.reach, share.level, share.relative) == ("all_brakes", 0.75, True)
    assert (drop.since, drop.falling, drop.level) == (Trigger("tank.pressure", 6e5, -1), True, 3e5)
    assert (found["opening"].level, found["opening"].relative) == (0.5, False)  # 50 % of an opening is a value
    assert (found["peak"].kind, found["peak"].channel) == ("max", "left.pushrod_force")
    assert (found["dip"].kind, found["dip"].since) == ("min", None)
    assert (found["end"].kind, found["end"].at) == ("value_at", 30.0)


def test_a_measure_may_have_a_title() -> None:
    found = scenario(
        "    measure:\n"
        "      - {name: lag, title: Lag of the drive axles, since: foot.travel, reach: all_brakes, level: 75 %}\n"
        "      - {name: dip, title: Lowest of all, min: tank.pressure}\n"
        "      - {name: peak, max: tank.pressure}\n"
    ).measures
    assert [measure.title for measure in found] == ["Lag of the drive axles", "Lowest of all", ""]


def test_expectations() -> None:
    found = scenario(
        "    measure:\n"
        "      - {name: lag, since: foot.travel, reach: all_brakes, level: 75 %}\n"
        "      - {name: dip, min: tank.pressure}\n"
        "    expect:\n"
        '      - {measure: lag, at_most: 450 ms, source: "a rule, clause 1: 0.45 s"}\n'
        "      - {measure: dip, at_least: 3 bar abs}\n"
        "      - {measure: tank.kept, between: [20 %, 0.9]}\n"
        "      - {measure: left.application_1.time_to_75, at_most: 0.6 s}\n"
    ).expectations
    bounds = [(entry.measure, entry.low, entry.high) for entry in found]
    assert bounds[:2] == [("lag", None, pytest.approx(0.45)), ("dip", pytest.approx(200e3), None)]
    assert bounds[2:] == [("tank.kept", 0.2, 0.9), ("left.application_1.time_to_75", None, 0.6)]
    assert isinstance(found[0], Expectation)
    assert [entry.source for entry in found] == ["a rule, clause 1: 0.45 s", "", "", ""]


def test_a_scenario_like_another() -> None:
    made = circuit(
        "scenarios:\n"
        "  wet: {title: Wet, lasts: 20 s, begin: {tank.pressure: 7 bar}, steps: [{at: 1 s, break: feed}]}\n"
        "  low: {like: wet, begin: {tank.pressure: 5 bar}}\n"
    ).scenarios
    assert made["low"].begin == {"tank.pressure": 5e5}
    assert (made["low"].lasts, made["low"].steps, made["low"].title) == (20.0, made["wet"].steps, "Wet")


def test_a_scenario_lasts_ten_seconds_unless_it_says_so() -> None:
    assert circuit("scenarios:\n  s: {}\n").scenarios["s"].lasts == 10.0


def test_scenarios_from_a_file_of_their_own(tmp_path: Path) -> None:
    (tmp_path / "more.yaml").write_text((FOLDER / "included" / "scenarios.yaml").read_text())
    (tmp_path / "c.yaml").write_text(f"{HEAD}scenarios: {{own: {{lasts: 2 s}}}}\nscenarios_from: more.yaml\n")
    found = load(tmp_path / "c.yaml").scenarios
    assert list(found) == ["own", "drain", "wait"]
    assert found["drain"].place.file == str(tmp_path / "more.yaml")


VARIANTS = "variants:\n  large: {hole.hole: 6 mm, feed.bore: 12 mm, feed.model: lumped, foot.crack_is: 1}\n"


def test_variants_are_changes_in_si() -> None:
    made = circuit(VARIANTS.replace(", foot.crack_is: 1", ""))
    assert made.variants == {"large": {"hole.hole": 6e-3, "feed.bore": pytest.approx(12e-3), "feed.model": "lumped"}}
    changed = apply_changes(made, made.variants["large"])
    assert changed.components["hole"].parameters == {"hole": 6e-3}
    assert (changed.lines["feed"].bore, changed.lines["feed"].model) == (pytest.approx(12e-3), "lumped")
    assert made.lines["feed"].bore == pytest.approx(9e-3)  # the circuit itself stays as it was


def test_changes_from_python_may_be_text() -> None:
    changed = apply_changes(circuit(""), {"tank.pressure": "5 bar abs", "rod.length": "4 m", "hole.cd": 0.9})
    assert changed.components["tank"].parameters["pressure"] == pytest.approx(400e3)
    assert changed.lines["rod"].length == 4.0
    assert changed.components["hole"].parameters["cd"] == 0.9


def test_a_change_of_the_loss_keeps_the_bends() -> None:
    bends = HEAD.replace(
        "feed:   {from: tank.21, to: foot.11,", "feed:   {from: tank.21, to: foot.11, bends: 4, loss: 1,"
    )
    made = load_text(bends + "variants:\n  same: {feed.loss: 1}\n")
    assert made.lines["feed"].loss == pytest.approx(1.0 + 4 * 0.3)
    assert apply_changes(made, made.variants["same"]) == made
    twice = apply_changes(apply_changes(made, {"feed.loss": 3.0}), {"feed.loss": 0.0})
    assert twice.lines["feed"].loss == pytest.approx(4 * 0.3)


def test_all_changes_that_are_not_allowed_are_told_in_their_order() -> None:
    changes = {"tank.volume": -1.0, "hole.cd": -1.0, "source.pressure": 5e8, "foot.conductance": -1.0}
    with pytest.raises(UsageError) as caught:
        apply_changes(circuit(""), changes)
    places = [str(caught.value).find(key) for key in changes]
    assert places == sorted(places)
    assert places[0] == 0


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("tnk.pressure", 1e5, "'tank' is meant"),
        ("tank.presure", 1e5, "volume, pressure"),
        ("tank.volume", -1.0, "greater than 0"),
        ("tank.volume", "40", "needs one"),
        ("tank.volume", float("nan"), "finite"),
        ("hole.conductance", 1e-8, "either conductance or hole"),
        ("feed.colour", 1.0, "length, bore"),
        ("feed.bore", 9.0, "too large"),
        ("feed.bore", "9 bar", "not a unit of a length"),
        ("feed.cells", 2.5, "whole number"),
        ("pressure", 1.0, "no component or line"),
    ],
)
def test_a_change_that_is_not_allowed_says_so(key: str, value: object, words: str) -> None:
    with pytest.raises(UsageError, match=words):
        apply_changes(circuit(""), {key: value})
