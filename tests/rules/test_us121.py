"""49 CFR 571.121 on vehicles: good ones pass, ones built to fail are caught, what cannot be judged says why."""

from dataclasses import replace

import numpy as np
import pytest

import pneusim
from pneusim.errors import RunFailed, UsageError
from pneusim.reading import apply_changes, load, load_text, shipped_circuits
from pneusim.results.run import Channel
from pneusim.rules import judge
from pneusim.rules.finding import MET, MISSED, NOT_JUDGED, NotJudged
from pneusim.rules.regulation import regulation
from pneusim.rules.subject import alone
from pneusim.rules.us121.forces import braking_ratios
from pneusim.rules.us121.parking_force import _spared
from tests.rules.circuits import GOOD, SLOW

US121 = regulation("us121")
RIGS = ("tractor-timing-rig", "semitrailer-timing-rig")  # vehicles that are judged anyway, on a rig of their own
COMBINATION = "tractor-semitrailer"  # one is enough: all are made of vehicles that are judged anyway


def _judged_here(name):
    vehicles = load(name).vehicles
    return vehicles[0].kind in US121.kinds and (len(vehicles) == 1 or name == COMBINATION)


VEHICLES = [name for name in shipped_circuits() if name not in RIGS and _judged_here(name)]


@pytest.fixture(scope="module")
def reports():
    """Reports of shipped vehicles, made when asked for."""
    made = {}

    def report(name):
        if name not in made:
            made[name] = judge(load(name), "us121")
        return made[name]

    return report


def found(report, procedure):
    return [finding for finding in report.findings if finding.procedure == procedure]


@pytest.mark.parametrize("name", VEHICLES)
def test_every_shipped_vehicle_is_judged(reports, name):
    report = reports(name)
    assert not report.failed
    assert report.count(MET) > 5
    for finding in report.findings:
        assert finding.limit or finding.verdict == NOT_JUDGED, finding
        assert finding.value is not None or finding.why, finding
        if finding.verdict != NOT_JUDGED and finding.value is not None:
            assert (finding.margin >= 0.0) == (finding.verdict == MET), finding
    assert {f.picture for f in report.findings if f.picture} == {picture.name for _, picture in report.pictures}


def test_a_sound_truck_meets_what_can_be_judged(reports):
    report = reports("rigid-truck")
    assert not report.missed
    assert {f.procedure for f in report.findings if f.verdict == MET} >= {
        "actuation", "release", "build_up", "capacity", "warning", "parking_time", "cut_in",
    }  # fmt: skip


def test_a_narrow_pipe_is_caught():
    report = judge(load_text(SLOW), "us121", only="actuation")
    slow, good = found(report, "actuation")
    assert slow.what.startswith("left brake")
    assert (slow.verdict, good.verdict) == (MISSED, MET)
    assert slow.value > 2.0 * good.value
    assert slow.margin == pytest.approx(0.45 - slow.value)
    assert not judge(load_text(GOOD), "us121", only="actuation").missed


@pytest.mark.parametrize(
    ("changes", "procedure"),
    [
        ({"primary.volume": "10 L"}, "capacity"),
        ({"governor.cut_in": "6 bar"}, "cut_in"),
        ({"low_primary.closes_below": "3 bar"}, "warning"),
        ({"engine_air.displacement": "0.02 L/rev"}, "build_up"),
        ({"park_pipe.bore": "2 mm", "spring_release.conductance": "0.3 dm3/(s bar)",
          "spring_release.exhaust_conductance": "0.05 dm3/(s bar)"}, "parking_time"),
        ({"rear_signal.bore": "2 mm"}, "release"),
    ],
)  # fmt: skip
def test_a_truck_built_to_fail_fails(changes, procedure):
    report = judge(apply_changes(load("rigid-truck"), changes), "us121", only=procedure)
    assert report.missed, report.findings


@pytest.mark.parametrize(
    ("changes", "procedure"),
    [
        ({"reservoir.volume": "60 L"}, "capacity"),
        ({"axle1_left.spring_force": "14 kN", "axle1_right.spring_force": "14 kN"}, "drag"),
        ({"spring_valve.opens": "3 bar", "spring_valve.closes": "2 bar", "fill_pipe.bore": "16 mm",
          "supply_pipe.bore": "20 mm", "spring_valve.reservoir_conductance": "30 dm3/(s bar)"}, "supply_retention"),
    ],
)  # fmt: skip
def test_a_trailer_built_to_fail_fails(changes, procedure):
    report = judge(apply_changes(load("semitrailer-3axle"), changes), "us121", only=procedure)
    assert report.missed, report.findings


WEAK = {f"axle{n}_{side}.spring_force": "3 kN" for n in (1, 2) for side in ("left", "right")}


@pytest.mark.parametrize(
    ("changes", "procedure", "first"),
    [
        ({f"axle2_{side}.size": "12/16" for side in ("left", "right")}, "retardation", "axle 2 at 137.9 kPa"),
        (WEAK, "parking_force", "axle 1, parked"),
        (WEAK, "emergency", "axle 1, supply line vented"),
    ],
)  # fmt: skip
def test_a_trailer_that_tows_built_to_fail_fails(reports, changes, procedure, first):
    good = found(reports("semitrailer-2axle"), procedure)
    assert {finding.verdict for finding in good} == {MET}
    report = judge(apply_changes(load("semitrailer-2axle"), changes), "us121", only=procedure)
    missed = [finding for finding in report.findings if finding.verdict == MISSED]
    assert missed[0].what == first
    assert missed[0].margin < 0.0


def test_of_retardation_force_and_grade_one_is_enough(reports):
    """49 CFR 571.121 S5.6, NHTSA letter aiam1823: the maker may choose."""
    force, grade = (found(reports("semitrailer-2axle"), "parking_force")[k] for k in (0, -1))
    assert (force.clause, grade.clause) == ("S5.6.1(a)", "S5.6.2")
    ratio = grade.value / np.hypot(1.0, grade.value)  # the sine of the angle whose tangent is the grade
    assert ratio == pytest.approx(force.value, rel=0.06)  # service air lies on the springs of neither
    missed = replace(grade, verdict=MISSED)
    (spared,) = _spared([missed], [force])
    assert spared.verdict == NOT_JUDGED
    assert "but S5.6.1(a) is met" in spared.why
    assert list(_spared([missed], [replace(force, verdict=MISSED)])) == [missed]
    assert list(_spared([missed], [])) == [missed]


def test_a_trailer_that_tows_is_judged_by_its_own_limits(reports):
    report = reports("semitrailer-2axle")
    assert {f.limit.name for f in found(report, "actuation")} == {"actuation.towing_trailer", "vessel.towing_trailer"}
    differential = found(report, "differential")
    assert len(differential) == 6
    assert all(finding.value is not None for finding in differential)
    assert not found(reports("semitrailer-3axle"), "differential")


def test_a_dolly_has_limits_of_its_own():
    trailer = load("semitrailer-2axle")
    (vehicle,) = trailer.vehicles
    dolly = replace(trailer, vehicles=(replace(vehicle, kind="dolly"),))
    limits = [judge(dolly, "us121", only=name).findings[-1].limit.value for name in ("actuation", "release")]
    assert limits == [0.55, 1.10]


def test_what_cannot_be_judged_says_why():
    report = judge(load_text(GOOD), "us121")
    why = {finding.procedure: finding.why for finding in report.findings if finding.verdict == NOT_JUDGED}
    assert why["warning"] == "the circuit has no pressure switch"
    assert why["cut_in"] == "the circuit has no governor"
    assert why["build_up"] == "the circuit has no compressor"
    assert why["parking_time"] == "the circuit has no controls of a parking brake"
    assert [finding.clause for finding in report.findings if not finding.procedure]


def test_without_foundation_brakes_there_is_no_force_to_judge():
    truck = load("rigid-truck")
    (vehicle,) = truck.vehicles
    bare = replace(vehicle, axles=tuple(replace(axle, brake={}) for axle in vehicle.axles))
    (finding,) = judge(replace(truck, vehicles=(bare,)), "us121", only="parking_force").findings
    assert finding.verdict == NOT_JUDGED
    assert "no foundation brake is described" in finding.why


def test_a_run_that_fails_is_told_as_such(monkeypatch):
    def fails(*_args, **_options):
        raise RunFailed("tank.pressure does not converge")

    monkeypatch.setattr("pneusim.rules.bench.run", fails)
    report = judge(load_text(GOOD), "us121", only="actuation")
    assert report.failed
    assert report.findings[0].why == "a run failed: tank.pressure does not converge"


def test_braking_ratios_come_from_the_run_by_axle():
    (subject,) = alone(load_text(GOOD), US121.kinds)
    run = pneusim.run(load_text(GOOD), pneusim.Scenario("rest", lasts=0.1))
    with pytest.raises(NotJudged, match="no foundation brake is described"):
        braking_ratios(subject, run)
    ratio = Channel("axle_1.braking_ratio", np.array([0.0, 1.0]), np.array([0.0, 0.3]), "number", "")
    fitted = replace(run, channels={**run.channels, ratio.name: ratio})
    assert braking_ratios(subject, fitted) == {1: ratio}


def test_wrong_calls_are_told():
    truck = load_text(GOOD)
    with pytest.raises(UsageError, match=r"regulation 'us122' is unknown \(there are: us121"):
        judge(truck, "us122")
    with pytest.raises(UsageError, match=r"us121 has no procedure 'braking' \(there are: build_up, cut_in"):
        judge(truck, "us121", only="braking")
    with pytest.raises(UsageError, match=r"addresses no vehicle of this circuit \(kind: rig; allowed: truck, tractor"):
        judge(load("tank-and-orifice"), "us121")


def test_progress_is_told():
    told = []
    judge(load_text(GOOD), "us121", only="actuation", progress=lambda title, share: told.append((title, share)))
    assert told[-1] == ("Full application and release", 1.0)
