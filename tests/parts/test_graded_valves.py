"""Valves that follow a target, evaluated at rest.  Figures of our own defaults are regression values."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pydantic import ValidationError

from pneusim.parts.bobtail_valve import BobtailValve
from pneusim.parts.brake_modulator import APPLY, HOLD, RELEASE, BrakeModulator
from pneusim.parts.front_ratio_valve import FrontRatioValve
from pneusim.parts.limiting_valve import LimitingValve
from pneusim.parts.load_sensing_valve import LoadSensingValve
from pneusim.parts.ratio_relay_valve import RatioRelayValve
from pneusim.parts.relay_valve import RelayValve
from pneusim.parts.two_port_relay_valve import TwoPortRelayValve
from tests.parts.recorder import Moment, Recorder, lowered

KPA = 1e3
EMPTY = {"load": 0.0}
FOLLOWING = (
    RelayValve,
    RatioRelayValve,
    TwoPortRelayValve,
    BobtailValve,
    LoadSensingValve,
    FrontRatioValve,
    LimitingValve,
)


def balance(valve: Recorder, moment: Moment) -> tuple[float, float]:
    """Lowest and highest delivered pressure [kPa] at which inlet and exhaust are shut, to 0.1 kPa."""
    shut = []
    for p in range(0, 9000):
        at = replace(moment, pressures={**moment.pressures, "2": p * 100.0})
        if valve.channel_at("opening", at) == 0.0 and valve.channel_at("exhaust_opening", at) == 0.0:
            shut.append(p / 10)
    return shut[0], shut[-1]


@pytest.mark.parametrize(("control", "up"), [(100, 27), (200, 67), (400, 147), (600, 227)])
@pytest.mark.parametrize(
    ("part", "port", "inputs"),
    [
        (RatioRelayValve(ratio=0.4), "4", {}),
        (TwoPortRelayValve(ratio=0.4), "control", {}),
        (BobtailValve(ratio_alone=0.4), "41", {}),
        (LoadSensingValve(ratio_empty=0.4), "4", EMPTY),
    ],
    ids=lambda value: getattr(value, "type", None),
)
def test_a_ratio_of_0_4_gives_the_static_curve_of_a_relay(part, port, inputs, control, up):
    """Regression: 0.4 (control - crack 20 kPa) -+ half a band 5 kPa."""
    low, high = balance(lowered(part), Moment({port: control * KPA}, inputs=inputs))
    assert low == pytest.approx(up, abs=0.11)
    assert high == pytest.approx(up + 10, abs=0.11)


@pytest.mark.parametrize("part", [p for p in FOLLOWING if p is not LimitingValve])
def test_at_rest_it_stands_open_to_exhaust_even_under_suction(part):
    moment = Moment({"2": -10 * KPA})
    assert lowered(part()).channel_at("exhaust_opening", moment) == 1.0
    assert lowered(part()).channel_at("opening", moment) == 0.0


@pytest.mark.parametrize("part", FOLLOWING)
@pytest.mark.parametrize(("fault", "opening"), [("stuck_open", 1.0), ("stuck_shut", 0.0)])
@pytest.mark.parametrize("delivered", [0.0, 900 * KPA])
def test_a_stuck_piston_neither_follows_nor_vents(part, fault, opening, delivered):
    pressures = {"1": 800 * KPA, "4": 300 * KPA, "41": 300 * KPA, "control": 300 * KPA, "2": delivered}
    moment, valve = Moment(pressures, faults={fault: 1.0}), lowered(part())
    assert valve.channel_at("opening", moment) == opening
    assert valve.channel_at("exhaust_opening", moment) == 0.0


def test_a_limiting_valve_passes_what_is_below_its_setting_and_relieves_what_is_above():
    valve = lowered(LimitingValve(set_pressure=500 * KPA))
    assert balance(valve, Moment({"1": 800 * KPA})) == pytest.approx((495, 505), abs=0.11)
    assert valve.channel_at("opening", Moment({"1": 300 * KPA, "2": 300 * KPA})) == 1.0
    assert valve.channel_at("exhaust_opening", Moment({"1": 800 * KPA, "2": 540 * KPA})) == 1.0


def test_a_limiting_valve_that_relieves_nothing_has_no_way_out():
    valve = lowered(LimitingValve(relieving=False))
    assert valve.channel_at("exhaust_opening", Moment({"2": 800 * KPA})) == 0.0
    assert [(a, b) for a, b, *_ in valve.restrictions] == [("1", "2")]


@pytest.mark.parametrize(("supply", "target"), [(100, 50), (200, 100), (276, 138), (345, 293.5)])
def test_a_front_ratio_valve_delivers_its_share_and_then_more(supply, target):
    """At 345 kPa, half way from 276 to 414 kPa: half way from 138 to 414 + half band 5 + width 30 kPa."""
    low, high = balance(lowered(FrontRatioValve()), Moment({"1": supply * KPA}))
    assert (low, high) == pytest.approx((target - 5, target + 5), abs=0.11)


@pytest.mark.parametrize("supply", [414, 586, 800, 1200])
def test_a_front_ratio_valve_stands_open_in_hard_braking(supply):
    """49 CFR 393.48(b)(2), from memory, to be read against the official text: no reduction above 85 psi (586 kPa)."""
    valve = lowered(FrontRatioValve())
    moment = Moment({"1": supply * KPA, "2": supply * KPA})
    assert valve.channel_at("opening", moment) == 1.0
    assert valve.channel_at("exhaust_opening", moment) == 0.0


def test_a_front_ratio_valve_takes_at_most_half_away():
    """US Army TM 5-3820-256-24-4, air brakes, general information: an automatic device may reduce by up to 50 %."""
    targets = [(supply, target / supply) for supply, target in FrontRatioValve().points() if supply > 0.0]
    assert min(share for _, share in targets) == pytest.approx(0.5)


def test_a_front_ratio_valve_that_is_full_before_it_reduces_is_refused():
    with pytest.raises(ValidationError, match="reduced_to must be less than full_from"):
        FrontRatioValve(reduced_to=420 * KPA)


def test_the_built_in_double_check_valve_feeds_the_control_chamber_and_can_stick():
    relay = lowered(TwoPortRelayValve())
    higher = {"41": 300 * KPA, "42": 500 * KPA}
    assert (relay.channel_at("opening_41", Moment(higher)), relay.channel_at("opening_42", Moment(higher))) == (0, 1)
    for stuck, openings in (("stuck_at_41", (0, 1)), ("stuck_at_42", (1, 0))):
        moment = Moment(higher, faults={stuck: 1.0})
        assert (relay.channel_at("opening_41", moment), relay.channel_at("opening_42", moment)) == openings
    ends = [(a, b) for a, b, *_ in relay.restrictions]
    assert ("41", "control") in ends
    assert ("42", "control") in ends
    assert ("41", "42") not in ends


@pytest.mark.parametrize(("signal", "ratio"), [(0, 0.5), (207, 0.5), (276, 0.75), (345, 1.0), (800, 1.0)])
def test_a_bobtail_valve_changes_its_ratio_smoothly(signal, ratio):
    valve = lowered(BobtailValve())
    assert valve.channel_at("ratio", Moment({"42": signal * KPA})) == pytest.approx(ratio)
    low, _ = balance(valve, Moment({"42": signal * KPA, "41": 420 * KPA}))
    assert low == pytest.approx(ratio * 400 - 5, abs=0.11)


def test_a_bobtail_valve_tells_what_it_does_once_and_keeps_its_ratio_when_stuck():
    valve = lowered(BobtailValve())
    full, reduced = valve.event_named("full"), valve.event_named("reduced")
    assert full.level > reduced.level
    assert full.sets == reduced.armed
    stuck = Moment({"42": 0.0}, faults={"changeover_stuck": 1.0}, held=1.0)
    assert valve.channel_at("ratio", stuck) == 1.0


def test_a_bobtail_valve_that_brakes_more_without_a_trailer_is_refused():
    with pytest.raises(ValidationError, match="ratio_alone must not be more than ratio"):
        BobtailValve(ratio=0.4)


@pytest.mark.parametrize(("load", "ratio"), [(0.0, 0.4), (0.5, 0.7), (1.0, 1.0), (None, 1.0)])
def test_a_load_sensing_valve_stands_at_its_load_and_at_laden_without_one(load, ratio):
    inputs = {} if load is None else {"load": load}
    assert lowered(LoadSensingValve()).channel_at("ratio", Moment(inputs=inputs)) == pytest.approx(ratio)


def test_a_load_sensing_valve_with_a_broken_or_stuck_linkage():
    valve = lowered(LoadSensingValve(broken_load=0.25))
    assert valve.channel_at("ratio", Moment(inputs=EMPTY, faults={"linkage_broken": 1.0})) == pytest.approx(0.55)
    stuck = Moment(inputs=EMPTY, faults={"linkage_stuck": 1.0}, held=0.5)
    assert valve.channel_at("ratio", stuck) == pytest.approx(0.7)


def test_a_load_sensing_valve_without_a_control_line_takes_its_supply_as_control():
    valve = lowered(LoadSensingValve(), optional=False)
    low, high = balance(valve, Moment({"1": 420 * KPA, "4": 900 * KPA}, inputs=EMPTY))
    assert (low, high) == pytest.approx((155, 165), abs=0.11)
    assert [name for name, *_ in valve.airs] == ["2"]


@pytest.mark.parametrize("lag", [0.0, 5e-3])
@pytest.mark.parametrize(
    ("command", "seats"), [(APPLY, (1.0, 0.0)), (HOLD, (0.0, 0.0)), (RELEASE, (0.0, 1.0))]
)
def test_a_modulator_does_what_it_is_told(command, seats, lag):
    valve = lowered(BrakeModulator(lag=lag))
    moment = Moment(modes={"command": command})
    assert (valve.channel_at("opening", moment), valve.channel_at("exhaust_opening", moment)) == seats


@pytest.mark.parametrize("command", [APPLY, HOLD, RELEASE])
@pytest.mark.parametrize(
    ("fault", "seats"),
    [("stuck_apply", (1.0, 0.0)), ("stuck_hold", (0.0, 0.0)), ("stuck_release", (0.0, 1.0))],
)
def test_a_stuck_modulator_does_not(command, fault, seats):
    valve = lowered(BrakeModulator())
    moment = Moment(modes={"command": command}, faults={fault: 1.0})
    assert (valve.channel_at("opening", moment), valve.channel_at("exhaust_opening", moment)) == seats
    assert valve.channel_at("command", moment) == command


def test_a_modulator_between_two_commands_never_opens_both_seats():
    valve = lowered(BrakeModulator())
    for k in range(-10, 11):
        moment = Moment(modes={"command": k / 10})
        assert valve.channel_at("opening", moment) * valve.channel_at("exhaust_opening", moment) == 0.0
