"""UN Regulation No. 13 on vehicles: good ones pass, ones built to fail are caught, what cannot be judged says why."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from pneusim.reading import apply_changes, load
from pneusim.rules import judge
from pneusim.rules.bench import Bench
from pneusim.rules.finding import MET, MISSED, NOT_JUDGED
from pneusim.rules.regulation import regulation
from pneusim.rules.subject import alone
from pneusim.rules.un13.filling import auxiliary
from pneusim.rules.un13.ramps import rounded, series
from pneusim.rules.un13.response import PROCEDURE as RESPONSE
from pneusim.rules.un13.simulator import setting
from pneusim.rules.un13.spring_level import acting_levels

UN13 = regulation("un13")
UNITS = Path(__file__).parent.parent / "circuits" / "units"
SMALL = UNITS / "un13_truck.yaml"
TRACTOR, TRAILER, TRUCK = "tractor-6x4-un13", "semitrailer-3axle-un13", "rigid-truck"


@cache
def report(name):
    return judge(load(name), "un13")


def found(name, procedure):
    return [finding for finding in report(name).findings if finding.procedure == procedure]


def bench(name):
    (subject,) = alone(load(name), UN13.kinds)
    return Bench(subject, UN13.table)


def one_only(circuit, procedure, changes):
    return judge(apply_changes(circuit, changes), "un13", only=procedure)


@pytest.mark.parametrize("name", [TRACTOR, TRAILER])
def test_a_vehicle_of_its_kind_is_judged_throughout(name):
    told = report(name)
    assert not told.failed
    assert told.count(MET) > 10
    assert {f.picture for f in told.findings if f.picture} == {picture.name for _, picture in told.pictures}
    for finding in told.findings:
        assert finding.limit or finding.why, finding
    for procedure in UN13.procedures:
        if load(name).vehicles[0].kind in procedure.kinds:
            assert found(name, procedure.name), procedure.name


def test_a_sound_trailer_meets_what_can_be_judged():
    assert not report(TRAILER).missed
    assert [f.verdict for f in found(TRAILER, "storage_trailer")] == [MET, MET]


def test_a_tractor_whose_governor_keeps_enough_pressure_meets_what_can_be_judged():
    """From 724 kPa the control line comes to less than 650 kPa: the governor must cut in higher."""
    assert not report(TRACTOR).missed
    lower = one_only(load(TRACTOR), "coupling_pressure", {"governor.cut_in": "7.24 bar"})
    assert [f.verdict for f in lower.findings] == [MISSED, MET, MET, MET]


@pytest.mark.parametrize(
    ("name", "procedure"), [(TRUCK, "storage"), (TRUCK, "spring_warning"), (TRUCK, "spring_cycles"), (TRUCK, "filling")]
)
def test_a_sound_truck_meets_it(name, procedure):
    told = judge(load(name), "un13", only=procedure)
    assert told.count(MET) == len(told.findings)


@pytest.mark.parametrize(
    ("name", "procedure", "changes"),
    [
        (TRUCK, "response", {"rear_signal.bore": "1.5 mm"}),
        (SMALL, "coupling_response", {"control_pipe.bore": "2 mm"}),
        (TRAILER, "trailer_response", {"control_pipe.length": "25 m"}),
        (TRUCK, "storage", {"primary.volume": "6 L", "secondary.volume": "6 L", "wet.volume": "2 L"}),
        (SMALL, "storage", {"trailer_tank.volume": "3 L"}),
        (TRUCK, "four_plus_one", {"low_primary.closes_below": "2 bar"}),
        (TRAILER, "storage_trailer", {"reservoir.volume": "35 L"}),
        (TRUCK, "filling", {"engine_air.displacement": "0.02 L/rev"}),
        (TRAILER, "spring_supply", {"spring_valve.on_supply_loss": "apply"}),
        (TRUCK, "spring_cycles", {"primary.volume": "1 L", "secondary.volume": "1 L", "wet.volume": "0.5 L"}),
        (TRUCK, "spring_level", {"rear_left.spring_force": "16 kN"}),
        (TRAILER, "spring_level", {"reservoir.volume": "15 L"}),
        (TRUCK, "spring_warning", {"low_primary.closes_below": "3 bar", "low_secondary.closes_below": "3 bar"}),
        (TRACTOR, "control_line", {"trailer_control.throttled": "100 %"}),
        (TRAILER, "supply_line", {"emergency.emergency": "180 kPa"}),
        (TRACTOR, "coupling_pressure", {"governor.cut_in": "9 bar", "governor.cut_out": "10 bar"}),
        (TRAILER, "braking_begins", {"emergency.crack": "90 kPa"}),
        (TRAILER, "automatic_braking", {"emergency.emergency_gain": "0.3"}),
        (TRACTOR, "parking", {f"drive{k}_{side}.spring_force": "5 kN" for k in (1, 2) for side in ("left", "right")}),
    ],
)  # fmt: skip
def test_a_vehicle_built_to_fail_fails(name, procedure, changes):
    told = one_only(load(name), procedure, changes)
    assert told.missed, told.findings
    assert not told.failed


def test_the_least_favourable_brake_in_eight_applications_does_not_hang_on_labels():
    trailer = load(TRAILER)
    brakes = {brake.name: replace(brake, label="brake") for brake in bench(TRAILER).subject.brakes}
    same = replace(trailer, components={**trailer.components, **brakes})
    told = judge(same, "un13", only="storage_trailer").findings
    assert [(f.verdict, f.value) for f in told] == [(f.verdict, f.value) for f in found(TRAILER, "storage_trailer")]
    assert told[0].what.startswith("brake (axle")


def test_a_heavy_trailer_is_not_braked_enough():
    trailer = load(TRAILER)
    (vehicle,) = trailer.vehicles
    heavy = replace(vehicle, axles=tuple(replace(axle, load=2.0 * axle.load) for axle in vehicle.axles))
    (good,), (bad,) = (judge(c, "un13", only="service_braking").findings
                       for c in (trailer, replace(trailer, vehicles=(heavy,))))  # fmt: skip
    assert (good.verdict, bad.verdict) == (MET, MISSED)
    assert bad.value == pytest.approx(0.5 * good.value, rel=1e-6)
    assert "not a stop" in good.why


def test_springs_do_not_count_as_braking_by_the_pedal():
    """With reservoirs all but empty the springs of this truck are out; the pedal brakes no more."""
    changes = {f"{tank}.volume": "3 L" for tank in ("primary", "secondary", "wet")}
    (finding,) = one_only(load(TRUCK), "storage", changes).findings
    assert finding.verdict == MISSED
    assert finding.value < 0.5
    assert "springs caged" in finding.why


def test_springs_that_share_the_air_of_a_broken_supply_line_are_caught():
    """In this truck the park control is fed from the trailer's reservoir without a check valve."""
    (finding,) = judge(load(SMALL), "un13", only="spring_supply").findings
    assert finding.verdict == MISSED


def test_the_simulator_keeps_its_setting():
    """UN R13 Annex 6, 3.3.3, times from memory: 0.2 +/- 0.01 s into 385 cm3, 0.38 +/- 0.02 s into 1155 cm3."""
    small, large = setting(bench(TRAILER))
    assert small == pytest.approx(0.2, abs=0.01)
    assert large == pytest.approx(0.38, abs=0.02)


def test_the_times_that_make_a_trailer_late_are_the_simulators_own():
    """Timed from 65 kPa behind the orifice, not from the opening of the control device."""
    (finding,) = found(TRAILER, "trailer_response")
    assert finding.verdict == MET
    assert "orifice of 4.05 mm" in finding.why


def test_the_interpolated_response_is_that_of_the_ramp_that_counts():
    test = series(bench(TRUCK))
    assert test.ramps == pytest.approx((0.05, 0.15, 0.25, 0.4))
    assert test.counted not in test.ramps
    channel = "rear_left.service_pressure"
    direct = replace(test, ramps=(test.counted,), runs=(test.direct,))
    assert test.response(channel, 0.75) == pytest.approx(direct.response(channel, 0.75), abs=0.01)


@pytest.mark.parametrize(
    ("time", "kept"), [(0.649, 0.6), (0.65, 0.7), (0.6, 0.6), (0.449999, 0.4), (0.45, 0.5), (0.04, 0.0)]
)
def test_times_are_rounded_to_a_tenth_halves_up(time, kept):
    assert rounded(time) == kept


def test_a_towing_vehicle_drains_its_vessel_before_each_application():
    first, line = found(TRACTOR, "storage")
    assert first.limit.clause == "Annex 7, A 1.2.1"
    assert first.limit.note == "limit of Annex 4, 2.2.1"
    assert 0.5 < line.value < 0.9


def test_auxiliary_reservoirs_are_those_on_which_no_brake_hangs():
    (bus,), (truck,), (tractor,) = (alone(load(name), UN13.kinds) for name in ("city-bus", TRUCK, TRACTOR))
    assert [tank.name for tank in auxiliary(bus)] == ["comfort_tank"]
    assert not auxiliary(truck)
    assert not auxiliary(tractor)
    findings = judge(load("city-bus"), "un13", only="filling").findings
    assert [finding.limit.name for finding in findings] == ["fill.p1.alone", "fill.p2.alone", "fill.auxiliary.alone"]


def test_springs_act_where_their_force_meets_the_hold_off_pressure():
    """Balance of forces as the spring has made the free stroke against its own friction and the return spring."""
    test = bench(TRUCK)
    names = ("spring_force", "spring_rate", "spring_area", "spring_friction", "free_stroke", "area", "return_pressure",
             "return_rate", "friction_pressure")  # fmt: skip
    figure = {name: float(test.subject.figure(test.subject.spring_brakes[0], name)) for name in names}
    levels = acting_levels(test)
    assert set(levels) == {"rear_left", "rear_right"}
    spring = figure["spring_force"] - figure["spring_rate"] * figure["free_stroke"] - figure["spring_friction"]
    rod = (figure["return_pressure"] + figure["friction_pressure"]) * figure["area"]
    rod += figure["return_rate"] * figure["free_stroke"]
    assert levels["rear_left"] == pytest.approx((spring - rod) / figure["spring_area"], rel=0.03)


def test_what_cannot_be_judged_says_why():
    trailer = load(UNITS / "un13_trailer.yaml")
    for procedure in ("service_braking", "automatic_braking", "parking"):
        (finding,) = judge(trailer, "un13", only=procedure).findings
        assert finding.verdict == NOT_JUDGED
        assert finding.why == "the file describes no axles, so there is no braking force"
    truck = load(TRUCK)
    (vehicle,) = truck.vehicles
    bare = replace(truck, vehicles=(replace(vehicle, axles=tuple(replace(axle, brake={}) for axle in vehicle.axles)),))
    (finding,) = judge(bare, "un13", only="storage").findings
    assert finding.verdict == NOT_JUDGED
    assert finding.why.startswith("axle 1 has no foundation brake ('brake: {type: s_cam}')")
    assert "left in it: supply reservoir" in finding.why


def test_a_motor_vehicle_that_does_not_tow_has_no_coupling_heads_to_judge():
    for procedure in ("coupling_response", "control_line", "coupling_pressure", "spring_supply"):
        (finding,) = judge(load(TRUCK), "un13", only=procedure).findings
        assert finding.verdict == NOT_JUDGED
        assert finding.why.startswith("it is for vehicles that tow")
    told = {finding.procedure for finding in report(TRACTOR).findings}
    assert "coupling_response" in told
    assert "trailer_response" not in told
    assert RESPONSE.kinds == ("truck", "tractor", "bus")


def test_a_push_pull_control_that_pops_out_empty_is_pushed_in_again_while_pumping_up():
    """Without it the vessel in place of the trailer would stay empty, and the times be too good."""
    circuit = load("truck-6x4")
    (towing, alone_) = (judge(c, "un13", only="filling").findings[-1] for c in (circuit, _without_trailer(circuit)))
    assert (towing.limit.name, alone_.limit.name) == ("fill.p2.towing", "fill.p2.alone")
    assert towing.value > 1.3 * alone_.value


def _without_trailer(circuit):
    (vehicle,) = circuit.vehicles
    return apply_changes(replace(circuit, vehicles=(replace(vehicle, tows=False),)), {"supply_head.self_sealing": True})
