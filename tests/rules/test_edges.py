"""Vehicles at the edge of what procedures expect: equal labels, large tanks, short lines, parts that are not there."""

from dataclasses import replace

import pytest

from pneusim.circuit.circuit import Joint, Port
from pneusim.circuit.scenario import Step
from pneusim.errors import UsageError
from pneusim.reading import apply_changes, load, load_text
from pneusim.rules import judge, regulation
from pneusim.rules.finding import MET, MISSED, NOT_JUDGED, Finding, not_judged
from pneusim.rules.subject import alone
from pneusim.rules.un13 import trailer_response
from pneusim.show.figures.rule_pictures import verdict
from tests.rules.circuits import DOLLY, GOOD, ROOMY, SLOW

ALIKE = SLOW.replace("label: left brake", "label: brake").replace("label: right brake", "label: brake")
TRAILER = "semitrailer-3axle-un13"
NO_RESERVOIR = """\
pneusim: 1
title: A truck with a governor and no reservoir
vehicle: {kind: truck, tows: TOWS}
components:
  pump:     {type: compressor}
  governor: {type: governor}
  foot:     {type: foot_valve}
  brake:    {type: brake_chamber, size: 24}
  plug:     {type: plug}
  other:    {type: plug}
joints:
  - [pump.2, foot.11, governor.1]
  - [foot.21, brake.11]
  - [foot.12, plug.1]
  - [foot.22, other.1]
"""


def one(circuit, name, procedure):
    return judge(circuit, name, only=procedure).findings


def relabelled(circuit, label):
    """The circuit with its brakes called the same."""
    brakes = {b.name: replace(b, label=label) for b in alone(circuit, ("semitrailer",))[0].brakes}
    return replace(circuit, components={**circuit.components, **brakes})


@pytest.mark.parametrize(("name", "procedure"), [("us121", "actuation"), ("us121", "release"), ("un13", "response")])
def test_a_slow_brake_is_not_hidden_by_another_of_its_label(name, procedure):
    missed = [finding for finding in one(load_text(ALIKE), name, procedure) if finding.verdict == MISSED]
    assert len(missed) == 1
    assert missed[0].what.startswith("brake (left)")


@pytest.mark.parametrize(
    ("procedure", "changes"),
    [
        ("trailer_response", {"hose1_l.bore": "5 mm"}),
        ("braking_begins", {"axle2_left.return_pressure": "10 kPa"}),
        ("supply_line", {"axle2_left.return_pressure": "10 kPa"}),
    ],
)
def test_labels_do_not_change_what_is_found(procedure, changes):
    """The brake that counts stands in the middle of the file: the last of a label must not take its place."""
    trailer = apply_changes(load(TRAILER), changes)
    own, same = (one(circuit, "un13", procedure) for circuit in (trailer, relabelled(trailer, "brake")))
    assert [(f.verdict, f.value) for f in same] == [(f.verdict, f.value) for f in own]


def test_pressures_that_do_not_come_to_rest_are_told():
    (finding,) = one(load_text(SLOW.replace("bore: 2 mm", "bore: 1 mm")), "un13", "storage")
    assert "had not come to rest 3 s after 18 of 18 movements of the control" in finding.why
    (finding,) = one(load_text(GOOD), "un13", "storage")
    assert "come to rest" not in finding.why


@pytest.mark.parametrize(
    ("changes", "words"),
    [({"spring_release.exhaust_conductance": "0.02 dm3/(s bar)"}, "does not come on"),
     ({"spring_release.conductance": "0.05 dm3/(s bar)"}, "does not let go")],
)  # fmt: skip
def test_springs_that_still_move_are_not_judged(changes, words):
    (finding,) = one(apply_changes(load("rigid-truck"), changes), "un13", "spring_cycles")
    assert finding.verdict == NOT_JUDGED
    assert words in finding.why
    assert finding.why.endswith("still moves after 15 s")


def test_a_large_reservoir_leaks_until_a_warning_is_due():
    findings = one(apply_changes(load("rigid-truck"), {"primary.volume": "300 L"}), "us121", "warning")
    assert [(f.verdict, round(f.value)) for f in findings] == [(MET, 450000), (MET, 450000)]


def test_a_reservoir_that_keeps_its_pressure_is_not_missed(monkeypatch):
    monkeypatch.setattr("pneusim.rules.us121.warning.LONGEST", 30.0)
    circuit = apply_changes(load("rigid-truck"), {"primary.volume": "300 L"})
    assert {finding.verdict for finding in one(circuit, "us121", "warning")} == {NOT_JUDGED, MET}


def test_large_reservoirs_are_given_the_time_that_they_may_take():
    """At the compressor of this truck 1 m3 takes longer than four minutes, and may."""
    changes = {"primary.volume": "2500 L", "engine_air.displacement": "0.2 L/rev"}
    (finding,) = one(apply_changes(load("rigid-truck"), changes), "us121", "build_up")
    assert finding.limit.value > 600.0
    assert finding.value > 240.0
    assert finding.verdict == (MET if finding.value <= finding.limit.value else MISSED)


def test_a_control_line_through_which_the_signal_passes_fast_is_judged_in_all_ranges():
    findings = one(load_text(DOLLY), "us121", "differential")
    assert [(f.verdict, f.value is None) for f in findings] == [(MET, False)] * 6


def test_a_control_line_that_lets_little_through_misses_every_range():
    narrow = DOLLY.replace("to: control_out.1, bore: 8 mm", "to: control_out.1, bore: 0.5 mm")
    findings = one(load_text(narrow), "us121", "differential")
    assert [finding.verdict for finding in findings] == [MISSED] * 6
    assert all(finding.margin < 0.0 for finding in findings)


def test_a_range_that_is_not_passed_through_is_not_judged():
    findings = one(load_text(ROOMY), "us121", "differential")
    assert [f.verdict for f in findings] == [MET, MET, MET, NOT_JUDGED, MET, MET]
    assert findings[3].why == "the input does not pass through this range in 200 s"


@pytest.mark.parametrize(
    ("circuit", "name", "procedure", "why"),
    [
        ("rigid-truck", "us121", "retardation", "it is for semitrailer, full trailer, centre axle trailer, dolly"),
        ("rigid-truck", "un13", "control_line", "it is for vehicles that tow"),
        ("semitrailer-3axle", "us121", "differential", "it is for vehicles that tow"),
        ("semitrailer-3axle", "un13", "filling", "it is for truck, tractor, bus; this is a semitrailer"),
    ],
)
def test_a_procedure_that_is_for_other_vehicles_says_so(circuit, name, procedure, why):
    (finding,) = one(load(circuit), name, procedure)
    assert finding.verdict == NOT_JUDGED
    assert finding.procedure == procedure
    assert finding.why.startswith(why)


def test_of_a_combination_only_what_is_addressed_is_told():
    findings = one(load("tractor-semitrailer"), "us121", "cut_in")
    assert [finding.unit for finding in findings] == ["tractor"]


def test_a_simulator_that_is_not_set_as_the_text_asks_does_not_judge(monkeypatch):
    monkeypatch.setattr(trailer_response, "setting", lambda _bench: (0.2, 0.45))
    (finding,) = one(load(TRAILER), "un13", "trailer_response")
    assert finding.verdict == NOT_JUDGED
    assert "0.450 s into 1.16 L" in finding.why
    assert finding.why.endswith("asked are 0.2 +/- 0.01 s and 0.38 +/- 0.02 s")


def test_a_vehicle_that_cannot_be_run_is_told_and_a_mistake_of_the_test_is_not_put_down_to_it(monkeypatch):
    good = load_text(GOOD)
    broken = replace(good, joints=(*good.joints, Joint((Port("tank", "1"), Port("foot", "99")))))
    (finding,) = one(broken, "us121", "actuation")
    assert finding.verdict == NOT_JUDGED
    assert finding.why.startswith("the vehicle alone cannot be run: foot.99")
    monkeypatch.setattr("pneusim.rules.us121.timed.Step", lambda *a, **k: Step(*a, **{**k, "target": "nobody.travel"}))
    with pytest.raises(UsageError, match="there is no component 'nobody'"):
        one(good, "us121", "actuation")


@pytest.mark.parametrize("tows", ["false", "true"])
@pytest.mark.parametrize("name", ["us121", "un13"])
def test_a_truck_without_reservoirs_meets_nothing_by_having_none(name, tows):
    report = judge(load_text(NO_RESERVOIR.replace("TOWS", tows)), name)
    judged = {finding.procedure for finding in report.findings if finding.verdict != NOT_JUDGED}
    assert judged == ({"cut_in"} if name == "us121" else set())


def test_reservoirs_that_feed_no_brake_are_not_filled_for_one():
    parts = "  tank: {type: reservoir, volume: 20 L}\n  valve: {type: protection_valve}\n"
    truck = NO_RESERVOIR.replace("TOWS", "false").replace("joints:", f"{parts}joints:\n  - [valve.2, tank.1]")
    (finding,) = one(load_text(truck.replace("[pump.2,", "[pump.2, valve.1,")), "un13", "filling")
    assert finding.why == "no brake, coupling head or compressor hangs on a reservoir"


def test_short_lines_are_judged():
    short = GOOD.replace("length: 3 m", "length: 5 cm")
    assert [f.verdict for f in one(load_text(short), "us121", "actuation")] == [MET, MET]


def test_what_is_not_judged_is_no_miss_in_a_picture():
    slow = not_judged("S1", "the control line", "too slow")
    met = Finding("S1", "the supply line", MET)
    assert verdict([slow]) == "Nothing was judged."
    assert verdict([slow, met]) == "Met."


def test_procedures_stand_in_the_order_of_the_report():
    for name in ("us121", "un13"):
        orders = [procedure.order for procedure in regulation(name).procedures]
        assert orders == sorted(set(orders))
        assert min(orders) > 0
