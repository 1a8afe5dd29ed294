"""The bench: a vehicle taken out of its combination, rigs coupled to its heads, the rig's calibration."""

import pytest

from pneusim.circuit.circuit import Vehicle
from pneusim.circuit.scenario import Step
from pneusim.reading import load, load_text, shipped_circuits
from pneusim.rules.bench import RIGS, Bench, time_to
from pneusim.rules.finding import NotJudged
from pneusim.rules.regulation import regulation
from pneusim.rules.subject import Subject, alone, whole
from tests.rules.circuits import GOOD, VESSEL

US121 = regulation("us121")


def bench(text):
    (subject,) = alone(load_text(text), US121.kinds)
    return Bench(subject, US121.table)


@pytest.mark.parametrize("rig", sorted(path.stem for path in RIGS.glob("*.yaml")))
def test_every_rig_is_a_circuit_file_that_ends_in_coupling_heads(rig):
    circuit = load(RIGS / f"{rig}.yaml")
    assert any(component.type == "coupling_head" for component in circuit.components.values())
    assert circuit.about


def test_the_rig_keeps_its_calibration():
    """49 CFR 571.121, former S6.1.12, from memory: 50 in3 from 0 to 60 psi in 0.06 s, from 95 to 5 psi in 0.22 s.

    The hose of half a metre, the head and the spool add some milliseconds.
    """
    test = bench(VESSEL)
    start = {"trailer_rig.feed.position": 0.0, "trailer_rig.exhaust.position": 0.0, "trailer_rig.vent.position": 0.0}
    feed = Step("set", at=0.1, target="trailer_rig.feed.position", to=1.0)
    filling = test.run("Filling", (feed,), 1.0, start, ("trailer_rig",))
    assert time_to(filling["vessel.pressure"], 413.7e3, +1, 0.1) == pytest.approx(0.06, abs=0.015)
    shut = Step("set", at=1.0, target="trailer_rig.feed.position", to=0.0)
    open_up = Step("set", at=1.0, target="trailer_rig.exhaust.position", to=1.0)
    emptying = test.run("Emptying", (feed, shut, open_up), 2.0, start, ("trailer_rig",))
    at_95 = 1.0 + time_to(emptying["vessel.pressure"], 655e3, -1, 1.0)
    assert time_to(emptying["vessel.pressure"], 34.47e3, -1, at_95) == pytest.approx(0.22, abs=0.04)


def test_the_same_test_is_run_once():
    test = bench(GOOD)
    first = test.run("Rest", (), 0.1, test.ready(6e5))
    assert test.run("Rest", (), 0.1, test.ready(6e5)) is first
    assert test.run("Rest", (), 0.1, test.ready(5e5)) is not first


def test_a_vehicle_stands_alone_with_its_heads_uncoupled():
    combination = load(shipped_circuits()["tractor-semitrailer"])
    tractor, trailer = alone(combination, US121.kinds)
    assert {c.unit for c in tractor.circuit.components.values()} == {"tractor"}
    assert not trailer.circuit.couplings
    assert trailer.head("supply", "front").name == "trailer.supply_head"
    assert len(whole(combination, US121.kinds)) == 1


def test_a_vehicle_on_a_rig_of_its_own_file_loses_that_rig():
    (tractor,) = alone(load(shipped_circuits()["tractor-timing-rig"]), US121.kinds)
    assert "vessel" not in tractor.circuit.components
    assert all(port.component != "vessel" for joint in tractor.circuit.joints for port in joint.ports)


def test_what_is_missing_or_ambiguous_is_not_judged():
    circuit = load_text(GOOD)
    subject = Subject(circuit, Vehicle(kind="truck"))
    with pytest.raises(NotJudged, match="the circuit has no park control"):
        subject.one("park_control")
    with pytest.raises(NotJudged, match="the circuit has 2 of type brake chamber: left, right"):
        subject.one("brake_chamber")
    with pytest.raises(NotJudged, match="no control coupling heads at its rear end"):
        subject.head("control", "rear")
    with pytest.raises(NotJudged, match="no controls of a parking brake"):
        subject.parking_control()


def test_ready_to_drive():
    (tractor,) = alone(load(shipped_circuits()["tractor-6x4"]), US121.kinds)
    begin = Bench(tractor, US121.table).ready(7e5)
    assert begin["park.lever"] == 1.0
    assert begin["trailer_supply.knob"] == 1.0
    assert begin["engine_air.running"] == 0.0
    assert begin["primary.pressure"] == 7e5
