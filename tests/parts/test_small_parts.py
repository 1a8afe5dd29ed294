"""Small parts, leaking seats, and the sizes of chambers and tubes, at rest and in closed form."""

from __future__ import annotations

from typing import get_args

import pytest
from pydantic import ValidationError

from pneusim.parts._chamber import LONG
from pneusim.parts.brake_chamber import BrakeChamber, Size
from pneusim.parts.drain_cock import DrainCock
from pneusim.parts.foot_valve import FootValve
from pneusim.parts.gauge import Gauge
from pneusim.parts.hand_valve import HandValve
from pneusim.parts.line_filter import LineFilter
from pneusim.parts.pressure_switch import PressureSwitch
from pneusim.parts.quick_release_valve import QuickReleaseValve
from pneusim.parts.relay_valve import RelayValve
from pneusim.parts.silencer import Silencer
from pneusim.parts.spring_brake_actuator import Size as SpringSize
from pneusim.parts.spring_brake_actuator import SpringBrakeActuator
from pneusim.parts.stop_lamp_switch import StopLampSwitch
from pneusim.parts.test_connection import TestConnection
from pneusim.quantities import parse
from pneusim.reading import load_text
from tests.parts.recorder import Moment, lowered
from tests.parts.test_controls import fired, with_

KPA = 1e3


def test_a_drain_cock_is_shut_until_opened_or_forgotten():
    cock = lowered(DrainCock())
    assert cock.channel_at("opening") == 0.0
    assert cock.channel_at("opening", Moment(inputs={"position": 1.0})) == 1.0
    forgotten = Moment(inputs={"position": 0.0}, faults={"left_open": 1.0})
    assert cock.channel_at("opening", forgotten) == 1.0
    assert cock.channel_at("position", forgotten) == 0.0


@pytest.mark.parametrize("part", [LineFilter(), Silencer()])
def test_clogged_parts_keep_the_share_that_is_free(part):
    recorder = lowered(part)
    (passage,) = [opening for *_, opening in recorder.restrictions]
    for clogged, free in ((0.0, 1.0), (0.9, 0.1), (1.0, 0.0)):
        assert recorder.at(passage, Moment(faults={"clogged": clogged})) == pytest.approx(free)


def test_a_stuck_gauge_shows_what_it_showed():
    gauge = lowered(Gauge())
    assert gauge.channel_at("reading", Moment({"1": 5e5})) == 5e5
    assert gauge.channel_at("reading", Moment({"1": 5e5}, faults={"stuck": 1.0}, held=8e5)) == 8e5
    assert gauge.channel_at("pressure", Moment({"1": 5e5}, faults={"stuck": 1.0}, held=8e5)) == 5e5


def test_a_test_connection_adds_its_volume_and_leaks_only_at_fault():
    connection = lowered(TestConnection(volume=2e-6))
    assert connection.airs[0][:2] == ("1", 2e-6)
    for moment in (Moment(), Moment({"1": 8e5})):
        assert all(connection.at(hole, moment) == 0.0 for _, hole in connection.leaks)
    leaking = Moment(faults={"leaking": 0.5e-3})
    assert sorted(connection.at(hole, leaking) for _, hole in connection.leaks) == [0.0, 0.5e-3]


@pytest.mark.parametrize(("valve", "share"), [(1.0, 1.0), (0.5, 0.5)])
def test_a_test_connection_pressed_open_bleeds_through_its_bore(valve, share):
    connection = lowered(TestConnection(bore=3e-3))
    holes = [connection.at(hole, Moment(inputs={"valve": valve})) for _, hole in connection.leaks]
    assert max(holes) == pytest.approx(share * 3e-3)


def test_a_silencer_lets_air_out_of_its_exhaust_port():
    ((inlet, outlet, *_),) = lowered(Silencer()).restrictions
    assert (inlet, outlet) == ("1", "3")


def test_stop_lamps_light_as_the_pressure_rises_and_go_out_lower():
    switch = lowered(StopLampSwitch(closes_above=30 * KPA, opens_below=20 * KPA))
    assert fired(switch, Moment({"1": 29 * KPA}))[0] == []
    names, lit = fired(switch, Moment({"1": 31 * KPA}))
    assert names == ["lit"]
    assert fired(switch, with_(lit, p1=21 * KPA))[0] == []
    assert fired(switch, with_(lit, p1=19 * KPA))[0] == ["out"]
    assert fired(switch, Moment({"1": 500 * KPA}, faults={"dead": 1.0}))[0] == []
    with pytest.raises(ValidationError, match="opens_below must be less than closes_above"):
        StopLampSwitch(closes_above=20 * KPA, opens_below=20 * KPA)


def test_a_low_pressure_switch_warns_below_414_and_rests_above_448_kpa():
    """Warning below 60 psi: 49 CFR 571.121 S5.1.5, from memory, to be read against the official text."""
    switch = PressureSwitch()
    assert switch.closes_below == pytest.approx(parse("60 psi", "pressure"), rel=1e-3)
    recorder = lowered(switch)
    assert recorder.event_named("closed").direction == -1
    assert recorder.event_named("closed").level == pytest.approx(414 * KPA)
    assert recorder.event_named("opened").direction == +1
    assert recorder.event_named("opened").level == pytest.approx(448 * KPA)


@pytest.mark.parametrize(
    ("part", "opening"),
    [
        (RelayValve(), "opening"),
        (HandValve(), "opening"),
        (FootValve(), "opening"),
        (FootValve(), "secondary_opening"),
        (QuickReleaseValve(), "exhaust_opening"),
    ],
)
def test_a_leaking_seat_lets_a_share_through_when_shut(part, opening):
    recorder = lowered(part)
    at_rest = {port: 0.0 for port in ("1", "2", "4", "21", "22")}
    leaking = Moment(at_rest, faults={"leaking_seat": 0.02})
    assert recorder.channel_at(opening, Moment(at_rest)) == 0.0
    assert recorder.channel_at(opening, leaking) == 0.02


@pytest.mark.parametrize("size", get_args(Size))
@pytest.mark.parametrize("pressure", ["60 psi", "100 psi"])
def test_force_is_pressure_times_the_size(size, pressure):
    """Type 30 at 100 psi gives 3000 lbf: British Columbia, Driving Commercial Vehicles, p. 159; the others likewise."""
    force = BrakeChamber(size=size).figure("area") * parse(pressure, "pressure")
    pounds = int(size) * int(pressure.removesuffix(" psi"))
    assert force == pytest.approx(parse(f"{pounds} lbf", "force"), rel=2e-4)


# Full strokes [in] of both columns: 49 CFR 571.121 Table V, from memory, to be read against the official text.
STROKES = {
    **dict.fromkeys(("9", "12"), (1.75, 2.10)),
    **dict.fromkeys(("14", "16", "18", "20"), (2.25, 2.70)),
    **dict.fromkeys(("24", "30"), (2.50, 3.20)),
    "36": (3.00, 3.60),
}


@pytest.mark.parametrize(("size", "strokes"), STROKES.items())
def test_standard_and_long_stroke(size, strokes):
    for stroke_class, inches in zip(("standard", "long"), strokes, strict=True):
        chamber = BrakeChamber(size=size, stroke_class=stroke_class)
        assert chamber.figure("stroke") == pytest.approx(inches * 0.0254, abs=0.06e-3)
        assert chamber.figure("pre_fill") == BrakeChamber(size=size).figure("pre_fill")


def test_only_a_size_that_is_made_long_may_be_long():
    assert set(LONG) == set(STROKES)
    with pytest.raises(ValidationError, match="size 6 has no long stroke"):
        BrakeChamber(size="6", stroke_class="long")
    assert BrakeChamber(size="6", stroke_class="long", stroke=0.05).figure("stroke") == 0.05


@pytest.mark.parametrize("size", get_args(SpringSize))
def test_the_spring_of_a_long_actuator_travels_further_and_still_pushes(size):
    standard, long = SpringBrakeActuator(size=size), SpringBrakeActuator(size=size, stroke_class="long")
    assert standard.figure("spring_stroke") < long.figure("spring_stroke") <= 1.35 * standard.figure("spring_stroke")
    assert long.figure("spring_force") - long.figure("spring_rate") * long.figure("spring_stroke") > 0.0
    (figures,) = lowered(long).actuators
    assert figures["piston_travel"] == long.figure("spring_stroke")


# Inner diameters [mm] by designation: ISO 7628 and SAE J844, from memory, to be read against the official texts.
TUBES = {
    **{"4x1": 2, "6x1": 4, "8x1": 6, "9x1.5": 6, "10x1": 8, "10x1.25": 7.5, "10x1.5": 7, "11x1.5": 8},
    **{"12x1.5": 9, "15x1.5": 12, "16x2": 12, "18x2": 14},
    **{"1/8 in": 2.01, "3/16 in": 2.97, "1/4 in": 4.32, "5/16 in": 5.89, "3/8 in": 6.38, "1/2 in": 9.55},
    **{"5/8 in": 11.20, "3/4 in": 14.38},
}


@pytest.mark.parametrize(("tube", "inner"), TUBES.items())
def test_tubes_by_their_designation(tube, inner):
    circuit = load_text(
        "pneusim: 1\n"
        "title: A tube\n"
        "components:\n"
        "  tank:   {type: reservoir, volume: 5 L, pressure: 8 bar}\n"
        "  vessel: {type: test_volume, volume: 1 L}\n"
        f"lines:\n  pipe: {{from: tank.1, to: vessel.1, tube: {tube}, length: 3 m}}\n"
    )
    assert circuit.lines["pipe"].bore * 1e3 == pytest.approx(inner, abs=6e-3)
