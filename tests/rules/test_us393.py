"""49 CFR 393 and driver's manual checks: a sound combination meets them, vehicles built to fail are caught."""

from dataclasses import replace

import pytest

from pneusim.reading import apply_changes, load, load_text
from pneusim.rules import judge
from pneusim.rules.bench import Bench
from pneusim.rules.finding import MET, MISSED, NOT_JUDGED
from pneusim.rules.regulation import regulation
from pneusim.rules.us393.strokes import _limit
from tests.rules.circuits import GOOD

US393 = regulation("us393")

FED = """\
pneusim: 1
title: A tank filled by a compressor, with and without a check valve between them
vehicle: {kind: truck, practice: us}
components:
  engine_air: {type: compressor}
  keep:       {type: KEEP}
  tank:       {type: reservoir, label: tank, volume: 20 L, pressure: 8 bar, service: true}
lines:
  pipe: {from: engine_air.2, to: keep.1, bore: 12 mm, length: 2 m}
joints:
  - [keep.2, tank.1]
"""
"""A tank and its compressor."""

TRAILER = """\
pneusim: 1
title: A trailer with a relay-emergency valve and a reservoir that leaks
vehicle: {kind: semitrailer, practice: us}
axles:
  1: {load: 8 t}
components:
  supply_head:  {type: coupling_head, role: supply, end: front}
  control_head: {type: coupling_head, role: control, end: front}
  emergency:    {type: relay_emergency_valve}
  reservoir:    {type: reservoir, volume: 50 L, pressure: 8 bar, service: true}
  left:         {type: brake_chamber, size: 30, axle: 1, side: left}
  right:        {type: brake_chamber, size: 30, axle: 1, side: right}
  leak:         {type: restriction, conductance: LEAK dm3/(s bar)}
  outside:      {type: atmosphere}
lines:
  control: {from: control_head.1, to: emergency.4, bore: 9 mm, length: 8 m}
  supply:  {from: supply_head.1, to: emergency.1, bore: 9 mm, length: 8 m}
  fill:    {from: emergency.1-2, to: reservoir.1, bore: 12 mm, length: 0.5 m}
  to_left: {from: emergency.21, to: left.11, bore: 9 mm, length: 1.5 m}
  to_right: {from: emergency.22, to: right.11, bore: 9 mm, length: 1.5 m}
joints:
  - [reservoir.2, leak.1]
  - [leak.2, outside.1]
"""
"""It brakes by itself when it is uncoupled; its leak decides for how long."""


def found(report, procedure):
    return [finding for finding in report.findings if finding.procedure == procedure]


@pytest.fixture(scope="module")
def combination():
    return load("tractor-semitrailer")


@pytest.fixture(scope="module")
def report(combination):
    return judge(combination, "us393")


def test_a_sound_combination_meets_every_procedure(report):
    assert not report.missed
    assert not report.failed
    assert {f.procedure for f in report.findings if f.verdict == MET} == {p.name for p in US393.procedures}
    assert {f.picture for f in report.findings if f.picture} == {picture.name for _, picture in report.pictures}
    for finding in report.findings:
        assert finding.limit or finding.why, finding


def test_every_brake_of_the_combination_has_its_stroke_limit(report):
    """393.47(e), clamp-type chambers, from memory, to be read against the official text."""
    strokes = {f.what: f for f in found(report, "strokes")}
    assert len(strokes) == 12
    assert strokes["front left brake"].limit.value == pytest.approx(1.75 * 25.4e-3)
    assert strokes["axle 3 right"].limit.value == pytest.approx(2.0 * 25.4e-3)


@pytest.mark.parametrize(
    ("brake", "inches"),
    [
        ({"size": "30"}, 2.0),
        ({"size": "30", "stroke_class": "long"}, 2.5),
        ({"size": "24", "stroke_class": "long"}, 2.5),  # 3.2 in rated
        ({"size": "24", "stroke_class": "long", "stroke": 0.07}, 2.0),
        ({"size": "16", "stroke_class": "long"}, 2.0),
        ({"size": "14", "stroke": 0.05}, 0.8 * 50 / 25.4),  # not listed: 80 % of the rated stroke
        ({"size": "36", "stroke_class": "long", "stroke": 0.09}, 0.8 * 90 / 25.4),
    ],
)
def test_stroke_limits_by_type_and_class(brake, inches):
    circuit = load_text(GOOD)
    left = replace(circuit.components["left"], parameters=brake)
    circuit = replace(circuit, components={**circuit.components, "left": left})
    (subject,) = US393.subjects_of(circuit)
    limit = _limit(Bench(subject, US393.table), subject.circuit.components["left"])
    assert limit.value == pytest.approx(inches * 25.4e-3, abs=1e-6)


@pytest.mark.parametrize(
    ("vehicle", "changes", "procedure", "missed"),
    [
        ("tractor-6x4", {"drive1_left.free_stroke": "45 mm"}, "strokes", {"first drive axle left"}),
        ("tractor-6x4", {"drive1_left.area": "120 cm2"}, "chambers", {"axle 2"}),
        ("tractor-semitrailer", {"trailer.reservoir.volume": "12 L"}, "one_application", {"trailer reservoir"}),
        ("tractor-6x4", {"park.trip": "60 psi"}, "automatic", {"park control"}),
        ("tractor-6x4", {"trailer_supply.trip": "10 psi", "park.trip": "22 psi"}, "automatic",
         {"trailer supply control"}),
        ("tractor-6x4", {"low_primary.closes_below": "50 psi"}, "warning", {"primary reservoir leaks"}),
        ("tractor-6x4", {"engine_air.displacement": "0.03 L/rev"}, "governor",
         {"lowest reservoir, 586.1 kPa to 689.5 kPa"}),
        ("tractor-6x4", {"governor.cut_in": "90 psi"}, "governor", {"cut-in"}),
        ("tractor-6x4", {"safety.opens": "160 psi"}, "safety_valve", {"safety valve"}),
        ("tractor-6x4", {"safety.opens": "120 psi"}, "safety_valve", {"safety valve shuts again"}),
        ("tractor-6x4", {"rear_relay.ratio": 0.8}, "delivery",
         {"first drive axle left", "first drive axle right", "second drive axle left", "second drive axle right"}),
        ("tractor-6x4", {"front_release.exhaust_differential": "40 kPa"}, "residual",
         {"front left brake, 10 s after release", "front right brake, 10 s after release"}),
    ],
)  # fmt: skip
def test_a_vehicle_built_to_fail_fails(vehicle, changes, procedure, missed):
    report = judge(apply_changes(load(vehicle), changes), "us393", only=procedure)
    assert {f.what for f in report.findings if f.verdict == MISSED} == missed


def test_a_trailer_that_lags_is_caught(combination):
    report = judge(apply_changes(combination, {"trailer.control_pipe.bore": "5 mm"}), "us393", only="balance")
    steady, lag = found(report, "balance")
    assert (steady.verdict, lag.verdict) == (MET, MISSED)
    assert "lags" in lag.why


def test_the_rearmost_axles_are_compared(combination):
    """US Army TM 5-3820-256-24-4, p. 115: the gauges are at the rearmost axles of tractor and trailer."""
    changes = {"trailer.front_relay.ratio": 0.6, "trailer.rear_relay.ratio": 1.0}
    steady, _ = found(judge(apply_changes(combination, changes), "us393", only="balance"), "balance")
    assert steady.what == "tractor axle 3 and trailer axle 3"
    assert steady.verdict == MET
    assert "trailer axle 1 differ most" in steady.why
    changes = {"trailer.front_relay.ratio": 1.0, "trailer.rear_relay.ratio": 0.6}
    steady, _ = found(judge(apply_changes(combination, changes), "us393", only="balance"), "balance")
    assert steady.verdict == MISSED


def test_a_vehicle_alone_has_no_balance_between_vehicles():
    (balance,) = found(judge(load("tractor-6x4"), "us393", only="balance"), "balance")
    assert balance.verdict == NOT_JUDGED


def test_what_stays_at_the_coupling_has_a_source(report):
    clauses = {f.what.partition(",")[0]: f.clause for f in found(report, "residual")}
    assert clauses["tractor control coupling head"] == "US Army TM 5-3820-256-24-4, p. 107"
    assert clauses["axle 1 left"] == "common practice, no source"


def test_a_check_valve_guards_the_reservoir_from_the_compressor_line():
    guarded = judge(load_text(FED.replace("KEEP", "check_valve")), "us393", only="compressor_line")
    open_line = judge(load_text(FED.replace("KEEP", "stop_valve")), "us393", only="compressor_line")
    assert [f.verdict for f in found(guarded, "compressor_line")] == [MET]
    assert [f.verdict for f in found(open_line, "compressor_line")] == [MISSED]


@pytest.mark.parametrize(
    ("leak", "verdicts"), [(0.004, [MET, MET]), (0.008, [MISSED, MET]), (0.012, [MISSED, MISSED])]
)
def test_a_leak_is_held_against_the_limits_of_a_single_vehicle(leak, verdicts):
    """A sonic leak C takes C x 9.01 bar x 60 s of free air in a minute from 20 L kept at their temperature."""
    hole = f"  leak: {{type: restriction, conductance: {leak} dm3/(s bar)}}\n  outside: {{type: atmosphere}}\nlines:\n"
    text = GOOD.replace("lines:\n", hole).replace("[tank.1,", "[leak.2, outside.1]\n  - [leak.1, tank.1,")
    text = text.replace("vehicle:", "heat: 1000 W/(m2 K)\nvehicle:")
    leakage = found(judge(load_text(text), "us393", only="leakage"), "leakage")
    assert [f.verdict for f in leakage] == verdicts
    assert leakage[0].value == pytest.approx(1e5 * leak * 9.01 * 60.0 / 20.0, rel=0.03)


def test_a_trailer_alone_is_judged_by_what_it_does_uncoupled():
    report = judge(load("semitrailer-relay-emergency"), "us393")
    assert {f.procedure for f in report.findings if f.verdict == MET} == {"chambers", "breakaway", "backflow"}


@pytest.mark.parametrize(
    ("leak", "stays", "guarded"), [("0.001", MET, MET), ("0.1", MISSED, MISSED)]
)
def test_a_trailer_that_does_not_stay_braked_is_caught(leak, stays, guarded):
    report = judge(load_text(TRAILER.replace("LEAK", leak)), "us393")
    assert {f.verdict for f in found(report, "breakaway") if "stays" in f.what} == {stays}
    assert {f.verdict for f in found(report, "breakaway") if "at once" in f.what} == {MET}
    assert [f.verdict for f in found(report, "backflow")] == [guarded]


def test_a_trailer_held_by_a_rig_does_not_break_away():
    findings = judge(load("semitrailer-timing-rig"), "us393").findings
    verdicts = {f.procedure: f.verdict for f in findings if f.procedure in ("breakaway", "backflow")}
    assert verdicts == {"breakaway": NOT_JUDGED, "backflow": NOT_JUDGED}


def test_brakes_on_one_side_of_an_axle_are_not_judged():
    report = judge(load_text(GOOD.replace("side: right", "side: left")), "us393", only="chambers")
    assert [f.verdict for f in found(report, "chambers")] == [NOT_JUDGED]
