"""What two vehicles that roll, and two roads, differ in."""

from __future__ import annotations

from dataclasses import replace

from pneusim.circuit.circuit import Axle, Circuit, Vehicle
from pneusim.circuit.motion import Hitch, Loading, Motion, Rolling, Tyre
from pneusim.circuit.road import Road, Stretch, Surface
from pneusim.circuit.scenario import Expectation, Measure, Scenario, Step, Trigger
from pneusim.results.comparison.description import description
from pneusim.results.comparison.scenarios import Played, scenario_changes

MOTION = Motion(Loading(16e3, 1.2, 3.0), rear_hitch=Hitch(6.0, 0.9), drag_area=6.0)
AXLE = Axle(1, rolling=Rolling(0.0, "front", 7.0, Tyre(rated_load=30e3)))
BASE = Circuit("", {}, {}, vehicles=(Vehicle(kind="truck", axles=(AXLE,), motion=MOTION),))


def changed(**others):
    vehicle = replace(BASE.vehicles[0], **others)
    return [(c.section, c.what, *c.in_words()) for c in description(BASE, replace(BASE, vehicles=(vehicle,)))]


def test_vehicles_that_roll():
    assert changed() == []
    motion = Motion(Loading(16e3, 1.4), Loading(7e3, 1.0), drag_area=6.0)
    assert changed(motion=motion) == [
        ("vehicles", "vehicle.laden.centre_height", "1.2 m", "1.4 m"),
        ("vehicles", "vehicle.laden.centre_at", "3 m", "-"),
        ("vehicles", "vehicle.rear_hitch.at", "6 m", "-"),
        ("vehicles", "vehicle.rear_hitch.height", "0.9 m", "-"),
        ("vehicles", "vehicle.empty.mass", "-", "7000 kg"),
        ("vehicles", "vehicle.empty.centre_height", "-", "1 m"),
    ]
    rolling = Rolling(0.1, "rear", 7.0, Tyre("magic", rated_load=35e3))
    assert changed(axles=(replace(AXLE, rolling=rolling),)) == [
        ("vehicles", "axle_1.at", "0 m", "0.1 m"), ("vehicles", "axle_1.group", "front", "rear"),
        ("vehicles", "axle_1.tyre.law", "burckhardt", "magic"),
        ("vehicles", "axle_1.tyre.rated_load", "30 kN", "35 kN"),
    ]  # fmt: skip


def test_roads():
    low = Surface("low", coefficients=(0.3, 60.0, 0.1))
    a = Scenario("s", road=Road(20.0, 0.0, (Stretch(-1e6, "dry", "dry"), Stretch(12.0, "low", "low")), {"low": low}))
    b = Scenario("s", road=Road(10.0, -0.06, (Stretch(-1e6, "wet", "wet"), Stretch(12.0, "low", "wet")),
                                {"low": Surface("low", points=((0.0, 0.0), (0.1, 0.4)))}, {"": "empty"}),
                 steps=(Step("note", when=Trigger("vehicle.speed", 5.0, -1), text="slow"),),
                 measures=(Measure("slip", "max", channel="axle_1_left.slip"),),
                 expectations=(Expectation("slip", high=0.2),))  # fmt: skip
    assert [(c.what, *c.in_words()) for c in scenario_changes(Played(BASE, a), Played(BASE, b))] == [
        ("s.road.speed", "72 km/h", "36 km/h"),
        ("s.road.grade", "0 %", "-6 %"),
        ("s.road.surface", "dry", "wet"),
        ("s.road.from 12 m", "low", "low left, wet right"),
        ("s.road.surfaces.low", "c1 0.3, c2 60, c3 0.1, fading 0 s/m", "0 at 0 %, 0.4 at 10 %, fading 0 s/m"),
        ("s.road.loading", "-", "empty"),
        ("s.step_1", "-", "when vehicle.speed falls below 18 km/h: note 'slow'"),
        ("s.measure.slip", "-", "highest axle_1_left.slip"),
        ("s.expect.slip", "-", "at most 20 %"),
    ]
