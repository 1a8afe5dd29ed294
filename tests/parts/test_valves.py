"""What valves ask of the builder, evaluated at rest.  Figures of our own defaults are regression values."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from pneusim.parts.check_valve import CheckValve
from pneusim.parts.coupling_head import CouplingHead
from pneusim.parts.double_check_valve import DoubleCheckValve
from pneusim.parts.protection_valve import ProtectionValve
from pneusim.parts.quick_release_valve import QuickReleaseValve
from pneusim.parts.relay_valve import RelayValve
from pneusim.parts.reservoir import Reservoir
from pneusim.parts.restriction import Restriction
from pneusim.parts.safety_valve import SafetyValve
from pneusim.parts.stop_valve import StopValve
from pneusim.parts.test_volume import TestVolume
from pneusim.parts.trailer_spring_brake_valve import TrailerSpringBrakeValve
from tests.parts.recorder import Moment, Recorder, lowered

KPA = 1e3


def held(
    recorder: Recorder, port: str, other: dict[str, float], inlet: str, exhaust: str
) -> tuple[float, float]:
    """Lowest and highest pressure of a port at which neither inlet nor exhaust opens, to 0.1 kPa."""
    shut = [
        p / 10
        for p in range(-500, 10_000)
        if recorder.channel_at(inlet, Moment({**other, port: p * 100.0})) == 0.0
        and recorder.channel_at(exhaust, Moment({**other, port: p * 100.0})) == 0.0
    ]
    return shut[0], shut[-1]


@pytest.mark.parametrize(("control", "up"), [(100, 27), (200, 67), (400, 147), (600, 227)])
def test_a_relay_of_ratio_0_4_follows_its_control_within_its_band(control, up):
    relay = lowered(RelayValve(ratio=0.4))
    low, high = held(relay, "2", {"4": control * KPA}, "opening", "exhaust_opening")
    assert low == pytest.approx(up, abs=0.11)
    assert high == pytest.approx(up + 10, abs=0.11)


def test_a_relay_at_rest_stands_open_to_exhaust_even_under_suction():
    relay = lowered(RelayValve())
    assert relay.channel_at("exhaust_opening", Moment({"2": -20 * KPA, "4": 0.0})) == 1.0
    assert relay.channel_at("opening", Moment({"2": -20 * KPA, "4": 0.0})) == 0.0


@pytest.mark.parametrize(
    ("fault", "opening", "exhaust"), [("stuck_open", 1.0, 0.0), ("stuck_shut", 0.0, 0.0), ("torn", 1.0, 0.0)]
)
def test_a_relay_that_fails_while_applying(fault, opening, exhaust):
    relay = lowered(RelayValve())
    moment = Moment({"1": 800 * KPA, "4": 400 * KPA, "2": 0.0}, faults={fault: 1.0})
    assert relay.channel_at("opening", moment) == opening
    assert relay.channel_at("exhaust_opening", moment) == exhaust
    (tear,) = [signal for a, b, _, signal in relay.restrictions if (a, b) == ("4", "2")]
    assert relay.at(tear, moment) == float(fault == "torn")


def test_a_check_valve_opens_one_way_and_fails_as_declared():
    check = lowered(CheckValve())
    forward, backward = Moment({"1": 100 * KPA}), Moment({"2": 100 * KPA})
    assert check.channel_at("opening", forward) == 1.0
    assert check.channel_at("opening", backward) == 0.0
    assert check.channel_at("opening", Moment({"1": 3 * KPA})) == 0.0
    assert check.channel_at("opening", Moment({"1": 6.5 * KPA})) == pytest.approx(0.5)
    assert check.channel_at("opening", Moment(backward.pressures, faults={"stuck_open": 1.0})) == 1.0
    assert check.channel_at("opening", Moment(forward.pressures, faults={"stuck_shut": 1.0})) == 0.0
    assert check.channel_at("opening", Moment(backward.pressures, faults={"leaking_seat": 0.01})) == 0.01


def test_a_stuck_double_check_valve_keeps_its_side():
    shuttle = lowered(DoubleCheckValve())
    moment = Moment({"11": 800 * KPA, "12": 200 * KPA}, faults={"stuck_at_11": 1.0})
    assert (shuttle.channel_at("opening_11", moment), shuttle.channel_at("opening_12", moment)) == (0.0, 1.0)
    moment = Moment({"11": 200 * KPA, "12": 800 * KPA}, faults={"stuck_at_12": 1.0})
    assert (shuttle.channel_at("opening_11", moment), shuttle.channel_at("opening_12", moment)) == (1.0, 0.0)


def test_a_quick_release_valve_feeds_or_vents_never_both():
    valve = lowered(QuickReleaseValve())
    for supply in range(0, 800, 20):
        moment = Moment({"1": supply * KPA, "2": 400 * KPA})
        assert valve.channel_at("opening", moment) * valve.channel_at("exhaust_opening", moment) == 0.0
    assert valve.channel_at("exhaust_opening", Moment({"2": 12 * KPA})) == 1.0
    assert valve.channel_at("exhaust_opening", Moment({"2": 5 * KPA})) == 0.0
    assert valve.channel_at("opening", Moment({"1": 9 * KPA})) == 1.0
    assert valve.channel_at("opening", Moment({"1": 800 * KPA}, faults={"stuck": 1.0}, held=0.25)) == 0.25


@pytest.mark.parametrize("back_flow", [False, True])
def test_a_protection_valve_opens_at_its_setting_on_an_empty_circuit_and_keeps_what_it_filled(back_flow):
    valve = lowered(ProtectionValve(opens=552 * KPA, closes=520 * KPA, back_flow=back_flow))
    assert valve.channel_at("opening", Moment({"1": 551.9 * KPA})) == 0.0
    assert 0.0 < valve.channel_at("opening", Moment({"1": 557 * KPA})) < 0.2
    assert valve.channel_at("opening", Moment({"1": 0.0, "2": 800 * KPA})) == 0.0
    both = Moment({"1": 530 * KPA, "2": 540 * KPA})
    assert (valve.channel_at("opening", both) > 0.0) is back_flow


def test_a_protection_valve_that_shuts_where_it_opens_is_refused():
    with pytest.raises(ValidationError, match="closes must be less than opens"):
        ProtectionValve(opens=500 * KPA, closes=500 * KPA)


def test_a_safety_valve_lifts_and_tells_it_once():
    valve = lowered(SafetyValve())
    assert valve.channel_at("opening", Moment({"1": 1034 * KPA})) == 0.0
    assert valve.channel_at("opening", Moment({"1": 1084 * KPA})) == 1.0
    lifted, reseated = valve.event_named("lifted"), valve.event_named("reseated")
    assert lifted.level > reseated.level
    assert lifted.sets == reseated.armed


def test_a_stop_valve_is_open_unless_shut_and_freezes_when_stuck():
    valve = lowered(StopValve())
    assert valve.channel_at("opening") == 1.0
    assert valve.channel_at("opening", Moment(inputs={"position": 0.0})) == 0.0
    assert (
        valve.channel_at("opening", Moment(inputs={"position": 0.0}, faults={"stuck": 1.0}, held=1.0)) == 1.0
    )


def test_a_restriction_takes_a_conductance_or_a_hole():
    assert Restriction(conductance=3e-8).sonic_conductance() == 3e-8
    # C = 0.68473 Cd A/(rho0 sqrt(R T0)), ISO 6358 with rho0 1.185 kg/m3, R 287.05 J/(kg K), T0 293.15 K
    by_hand = 0.68473 * 0.8 * 3.141592653589793 / 4 * 0.0043**2 / (1.185 * (287.05 * 293.15) ** 0.5)
    assert Restriction(hole=4.3e-3, cd=0.8).sonic_conductance() == pytest.approx(by_hand, rel=1e-12)
    for wrong in ({}, {"conductance": 1e-8, "hole": 1e-3}):
        with pytest.raises(ValidationError, match="either conductance or hole"):
            Restriction(**wrong)


def test_a_blocked_restriction_passes_nothing():
    throttle = lowered(Restriction(conductance=3e-8))
    ((_, _, _, opening),) = throttle.restrictions
    assert throttle.at(opening) == 1.0
    assert throttle.at(opening, Moment(faults={"blocked": 1.0})) == 0.0


def test_a_trailer_spring_brake_valve_keeps_the_reservoir_and_lets_the_springs_go():
    valve = lowered(TrailerSpringBrakeValve())
    lost = Moment({"1": 0.0, "24": 700 * KPA, "21": 780 * KPA})
    assert valve.channel_at("exhaust_opening", lost) == 1.0
    assert valve.channel_at("reservoir_opening", lost) == 0.0
    charging = Moment({"1": 400 * KPA, "24": 300 * KPA, "21": 0.0})
    assert valve.channel_at("opening", charging) == 1.0
    assert valve.channel_at("reservoir_opening", charging) == 0.0
    assert valve.channel_at("reservoir_opening", Moment({"1": 551 * KPA})) == 0.0
    assert 0.0 < valve.channel_at("reservoir_opening", Moment({"1": 557 * KPA})) < 0.2


def test_a_coupling_head_passes_what_its_cock_lets():
    head = lowered(CouplingHead(role="control"))
    assert head.channel_at("opening") == 1.0
    assert head.channel_at("opening", Moment(inputs={"cock": 0.3})) == 0.3
    assert head.channel_at("opening", Moment(faults={"cock_forgotten_shut": 1.0})) == 0.0
    ((port, hole),) = head.leaks
    assert port == "2"
    assert head.at(hole, Moment(faults={"leaking": 0.001})) == 0.001


def test_a_reservoir_is_stored_air_with_its_pressure_and_can_be_holed_and_drained():
    tank = lowered(Reservoir(volume=0.04, pressure=800 * KPA))
    ((_, volume, _, pressure, storage),) = tank.airs
    assert (volume, pressure, storage) == (0.04, 800 * KPA, True)
    assert tank.at(tank.leaks[0][1], Moment(faults={"lost": 0.02})) == 0.02
    assert tank.at(tank.restrictions[0][3], Moment(inputs={"drain": 1.0})) == 1.0


def test_a_test_volume_is_no_storage():
    ((_, volume, _, _, storage),) = lowered(TestVolume(volume=819e-6)).airs
    assert (volume, storage) == (819e-6, False)


def test_only_the_ports_in_use_cost_passages():
    assert len(lowered(TrailerSpringBrakeValve(), optional=False).restrictions) == 3
    assert len(lowered(TrailerSpringBrakeValve()).restrictions) == 3 + 2 + 3
