"""Consequences and their classes, on facts of two axles made by hand."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from pneusim.studies.failures.classes import CLASSES, all_classes, class_named, rank
from pneusim.studies.failures.failure import Failure
from pneusim.studies.failures.judge import Consequences, judge
from pneusim.studies.failures.owners import Owners, owners_of
from tests.studies.failures.axle import circuit

BRAKES = ("fl", "fr", "rl", "rr")
OWNERS = Owners(
    {"axle_1": ("fl", "fr"), "axle_2": ("rl", "rr")}, {"vehicle": BRAKES}, {"vehicle": ""},
    {"fl": "left", "fr": "right", "rl": "left", "rr": "right"}, "vehicle",
)  # fmt: skip
NOTHING = Failure("x.y", "valve", ("x",), "x fails")


def intact() -> dict[str, Any]:
    moments = {
        "pedal": dict.fromkeys(BRAKES, 0.0), "held": dict.fromkeys(BRAKES, 10e3), "parks": dict.fromkeys(BRAKES, 0.0),
        "parked": {"fl": 0.0, "fr": 0.0, "rl": 8e3, "rr": 8e3}, "drives": dict.fromkeys(BRAKES, 0.0),
    }  # fmt: skip
    return {
        "forces": moments, "pushes": copy.deepcopy(moments), "time_75": dict.fromkeys(BRAKES, 0.3),
        "springs": {"rl": None, "rr": None}, "acts": dict.fromkeys(BRAKES),
        "air": {"tank": {"pedal": 8e5, "end": 8e5, "lowest": 7e5}}, "warned": None, "stops": {},
    }  # fmt: skip


def judged(failure: Failure = NOTHING, **changes: Any) -> Consequences:
    """``forces_held={"fl": 0}`` changes entries of facts."""
    facts = intact()
    for name, values in changes.items():
        kind, _, moment = name.partition("__")
        if isinstance(values, dict):
            (facts[kind][moment] if moment else facts[kind]).update(values)
        else:
            facts[kind] = values
    return judge(failure, facts, intact(), OWNERS, 8.0)


def classes(**changes: Any) -> tuple[str, ...]:
    return all_classes(judged(**changes), OWNERS)


def test_the_intact_vehicle_has_no_consequences() -> None:
    found = judged()
    assert found.braking["vehicle"] == found.parking["vehicle"] == found.air["tank"] == 1.0
    assert (found.warning, found.matters, found.by_itself, found.stuck_on) == ("", None, {}, ())
    assert found.drives == {"vehicle": "free"}
    assert all_classes(found, OWNERS) == ("none",)


@pytest.mark.parametrize(("changes", "worst"), [
    ({"forces__held": dict.fromkeys(BRAKES, 900.0)}, "no_brakes"),
    ({"forces__held": {"fl": 0.0, "fr": 0.0, "rl": 9e3}}, "below_half"),
    ({"springs": {"rl": 3.0}}, "on_unwarned"),
    ({"acts": {"fl": 3.0}, "warned": 3.5}, "on_unwarned"),
    ({"acts": {"fl": 3.0}, "warned": 2.5}, "on_warned"),
    ({"forces__parked": {"rl": 6e3, "rr": 0.0}}, "no_parking"),
    ({"forces__held": {"fl": 900.0, "fr": 900.0}}, "axle_lost"),
    ({"forces__held": {"fl": 6.9e3}}, "lopsided"),
    ({"forces__held": {"fl": 4.9e3, "fr": 4.9e3}}, "axle_half"),
    ({"pushes__parks": {"rl": 60.0}}, "stuck_on"),
    ({"pushes__drives": {"rl": 60.0}}, "cannot_move"),
    ({"forces__held": {"fl": 8.9e3, "fr": 8.9e3}}, "weak"),
    ({"time_75": {"fl": 0.41}}, "late"),
    ({"forces__parked": {"rl": 6e3}}, "parks_weakly"),
    ({"forces__held": {"fl": 11.1e3, "fr": 11.1e3}}, "strong"),
    ({"air": {"tank": {"pedal": 8e5, "end": 7.1e5, "lowest": 7e5}}}, "air_lost"),
])  # fmt: skip
def test_each_class_has_its_case(changes: dict[str, Any], worst: str) -> None:
    assert classes(**changes)[0] == worst


@pytest.mark.parametrize("changes", [
    {"forces__held": {"fl": 9.1e3, "fr": 9.1e3}}, {"forces__held": {"fl": 8.1e3, "rl": 11e3, "fr": 10e3}},
    {"time_75": {"fl": 0.39}}, {"pushes__drives": {"rl": 40.0}}, {"warned": 5.0},
])  # fmt: skip
def test_what_stays_within_the_limits_is_no_consequence(changes: dict[str, Any]) -> None:
    assert classes(**changes) == ("none",)


def test_one_of_two_springs_still_parks() -> None:
    assert classes(forces__parked={"rl": 7.8e3, "rr": 0.0}) == ("parks_weakly",)


def test_a_warning_is_in_time_before_the_brake_comes_on_or_the_pedal_gives_too_little() -> None:
    weak = {"forces__held": {"fl": 0.0, "fr": 0.0}}
    assert judged(**weak).warning == "never"
    assert judged(**weak, warned=7.9).warning == "in time"
    assert judged(**weak, warned=8.1).warning == "too late"
    early = judged(**weak, warned=5.0, acts={"fl": 4.0})
    assert (early.warning, early.matters) == ("too late", 4.0)


def test_a_spring_counts_from_when_it_presses_and_a_brake_from_when_it_is_on() -> None:
    found = judged(springs={"rl": 5.0}, acts={"rl": 6.0, "fl": 7.0})
    assert found.by_itself == {"rl": 5.0, "fl": 7.0}
    assert found.springs == ("rl",)


def test_how_much_holds_it_when_it_should_drive_off() -> None:
    assert judged(pushes__drives={"rl": 60.0}, forces__drives={"rl": 100.0}).drives == {"vehicle": "drags"}
    assert judged(pushes__drives={"rl": 5e3}, forces__drives={"rl": 8e3}).drives == {"vehicle": "held"}


def test_a_vehicle_that_separated_is_judged_by_whether_it_stops() -> None:
    combination = owners_of(circuit("tractor-semitrailer"))
    away = Failure("trailer.separated", "vehicle", ("trailer",), "the trailer separates", parted=("trailer",))
    usual = {name: 10e3 for name in combination.brakes}
    facts: dict[str, Any] = {
        "forces": {"pedal": dict.fromkeys(usual, 0.0), "held": usual, "parked": usual}, "pushes": {"parks": {}},
        "time_75": {}, "springs": {}, "acts": dict.fromkeys(usual), "air": {}, "warned": None, "stops": {},
    }  # fmt: skip
    still = copy.deepcopy(facts)
    for name in usual:
        if name.startswith("trailer"):
            still["forces"]["held"] = {**still["forces"]["held"], name: 0.0}
    rolls = judge(away, still, facts, combination, 8.0)
    assert rolls.stops == {"trailer": False}
    assert rolls.braking["combination"] == 1.0  # what is left of it
    assert all_classes(rolls, combination)[0] == "runs_away"
    still["forces"]["pedal"] = {n: 6e3 if n.startswith("trailer") else 0.0 for n in usual}
    still["forces"]["drives"] = facts["forces"]["drives"] = still["forces"]["pedal"]
    still["pushes"]["drives"] = facts["pushes"]["drives"] = still["forces"]["pedal"]
    stands = judge(away, still, facts, combination, 8.0)
    assert stands.drives.keys() == {"tractor.vehicle", "combination"}  # nobody drives off with what came away
    assert stands.stops == {"trailer": True}
    assert all_classes(stands, combination) == ("came_away",)


def test_a_vehicle_that_hardly_brakes_is_not_made_up_for_by_the_other() -> None:
    combination = owners_of(circuit("tractor-semitrailer"))
    pushes = Consequences(braking={"combination": 0.52, "tractor.vehicle": 0.95, "trailer.vehicle": 0.15})
    assert all_classes(pushes, combination) == ("vehicle_half",)
    shares = {"combination": 1.0, "tractor.vehicle": 1.0, "trailer.vehicle": 0.4}
    away = Consequences(braking=shares, stops={"trailer": True})
    assert all_classes(away, combination) == ("came_away",)
    on = {combination.vehicles["trailer.vehicle"][0]: 2.7}
    springs = Consequences(braking=pushes.braking, by_itself=on, warning="never")
    assert all_classes(springs, combination) == ("on_unwarned",)
    alone = Consequences(braking={"vehicle": 0.6})
    assert all_classes(alone, OWNERS)[0] != "vehicle_half"


def test_a_vehicle_that_does_not_park_is_not_made_up_for_by_the_other() -> None:
    combination = owners_of(circuit("tractor-semitrailer"))
    held = Consequences(parking={"combination": 0.6, "tractor.vehicle": 0.05, "trailer.vehicle": 1.0})
    assert all_classes(held, combination) == ("no_parking", "parks_weakly")


def test_classes_are_ordered_and_named_once() -> None:
    names = [kind.name for kind in CLASSES]
    assert len(set(names)) == len(names)
    assert names[0] == "no_brakes"
    assert names[-1] == "none"
    assert rank("not_computed") < rank("no_brakes") < rank("none")
    assert class_named("lopsided").words == "an axle brakes lopsidedly"
