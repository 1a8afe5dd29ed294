"""The laws of the parts between a towing vehicle and its trailer, at rest."""

from __future__ import annotations

import pytest

from pneusim.parts.relay_emergency_valve import RelayEmergencyValve
from pneusim.parts.trailer_control_valve import TrailerControlValve
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
