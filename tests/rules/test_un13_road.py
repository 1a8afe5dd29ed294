"""UN R13 on the road: stops, failures, adhesion used, anti-lock; a truck that passes, ones built to fail."""

import numpy as np
import pytest

from pneusim.circuit.statics import stand
from pneusim.reading import apply_changes, load
from pneusim.rules import judge
from pneusim.rules.bench import Bench
from pneusim.rules.finding import MET, MISSED, NOT_JUDGED
from pneusim.rules.regulation import regulation
from pneusim.rules.road.loads import laden
from pneusim.rules.subject import alone
from pneusim.rules.un13.adhesion import utilisation

UN13 = regulation("un13")
TRUCK, ANTI_LOCK = "rigid-truck", "anti-lock-truck"
WEAK = {f"{brake}.area": "25 cm2" for brake in ("front_left", "front_right", "rear_left", "rear_right")}


def found(name, procedure, changes=None):
    circuit = load(name)
    report = judge(apply_changes(circuit, changes) if changes else circuit, "un13", only=procedure)
    assert not report.failed
    return report.findings


def verdicts(name, procedure, changes=None):
    return [finding.verdict for finding in found(name, procedure, changes) if finding.procedure]


@pytest.mark.parametrize(
    ("row", "speed", "way"),
    [
        ("type_0", 60.0, lambda v: 0.15 * v + v**2 / 130),
        ("secondary.m", 60.0, lambda v: 0.15 * v + 2 * v**2 / 130),
        ("secondary.n2", 50.0, lambda v: 0.15 * v + 2 * v**2 / 115),
        ("secondary.n3", 40.0, lambda v: 0.15 * v + 2 * v**2 / 115),
        ("residual.m.laden", 60.0, lambda v: 0.15 * v + 100 / 30 * v**2 / 130),
        ("residual.n2.unladen", 50.0, lambda v: 0.15 * v + 100 / 25 * v**2 / 115),
        ("residual.n3.laden", 40.0, lambda v: 0.15 * v + 100 / 30 * v**2 / 115),
    ],
)
def test_ways_are_those_of_the_formulas(row, speed, way):
    """UN R13 Annex 4, 2.1.1, 2.2.1 and 2.4.1, from memory, to be read against the official text."""
    assert UN13.table[f"{row}.distance"].value == pytest.approx(way(speed), abs=0.006)
    assert UN13.table[f"{'.'.join(row.split('.')[:2])}.speed"].value == pytest.approx(speed / 3.6)


def test_a_laden_truck_stops_in_time_and_a_weak_one_does_not():
    assert verdicts(TRUCK, "type_0")[:2] == [MET, MET]
    assert verdicts(TRUCK, "type_0", WEAK)[:2] == [MISSED, MISSED]


def test_an_unladen_truck_without_load_sensing_cannot_use_its_brakes():
    """Its rear axle locks first, so that the pedal must be held far below its end."""
    way, deceleration = found(TRUCK, "type_0")[2:4]
    assert "pedal held" in way.why
    assert deceleration.verdict == MISSED
    assert verdicts(ANTI_LOCK, "type_0") == [MET] * 4


@pytest.mark.parametrize("procedure", ["secondary", "residual"])
def test_what_a_failure_leaves(procedure):
    assert verdicts(TRUCK, procedure)[:2] == [MET, MET]
    assert MISSED in verdicts(TRUCK, procedure, WEAK)[:2]


def test_adhesion_used_adds_up_to_the_braking_rate():
    """Forces on all axles are the weight times the braking rate, at the loads of that rate."""
    (subject,) = alone(load(TRUCK), UN13.kinds)
    bench, state = Bench(subject, UN13.table), laden(subject)
    used = utilisation(bench, state)
    for k in (10, 40):
        (standing,) = stand(state.units, braking_ratio=float(used.rates[k]))
        force = sum(used.axles[a.axle.number][k] * a.load for a in standing.axles)
        assert force == pytest.approx(used.rates[k] * sum(standing.loads), rel=1e-3)
    assert used.rear == {2}
    assert np.all(np.diff(used.most) > 0.0)


def test_the_rear_axle_of_an_unladen_truck_uses_too_much():
    assert verdicts(TRUCK, "adhesion") == [MET, MET, MISSED, MISSED]
    weaker = {"rear_left.area": "60 cm2", "rear_right.area": "60 cm2"}
    assert verdicts(TRUCK, "adhesion", weaker)[3] == MET
    assert verdicts(ANTI_LOCK, "adhesion") == [NOT_JUDGED]


def test_a_parked_truck_stays_where_it_is():
    static, rolls, *_ = found(TRUCK, "parking")
    assert (static.verdict, rolls.verdict) == (MET, MET)
    loose = {"rear_left.spring_force": "4 kN", "rear_right.spring_force": "4 kN"}
    assert verdicts(TRUCK, "parking", loose)[:2] == [MISSED, MISSED]


def test_anti_lock_is_not_judged_without_a_control():
    for procedure in ("anti_lock", "anti_lock_lock", "anti_lock_split", "anti_lock_jumps", "anti_lock_energy"):
        (told,) = (finding for finding in found(TRUCK, procedure) if finding.procedure)
        assert (told.verdict, told.why) == (NOT_JUDGED, "the circuit has no anti_lock_control")


def test_split_adhesion():
    """Four wheels by themselves meet the formula; two axles by their slower wheels brake too little."""
    assert verdicts(ANTI_LOCK, "anti_lock_split") == [MET, MET, MET]
    assert MISSED in verdicts(ANTI_LOCK, "anti_lock_split", {"anti_lock.control": "select_low"})


def test_a_slow_control_lets_wheels_lock():
    assert MISSED not in verdicts(ANTI_LOCK, "anti_lock_jumps")
    assert MISSED in verdicts(ANTI_LOCK, "anti_lock_jumps", {"anti_lock.delay": "150 ms"})


def test_energy_after_anti_lock_control():
    (energy,) = (finding for finding in found(ANTI_LOCK, "anti_lock_energy") if finding.procedure)
    assert energy.verdict == MET
    assert "in 3 phases" in energy.why
    small = {"primary.volume": "8 L", "secondary.volume": "8 L", "wet.volume": "3 L"}
    assert verdicts(ANTI_LOCK, "anti_lock_energy", small) == [MISSED]


def test_a_vehicle_that_tows_begins_to_brake_in_the_range_of_trailers():
    """UN R13 Annex 10, 3.1.1, from memory: 20 to 100 kPa in the control line."""
    tractor = "tractor-6x4-un13"
    assert verdicts(tractor, "braking_begins_towing") == [MET, MET]
    early = {f"front_{side}.return_pressure": "2 kPa" for side in ("left", "right")}
    assert MISSED in verdicts(tractor, "braking_begins_towing", early)
    assert verdicts(TRUCK, "braking_begins_towing") == [NOT_JUDGED]


def test_speeds_of_an_anti_lock_stop_are_shown():
    report = judge(load(ANTI_LOCK), "un13", only="anti_lock_split")
    ((_, picture),) = report.pictures
    assert picture.curves[0].label == "vehicle"
    assert len(picture.curves) == 5
