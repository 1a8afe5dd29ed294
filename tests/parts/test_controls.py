"""What controls, switches and governors ask of the builder: targets, modes and events."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from pneusim.parts.air_dryer import AirDryer
from pneusim.parts.compressor import Compressor
from pneusim.parts.foot_valve import FootValve
from pneusim.parts.governor import Governor
from pneusim.parts.hand_valve import HandValve
from pneusim.parts.park_control import ParkControl
from pneusim.parts.pressure_switch import PressureSwitch
from pneusim.parts.supply import Supply
from pneusim.parts.tractor_protection_valve import TractorProtectionValve
from pneusim.parts.trailer_supply_control import TrailerSupplyControl
from tests.parts.recorder import Event, Moment, Recorder, lowered

KPA = 1e3


def due(recorder: Recorder, event: Event, moment: Moment) -> bool:
    """Whether an event fires at once: its modes are as armed and its level already holds."""
    armed = all(recorder.at(mode, moment) == value for mode, value in event.armed.items())
    return armed and event.direction * (recorder.at(event.signal, moment) - event.level) >= 0.0


def fired(recorder: Recorder, moment: Moment) -> tuple[list[str], Moment]:
    """Names of the events that fire, in order, and the moment with the modes they leave."""
    names: list[str] = []
    by_signal = {signal: name for (_, name), signal in recorder.modes.items()}
    while True:
        event = next((e for e in recorder.events if due(recorder, e, moment)), None)
        if event is None:
            return names, moment
        assert len(names) < 10, f"chatters: {names}"
        names.append(event.name)
        modes = {**moment.modes, **{by_signal[mode]: value for mode, value in event.sets.items()}}
        moment = Moment(moment.pressures, moment.inputs, moment.faults, modes, moment.held)


def with_(moment: Moment, **pressures: float) -> Moment:
    ports = {name.removeprefix("p"): value for name, value in pressures.items()}
    return Moment({**moment.pressures, **ports}, moment.inputs, moment.faults, moment.modes, moment.held)


@pytest.mark.parametrize(
    ("travel", "target"), [(0.06, 0.0), (0.09, 25.0), (0.25, 150.26), (0.5, 345.99), (0.85, 620.0)]
)
def test_the_primary_of_a_foot_valve_follows_its_table(travel, target):
    foot = lowered(FootValve())
    shut = [p * KPA / 10 for p in range(-500, 10_000) if _laps(foot, p * KPA / 10, travel)]
    assert shut[0] == pytest.approx((target - 4) * KPA, abs=0.11 * KPA)
    assert shut[-1] == pytest.approx((target + 4) * KPA, abs=0.11 * KPA)


def _laps(foot: Recorder, pressure: float, travel: float) -> bool:
    moment = Moment({"21": pressure}, {"travel": travel})
    return foot.channel_at("opening", moment) == foot.channel_at("exhaust_opening", moment) == 0.0


def test_a_full_stroke_asks_for_more_than_any_reservoir_holds():
    assert lowered(FootValve()).channel_at("opening", Moment({"21": 1200 * KPA}, {"travel": 1.0})) == 1.0


def test_the_secondary_follows_the_primary_or_else_the_treadle():
    foot = lowered(FootValve())
    pressed = {"travel": 0.5}
    piston = Moment({"21": 346 * KPA, "22": 331 * KPA}, pressed)
    assert foot.channel_at("secondary_opening", piston) > 0.0
    assert foot.channel_at("secondary_opening", with_(piston, p22=333 * KPA)) == 0.0
    treadle = Moment({"21": 0.0, "22": 310 * KPA}, pressed)  # table(0.46) = 314.7 kPa, less half a band
    assert foot.channel_at("secondary_opening", treadle) > 0.0
    assert foot.channel_at("secondary_opening", with_(treadle, p22=311 * KPA)) == 0.0


def test_a_demand_asks_for_the_pressure_it_names():
    foot = lowered(FootValve())
    for demand in (10.0, 25.0, 200.0, 620.0):
        below = Moment({"21": (demand - 4.5) * KPA}, {"demand": demand * KPA})
        assert foot.channel_at("opening", below) > 0.0
        above = Moment({"21": (demand + 4.5) * KPA}, {"demand": demand * KPA})
        assert foot.channel_at("exhaust_opening", above) > 0.0
    assert foot.channel_at("exhaust_opening", Moment({"21": 0.0})) == 1.0


def test_a_stuck_hand_valve_keeps_its_travel():
    hand = lowered(HandValve())
    moment = Moment({"2": 0.0}, {"travel": 0.0}, {"stuck": 1.0}, held=0.5)
    assert hand.channel_at("travel", moment) == 0.5
    assert hand.channel_at("opening", moment) == 1.0


def test_a_table_that_does_not_rise_is_refused():
    with pytest.raises(ValidationError, match="must rise"):
        FootValve(jump_travel=0.05)
    with pytest.raises(ValidationError, match="must rise"):
        HandValve(graded_pressure=1400 * KPA)


def test_a_supply_starts_at_its_parameter():
    assert lowered(Supply(pressure=650 * KPA)).initial == {"pressure": 650 * KPA}


class TestTrailerSupplyControl:
    """Trips on its own delivery, but only once that has been there."""

    control = lowered(TrailerSupplyControl(trip=207 * KPA, holds_above_trip=20 * KPA))

    def test_comes_out_of_settling_armed(self):
        names, after = fired(self.control, Moment({"1": 800 * KPA, "2": 800 * KPA}, modes={"knob": 1.0}))
        assert names == ["charged"]
        assert after.modes == {"knob": 1.0, "armed": 1.0}

    def test_does_not_trip_while_the_line_is_still_filling(self):
        names, after = fired(self.control, Moment({"1": 800 * KPA, "2": 50 * KPA}, modes={"knob": 1.0}))
        assert names == []
        names, after = fired(self.control, with_(after, p2=228 * KPA))
        assert names == ["charged"]

    def test_trips_when_the_line_is_lost_and_may_be_pushed_in_again(self):
        lost = Moment({"1": 800 * KPA, "2": 206 * KPA}, modes={"knob": 1.0, "armed": 1.0})
        names, after = fired(self.control, lost)
        assert names == ["tripped"]
        assert after.modes == {"knob": 0.0, "armed": 0.0}
        again = Moment(after.pressures, modes={**after.modes, "knob": 1.0})
        assert fired(self.control, again)[0] == []

    def test_does_not_stay_in_without_supply(self):
        names, after = fired(self.control, Moment({"1": 150 * KPA, "2": 0.0}, modes={"knob": 1.0}))
        assert names == ["refused"]
        assert after.modes["knob"] == 0.0

    def test_pulled_and_pushed_at_once_it_is_still_armed(self):
        pulled = Moment({"1": 800 * KPA, "2": 500 * KPA}, modes={"knob": 0.0, "armed": 1.0})
        assert fired(self.control, pulled)[0] == []
        names, after = fired(self.control, with_(pulled, p2=100 * KPA))
        assert names == ["vented"]
        assert after.modes["armed"] == 0.0

    def test_feeds_in_and_vents_out(self):
        for knob in (0.0, 1.0):
            moment = Moment(modes={"knob": knob})
            assert self.control.channel_at("opening", moment) == knob
            assert self.control.channel_at("exhaust_opening", moment) == 1.0 - knob

    def test_stuck_neither_moves_nor_tells(self):
        lost = Moment(
            {"1": 0.0, "2": 0.0}, faults={"stuck": 1.0}, modes={"knob": 1.0, "armed": 1.0}, held=1.0
        )
        assert fired(self.control, lost)[0] == []
        assert self.control.channel_at("opening", lost) == 1.0


@pytest.mark.parametrize(("senses", "port"), [("supply", "1"), ("delivery", "2")])
def test_a_park_control_trips_on_the_side_it_senses(senses, port):
    park = lowered(ParkControl(senses=senses, trip=207 * KPA))
    names, after = fired(park, Moment({"1": 800 * KPA, "2": 800 * KPA}, modes={"lever": 1.0}))
    assert names == ["charged"]
    other = "2" if port == "1" else "1"
    assert fired(park, with_(after, **{f"p{other}": 0.0}))[0] == []
    names, after = fired(park, with_(after, **{f"p{port}": 206 * KPA}))
    assert names == ["tripped"]
    assert after.modes["lever"] == 0.0


def test_a_park_control_does_not_stay_released_without_supply():
    park = lowered(ParkControl())
    names, after = fired(park, Moment({"1": 100 * KPA, "2": 0.0}, modes={"lever": 1.0}))
    assert names == ["refused"]
    assert after.modes["lever"] == 0.0


def test_controls_start_parked_and_uncoupled():
    assert lowered(ParkControl()).channel_at("lever") == 0.0
    assert lowered(TrailerSupplyControl()).channel_at("knob") == 0.0


def test_a_tractor_protection_valve_remembers_which_way_it_went():
    valve = lowered(TractorProtectionValve())
    between = {"11": 250 * KPA}
    assert valve.channel_at("opening", Moment(between, held=1.0)) == 1.0
    assert valve.channel_at("opening", Moment(between, held=0.0)) == 0.0
    assert valve.channel_at("opening", Moment({"11": 207 * KPA}, held=1.0)) == 0.0
    assert valve.channel_at("opening", Moment({"11": 316 * KPA}, held=0.0)) == 1.0
    assert valve.channel_at("opening", Moment({"11": 0.0}, faults={"stuck_open": 1.0})) == 1.0
    assert valve.channel_at("opening", Moment({"11": 800 * KPA}, faults={"stuck_shut": 1.0}, held=1.0)) == 0.0


def test_a_switch_closes_low_opens_higher_and_not_when_dead():
    switch = lowered(PressureSwitch(closes_below=414 * KPA, hysteresis=34 * KPA))
    names, low = fired(switch, Moment({"1": 413 * KPA}))
    assert names == ["closed"]
    assert fired(switch, with_(low, p1=440 * KPA))[0] == []
    assert fired(switch, with_(low, p1=449 * KPA))[0] == ["opened"]
    assert fired(switch, Moment({"1": 0.0}, faults={"dead": 1.0}))[0] == []
    assert switch.channel_at("closed", Moment(low.pressures, modes=low.modes)) == 1.0
    assert switch.channel_at("closed", Moment(low.pressures, faults={"dead": 1.0}, modes=low.modes)) == 0.0


def test_a_governor_cuts_out_and_in_and_sticks():
    governor = lowered(Governor(cut_out=862 * KPA, cut_in=724 * KPA))
    names, full = fired(governor, Moment({"1": 862 * KPA}))
    assert names == ["cut_out"]
    assert governor.channel_at("mode", full) == 0.0
    assert fired(governor, with_(full, p1=730 * KPA))[0] == []
    names, low = fired(governor, with_(full, p1=723 * KPA))
    assert names == ["cut_in"]
    assert governor.channel_at("mode", low) == 1.0
    names, _ = fired(governor, Moment({"1": 1000 * KPA}, faults={"stuck_loaded": 1.0}, modes={"loaded": 0.0}))
    assert names == ["held_loaded"]
    names, _ = fired(governor, Moment({"1": 100 * KPA}, faults={"stuck_unloaded": 1.0}))
    assert names == ["held_unloaded"]


def test_a_governor_whose_settings_cross_is_refused():
    with pytest.raises(ValidationError, match="cut_in must be less than cut_out"):
        Governor(cut_in=900 * KPA)


def test_governor_and_dryer_move_the_compressor_s_own_mode():
    for part in (Governor(), AirDryer()):
        assert ("the_compressor", "loaded") in lowered(part).modes
    named = lowered(Governor(compressor="second"))
    assert ("second", "loaded") in named.modes


def test_a_dryer_purges_while_unloaded_or_stuck():
    dryer = lowered(AirDryer())
    assert dryer.channel_at("purge_opening") == 0.0
    assert dryer.channel_at("purge_opening", Moment(modes={"loaded": 0.0})) == 1.0
    assert dryer.channel_at("purge_opening", Moment(faults={"purge_stuck_open": 1.0})) == 1.0


def test_a_compressor_delivers_while_loaded_running_and_alive():
    compressor = lowered(Compressor())
    assert compressor.channel_at("delivery", Moment(inputs={"speed": 20.0})) == 20.0
    assert compressor.channel_at("delivery", Moment(inputs={"speed": 20.0, "running": 0.0})) == 0.0
    assert compressor.channel_at("delivery", Moment(inputs={"speed": 20.0}, modes={"loaded": 0.0})) == 0.0
    assert compressor.channel_at("delivery", Moment(inputs={"speed": 20.0}, faults={"dead": 1.0})) == 0.0
