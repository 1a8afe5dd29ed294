"""Every failure that the graph and the parts know is enumerated, or left out with a reason."""

from __future__ import annotations

import pytest

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.parts._foundation import FoundationBrake
from pneusim.parts.registry import part, part_types
from pneusim.reading import load_text
from pneusim.simulate.check import check
from pneusim.studies.failures.failure import KINDS, failed
from pneusim.studies.failures.single import single_failures
from tests.studies.failures.axle import CIRCUITS, circuit, single

SHIPPED = sorted(path.stem for path in CIRCUITS.glob("*.yaml"))
DECLARING = [name for name in part_types() if part(name).faults]


def ids(circuit: Circuit) -> set[str]:
    found, left_out = single_failures(circuit)
    assert all(left.why for left in left_out)
    return {failure.id for failure in found} | {left.id for left in left_out}


@pytest.mark.parametrize("name", DECLARING)
def test_every_fault_that_a_part_type_declares_happens(name: str) -> None:
    example = load_text(part(name).example)
    found, _ = single_failures(example)
    done = {(step.target, step.to) for failure in found for step in failure.steps if step.action == "fault"}
    owners = [c for c in example.components.values() if c.type == name]
    assert owners
    for owner in owners:
        for spec in part(name).faults:
            assert (f"{owner.name}.{spec.name}", spec.default) in done


def test_part_types_without_faults_are_those_known() -> None:
    """A part type that gets its first fault must be thought of here: foundation brakes are on no graph."""
    without = {name for name in part_types() if not part(name).faults and not issubclass(part(name), FoundationBrake)}
    assert without == {"atmosphere", "plug", "supply", "tee", "test_volume"}
    assert not any(part(name).faults for name in part_types() if issubclass(part(name), FoundationBrake))


@pytest.mark.parametrize("name", SHIPPED)
def test_lines_couplings_and_vehicles_of_shipped_circuits_fail_in_every_way(name: str) -> None:
    subject = circuit(name)
    found = ids(subject)
    whats = ("blocked", "leaking", "broken_near_end", "broken_middle", "broken_far_end")
    assert found >= {f"{line}.{what}" for line in subject.lines for what in whats}
    assert found >= {f"{coupling}.{what}" for coupling in subject.couplings for what in ("separated", "left_off")}
    towed = {c.unit for line in subject.couplings.values() for port in (line.start, line.end)
             for c in [subject.components[port.component]]}  # fmt: skip
    assert found >= {f"{v.name}.separated" for v in subject.vehicles[1:] if v.name in towed}


@pytest.mark.parametrize("name", SHIPPED)
def test_what_is_enumerated_is_allowed_and_has_its_own_id(name: str) -> None:
    subject = circuit(name)
    found, left_out = single_failures(subject)
    names = [failure.id for failure in found] + [left.id for left in left_out]
    assert len(names) == len(set(names))
    for failure in found:
        assert failure.kind in KINDS
        check(*failed(subject, Scenario("cycle", lasts=10.0), failure, 2.0))


def test_a_line_shorter_than_three_bores_can_only_be_blocked() -> None:
    short = load_text(
        "pneusim: 1\ncomponents: {a: {type: supply, pressure: 1 bar}, b: {type: test_volume, volume: 1 L}}\n"
        "lines: {stub: {from: a.1, to: b.1, bore: 10 mm, length: 2 cm}}"
    )
    found, left_out = single_failures(short)
    assert [failure.id for failure in found] == ["stub.blocked"]
    assert {left.id for left in left_out} == {
        "stub.leaking", "stub.broken_near_end", "stub.broken_middle", "stub.broken_far_end",
    }  # fmt: skip
    assert "20 mm long, shorter than 3 of its bores" in left_out[0].why


def test_the_chamber_that_makes_an_axle_unequal_is_the_next_smaller_with_the_same_spring() -> None:
    assert single()["left.unequal"].begin == {"left.size": "24/30"}
    assert single("tractor-6x4")["front_left.unequal"].begin == {"front_left.size": "18"}


def test_a_chamber_whose_area_the_file_gives_is_left_out_with_the_reason() -> None:
    text = (CIRCUITS / "one-axle.yaml").read_text().replace("size: 30/30,", "size: 30/30, area: 180 cm2,")
    _, left_out = single_failures(load_text(text))
    assert {left.id for left in left_out} == {"left.unequal", "right.unequal"}
    assert "area itself" in left_out[0].why


def test_what_stays_where_it_is_does_so_where_the_driver_or_the_air_has_put_it() -> None:
    found = single("tractor-semitrailer")
    later = {name: failure.moment for name, failure in found.items() if failure.moment != "fails"}
    assert later == {
        "tractor.foot.stuck_applied": "held", "tractor.park.stuck_parked": "parked",
        "tractor.trailer_supply.stuck_parked": "parked",
        **{f"{name}.{what}": moment
           for name in ("trailer.spring_valve", "tractor.front_release", "tractor.spring_release")
           for what, moment in (("stuck_applied", "held"), ("stuck_parked", "parked"))},
    }  # fmt: skip
    assert found["trailer.spring_valve.stuck_parked"].words.endswith("its pistons stay where they are while parked")


def test_couplings_of_a_combination() -> None:
    found = single("tractor-semitrailer")
    assert found["supply_line+control_line.crossed"].crossed == ("supply_line", "control_line")
    assert found["trailer.separated"].parted == ("trailer",)
    assert found["trailer.separated"].steps[0].targets == ("supply_line", "control_line")
    assert found["tractor.control_head.cock_left_shut"].begin == {"tractor.control_head.cock": 0.0}
    assert found["trailer.supply_head.cock_forgotten_shut"].steps[0].action == "fault"


def test_what_is_behind_a_vehicle_goes_with_it() -> None:
    found = single("double")
    parted = {name: failure.parted for name, failure in found.items() if failure.kind == "vehicle"}
    units = [vehicle.name for vehicle in circuit("double").vehicles]
    assert list(parted.values()) == [tuple(units[k:]) for k in range(1, len(units))]


def test_crossed_hoses_keep_the_end_that_they_stay_with() -> None:
    subject = circuit("tractor-semitrailer")
    failure = single("tractor-semitrailer")["supply_line+control_line.crossed"]
    crossed, _ = failed(subject, Scenario("cycle"), failure, 0.0)
    assert str(crossed.lines["supply_line"].start) == "tractor.supply_head.2"
    assert str(crossed.lines["supply_line"].end) == "trailer.control_head.2"
    assert str(crossed.lines["control_line"].end) == "trailer.supply_head.2"
