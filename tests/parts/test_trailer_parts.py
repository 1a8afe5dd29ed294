"""The laws of the parts between a towing vehicle and its trailer, at rest."""

from __future__ import annotations

import pytest

from pneusim.parts.graduated_park_control import GraduatedParkControl
from pneusim.parts.park_release_control import ParkReleaseControl
from pneusim.parts.relay_emergency_valve import RelayEmergencyValve
from pneusim.parts.trailer_control_valve import TrailerControlValve
from pneusim.parts.trailer_spring_brake_valve import TrailerSpringBrakeValve
from pneusim.reading import load_text
from pneusim.results.run import Run
from pneusim.simulate import run
from tests.parts.recorder import Moment, Recorder, lowered

KPA = 1e3


def lap(recorder: Recorder, delivery: str, pressures: dict[str, float], of: str = "") -> float:
    """Middle [kPa] of the band of delivered pressures at which inlet and exhaust are shut."""
    shut = []
    for p in range(0, 1600):
        moment = Moment({port: value * KPA for port, value in {**pressures, delivery: p}.items()})
        names = (f"{of}opening", f"{of}exhaust_opening")
        if all(recorder.channel_at(name, moment) == 0.0 for name in names):
            shut.append(p)
    return 0.5 * (shut[0] + shut[-1])


class TestRelayEmergencyValve:
    valve = lowered(RelayEmergencyValve(emergency=400 * KPA, emergency_gain=3.0, crack=20 * KPA))

    @pytest.mark.parametrize(
        ("supply", "control", "delivered"),
        [
            (700, 300, 280),  # 300 - 20
            (310, 0, 270),  # 3 (400 - 310)
            (310, 200, 270),  # the more of 180 and 270
            (310, 400, 380),  # the more of 380 and 270
            (200, 0, 600),  # 3 (400 - 200)
        ],
    )
    def test_delivers_what_the_control_or_the_lost_supply_asks_for(self, supply, control, delivered):
        assert lap(self.valve, "2", {"1": supply, "4": control}) == pytest.approx(delivered, abs=1)

    def test_rests_with_its_exhaust_open(self):
        at_rest = Moment({"1": 700 * KPA, "4": 0.0, "2": 0.0})
        assert self.valve.channel_at("exhaust_opening", at_rest) == 1.0

    def test_fills_the_reservoir_and_keeps_its_air(self):
        for line, reservoir, opening in ((700, 600, 1.0), (0, 600, 0.0), (600, 600, 0.0)):
            moment = Moment({"1": line * KPA, "1-2": reservoir * KPA})
            assert self.valve.channel_at("reservoir_opening", moment) == opening
        leaking = Moment({"1": 0.0, "1-2": 600 * KPA}, faults={"check_stuck_open": 1.0})
        assert self.valve.channel_at("reservoir_opening", leaking) == 1.0

    def test_its_air_comes_from_the_reservoir(self):
        (inlet,) = [r for r in self.valve.restrictions if r[1] == "2"]
        assert inlet[0] == "1-2"


class TestTrailerControlValve:
    valve = lowered(TrailerControlValve(crack=20 * KPA, park_starts=700 * KPA, park_gain=1.0))

    @pytest.mark.parametrize(
        ("first", "second", "park", "delivered"),
        [(300, 0, 800, 280), (0, 300, 800, 280), (200, 500, 800, 480), (0, 0, 500, 200), (300, 0, 0, 700)],
    )
    def test_the_highest_of_its_commands_counts(self, first, second, park, delivered):
        assert lap(self.valve, "22", {"41": first, "42": second, "43": park}) == pytest.approx(delivered, abs=1)

    def test_a_predominance_is_added_to_the_service_pressure(self):
        valve = lowered(TrailerControlValve(crack=20 * KPA, predominance=50 * KPA))
        assert lap(valve, "22", {"41": 300, "43": 800}) == pytest.approx(330, abs=1)
        assert valve.channel_at("exhaust_opening", Moment({"43": 800 * KPA})) == 1.0

    def test_without_a_park_line_it_does_not_brake(self):
        valve = lowered(TrailerControlValve(), optional=False)
        assert valve.channel_at("exhaust_opening", Moment({})) == 1.0

    def test_the_throttle_shuts_when_the_delivery_stays_far_behind(self):
        throttle = {}
        for delivered in (0, 200, 300, 400, 700):
            moment = Moment({"41": 720 * KPA, "43": 800 * KPA, "22": delivered * KPA})
            throttle[delivered] = self.valve.channel_at("throttle", moment)
        least = TrailerControlValve().throttled
        assert throttle[0] == throttle[200] == throttle[300] == least  # 0.6 x 700 - 100 = 320 kPa
        assert throttle[700] == 1.0
        assert least < throttle[400] < 1.0

    def test_released_the_throttle_is_open(self):
        assert self.valve.channel_at("throttle", Moment({"43": 800 * KPA})) == 1.0

    def test_its_air_comes_from_behind_the_throttle(self):
        ways = {(a, b) for a, b, *_ in self.valve.restrictions}
        assert ways == {("11", "21"), ("21", "22"), ("22", "3")}


SPRING_TRAILER = """\
pneusim: 1
title: A spring-brake trailer on its supply line
components:
  tractor:  {{type: reservoir, volume: 80 L, pressure: 8 bar}}
  feed:     {{type: restriction, conductance: 1.2 dm3/(s bar)}}
  valve:    {{type: trailer_spring_brake_valve, order: {order}, on_supply_loss: {on_supply_loss}}}
  tank:     {{type: reservoir, volume: 40 L, pressure: 7.8 bar, service: true}}
  left:     {{type: spring_brake_actuator, size: 30/30}}
  right:    {{like: left}}
  open_air: {{type: atmosphere}}
lines:
  dash:        {{from: tractor.1, to: feed.1, bore: 9 mm, length: 2 m}}
  supply_line: {{from: feed.2, to: valve.1, bore: 9.5 mm, length: 12 m}}
  fill:        {{from: valve.21, to: tank.1, bore: 9.5 mm, length: 1 m}}
  spring_l:    {{from: valve.24, to: left.12, bore: 9.5 mm, length: 1.5 m}}
  spring_r:    {{like: spring_l, from: valve.25, to: right.12}}
joints:
  - [left.11, right.11, open_air.1]
scenarios:
  lost:
    lasts: 5 s
    steps: [{{at: 0.5 s, break: supply_line, where: 50 %}}]
  reservoir_lost:
    lasts: 15 s
    steps: [{{at: 0.5 s, fault: tank.lost, to: 10 mm}}]
  drained_slowly:
    lasts: 60 s
    steps:
      - {{at: 0.5 s, block: dash}}
      - {{at: 1 s, leak: supply_line, hole: 0.5 mm, where: 50 %}}
"""


def of_the_springs(scenario: str, on_supply_loss: str = "apply", order: str = "springs_first") -> Run:
    return run(load_text(SPRING_TRAILER.format(order=order, on_supply_loss=on_supply_loss)), scenario)


class TestTrailerSpringBrakeValve:
    """Saskatchewan Air Brake Manual, spring-brake trailer system: what the three losses must do."""

    @pytest.mark.parametrize(
        ("scenario", "on_supply_loss", "applied"),
        [
            ("lost", "apply", True),
            ("lost", "apply_if_rapid", True),
            ("lost", "hold", False),
            ("drained_slowly", "apply", True),
            ("drained_slowly", "apply_if_rapid", False),
            ("drained_slowly", "hold", False),
            ("reservoir_lost", "apply", False),
            ("reservoir_lost", "apply_if_rapid", False),
            ("reservoir_lost", "hold", False),
        ],
    )
    def test_what_a_loss_does_to_the_springs(self, scenario, on_supply_loss, applied):
        force = of_the_springs(scenario, on_supply_loss)["left.pushrod_force"]
        assert force(0.4) == 0.0
        assert (force.values[-1] > 4e3) == applied
        assert applied or max(force.values) == 0.0

    def test_reservoir_first_a_lost_reservoir_drains_the_supply_line(self):
        assert of_the_springs("reservoir_lost", order="reservoir_first")["left.pushrod_force"].values[-1] > 4e3

    def test_what_is_fed_first(self):
        half = Moment({"1": 500 * KPA, "21": 500 * KPA, "24": 0.0})
        first = {order: lowered(TrailerSpringBrakeValve(order=order)) for order in ("springs_first", "reservoir_first")}
        assert first["springs_first"].channel_at("opening", half) == 1.0
        assert first["reservoir_first"].channel_at("opening", half) == 0.0
        empty = Moment({"1": 500 * KPA, "21": 0.0})
        assert first["springs_first"].channel_at("reservoir_opening", empty) == 0.0
        assert first["reservoir_first"].channel_at("reservoir_opening", empty) == 1.0


class TestGraduatedParkControl:
    control = lowered(GraduatedParkControl(free_travel=0.1, graded_pressure=600 * KPA, graded_travel=0.8))

    def target(self, lever: float, port: str = "21", of: str = "") -> float:
        shut = []
        for p in range(0, 900):
            moment = Moment({port: p * KPA}, {"lever": lever})
            if all(self.control.channel_at(f"{of}{name}", moment) == 0.0 for name in ("opening", "exhaust_opening")):
                shut.append(p)
        return 0.5 * (shut[0] + shut[-1])

    @pytest.mark.parametrize(("lever", "delivered"), [(0.1, 600), (0.45, 300), (0.7, 600 / 7)])
    def test_grades_springs_and_trailer_alike(self, lever, delivered):
        assert self.target(lever) == pytest.approx(delivered, abs=1)
        assert self.target(lever, "22", "trailer_") == pytest.approx(delivered, abs=1)

    def test_parked_both_are_vented_and_the_test_feeds_the_trailer_alone(self):
        parked, test = (Moment({"21": 0.0, "22": 0.0}, {"lever": lever}) for lever in (0.9, 1.0))
        assert self.control.channel_at("exhaust_opening", parked) == 1.0
        assert self.control.channel_at("trailer_exhaust_opening", parked) == 1.0
        assert self.control.channel_at("exhaust_opening", test) == 1.0
        assert self.control.channel_at("trailer_opening", test) == 1.0

    def test_a_stuck_lever_stays(self):
        moment = Moment({"21": 0.0}, {"lever": 0.0}, {"stuck": 1.0}, held=0.9)
        assert self.control.channel_at("opening", moment) == 0.0


class TestParkReleaseControl:
    control = lowered(ParkReleaseControl())

    @pytest.mark.parametrize("shunt", [0.0, 1.0])
    def test_shunting_the_reservoir_stands_in_for_the_supply_line(self, shunt):
        moment = Moment(modes={"shunt": shunt})
        assert self.control.channel_at("shunt_opening", moment) == shunt
        assert self.control.channel_at("opening", moment) == 1.0 - shunt
        assert self.control.channel_at("spring_opening", moment) == 1.0

    def test_parked_the_springs_are_vented(self):
        moment = Moment(modes={"park": 0.0})
        assert self.control.channel_at("spring_opening", moment) == 0.0
        assert self.control.channel_at("exhaust_opening", moment) == 1.0

    def test_the_springs_may_be_fed_by_a_valve_of_their_own(self):
        feeds = {optional: lowered(ParkReleaseControl(), optional).restrictions for optional in (True, False)}
        assert {a for a, b, *_ in feeds[True] if b == "22"} == {"13", "3"}
        assert {a for a, b, *_ in feeds[False] if b == "22"} == {"12", "3"}


INTERLOCKED = """\
pneusim: 1
title: Two controls of the dash, one popping out with the other
components:
  tank:    {{type: reservoir, volume: 60 L, pressure: 8 bar}}
  park:    {{type: park_control}}
  other:   {{type: park_control}}
  supply:  {{type: trailer_supply_control{interlock}}}
  trailer: {{type: test_volume, volume: 2 L}}
  left:    {{type: spring_brake_actuator, size: 30/30}}
  right:   {{like: left}}
  open_air: {{type: atmosphere}}
lines:
  supply_line: {{from: supply.2, to: trailer.1, bore: 9.5 mm, length: 6 m}}
  spring_l:    {{from: park.21, to: left.12, bore: 8 mm, length: 3 m}}
  spring_r:    {{from: other.21, to: right.12, bore: 8 mm, length: 3 m}}
joints:
  - [tank.21, supply.1, park.1, other.1]
  - [left.11, right.11, open_air.1]
scenarios:
  pull_park:
    lasts: 12 s
    begin: {{park.lever: released, other.lever: released, supply.knob: in}}
    steps:
      - {{at: 1 s, set: other.lever, to: applied}}
      - {{at: 2 s, set: park.lever, to: applied}}
      - {{at: 4 s, set: supply.knob, to: in}}
      - {{at: 6 s, set: park.lever, to: released}}
      - {{at: 8 s, set: supply.knob, to: out}}
      - {{at: 10 s, set: park.lever, to: applied}}
"""


@pytest.mark.parametrize(("interlock", "after_park"), [("", 1.0), (", interlocked_with: park", 0.0)])
def test_interlocked_the_trailer_supply_goes_out_with_its_park_control(interlock, after_park):
    result = run(load_text(INTERLOCKED.format(interlock=interlock)), "pull_park")
    knob, position = result["supply.knob"], result["supply.position"]
    assert knob(1.5) == 1.0  # the other park control does not count
    assert knob(3.0) == after_park
    assert position(3.0) == pytest.approx(after_park, abs=1e-3)
    assert knob(5.0) == knob(7.0) == 1.0  # pushed in again while parked: allowed; releasing the park leaves it
    assert knob(9.0) == knob(11.0) == 0.0
    told = [event.kind for event in result.events if event.component == "supply" and event.kind == "interlocked"]
    assert len(told) == (interlock != "")
