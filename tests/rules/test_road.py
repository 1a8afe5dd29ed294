"""Stops that regulations ask for: loads, surfaces, locked wheels, failures; a truck that passes, one built to fail."""

import numpy as np
import pytest

from pneusim.circuit.statics import stand
from pneusim.quantities import STANDARD_GRAVITY
from pneusim.reading import apply_changes, load, load_text
from pneusim.rules import judge
from pneusim.rules.bench import Bench
from pneusim.rules.finding import MET, MISSED, NOT_JUDGED, NotJudged
from pneusim.rules.regulation import regulation
from pneusim.rules.road.failures import broken_lines, distinct, lost_reservoirs
from pneusim.rules.road.loads import laden, rated_mass, rolling, unladen
from pneusim.rules.road.stops import hardest, stop
from pneusim.rules.road.surfaces import REFERENCE
from pneusim.rules.subject import alone
from pneusim.rules.us121.road import course, loaded, locks_too_long
from tests.rules.circuits import GOOD

US121 = regulation("us121")
TRUCK = "rigid-truck"
WEAK = {f"{side}.area": "30 cm2" for side in ("front_left", "front_right", "rear_left", "rear_right")}


def bench(name, changes=None):
    circuit = load(name)
    (subject,) = alone(apply_changes(circuit, changes) if changes else circuit, US121.kinds)
    return Bench(subject, US121.table)


def found(report, procedure):
    return [finding for finding in report.findings if finding.procedure == procedure]


@pytest.fixture(scope="module")
def truck():
    return bench(TRUCK)


def test_a_tractor_is_laden_by_its_control_trailer():
    """49 CFR 571.121 S5.3.1.1(a), from memory: at its rated weight, and 4500 lb on the trailer's axle."""
    test = bench("tractor-6x4")
    units = loaded(test).units
    tractor, trailer = stand(units)
    assert sum(tractor.loads) == pytest.approx(rated_mass(units[0]) * STANDARD_GRAVITY)
    assert trailer.loads[1] == pytest.approx(4500 * 4.4482216)
    assert trailer.loads[0] + units[0].motion.laden.mass * STANDARD_GRAVITY == pytest.approx(sum(tractor.loads))


def test_a_tractor_is_laden_by_what_rests_on_its_coupling():
    subject = bench("tractor-6x4").subject
    (alone_,) = stand(laden(subject).units)
    tractor, _ = stand(loaded(bench("tractor-6x4")).units)
    assert alone_.loads == pytest.approx(tractor.loads, rel=1e-9)
    (bobtail,) = stand(unladen(subject).units)
    assert sum(bobtail.loads) == pytest.approx(8800 * STANDARD_GRAVITY)


def test_what_a_file_does_not_say_is_named():
    (subject,) = alone(load_text(GOOD), US121.kinds)
    with pytest.raises(NotJudged, match="does not say what the vehicle weighs"):
        rolling(subject)
    told = found(judge(load_text(GOOD), "us121", only="stopping"), "stopping")
    assert {f.verdict for f in told} == {NOT_JUDGED}


def test_a_stop_is_measured_from_the_movement_of_the_pedal(truck):
    """Its length is the integral of the speed since then; what failed five seconds before has cost no speed."""
    made = stop(truck, course(truck, laden(truck.subject), 20.0, "Stop"), start=5.5)
    assert made.from_speed == pytest.approx(20.0, abs=0.02)
    times, speeds = made.unit.speed.times, made.unit.speed.values
    since = times >= made.start
    assert made.distance == pytest.approx(np.trapezoid(speeds[since], times[since]), rel=5e-3)


def test_the_hardest_stop_is_the_last_without_a_lock(truck):
    """The unladen truck has no anti-lock and no load sensing: its rear axle locks at a light pedal."""
    made = course(truck, unladen(truck.subject), 26.8, "Hardest stop")
    best = hardest(truck, made, lambda one: not locks_too_long(truck, one))
    assert 0.1 < best.travel < 0.9
    assert not locks_too_long(truck, best)
    assert locks_too_long(truck, stop(truck, made, best.travel + 0.03))


def test_failures_that_take_the_same_are_tried_once(truck):
    failures = [*lost_reservoirs(truck.subject), *broken_lines(truck.subject)]
    made = course(truck, laden(truck.subject), 26.8, "Failures")
    kept = [failure.words for failure in distinct(truck, made, failures)]
    assert 2 <= len(kept) < len(failures) / 2
    assert "primary reservoir lost" in kept
    assert not any("wet" in words for words in kept)


def test_a_truck_stops_within_table_two():
    """49 CFR 571.121 Table II, from memory: 310 ft loaded, 335 ft unloaded, 613 ft after a failure."""
    report = judge(load(TRUCK), "us121", only="stopping")
    judged = [f for f in found(report, "stopping") if f.verdict != NOT_JUDGED]
    assert [f.verdict for f in judged] == [MET, MET]
    assert [round(f.limit.value / 0.3048) for f in judged] == [310, 335]
    assert {p.along for _, p in report.pictures} == {"distance"}
    emergency = found(judge(load(TRUCK), "us121", only="emergency_stop"), "emergency_stop")
    assert [f.verdict for f in emergency] == [MET, MET]
    assert all(f.value > g.value for f, g in zip(emergency, judged, strict=True))


def test_a_truck_with_weak_brakes_is_caught():
    weak = apply_changes(load(TRUCK), WEAK)
    loaded_, *_ = found(judge(weak, "us121", only="stopping"), "stopping")
    assert loaded_.verdict == MISSED
    assert loaded_.value is None or loaded_.value > loaded_.limit.value
    assert MISSED in {f.verdict for f in found(judge(weak, "us393", only="performance"), "performance")}


def test_pavement_of_the_reference_tyre_is_less_for_a_truck_tyre(truck):
    surface = course(truck, laden(truck.subject), 20.0, "Surface").surface
    assert surface.shape[0] == pytest.approx(0.9 * REFERENCE)


def test_anti_lock_axles():
    met = found(judge(load("anti-lock-truck"), "us121", only="anti_lock"), "anti_lock")
    assert [f.verdict for f in met] == [MET, MET]
    without = found(judge(load(TRUCK), "us121", only="anti_lock"), "anti_lock")
    assert [(f.verdict, f.why) for f in without] == [(NOT_JUDGED, "the circuit has no anti_lock_control")]
