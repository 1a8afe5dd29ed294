"""The laws of the parts that store, divide and prepare the air, at rest and in closed form."""

from __future__ import annotations

import math

import pytest
from pydantic import ValidationError

from pneusim.parts.air_consumer import AirConsumer
from pneusim.parts.air_dryer import AirDryer
from pneusim.parts.auxiliary_release import AuxiliaryRelease
from pneusim.parts.four_circuit_valve import AUXILIARY, SECTIONS, SERVICE, FourCircuitValve
from pneusim.parts.protection_valve import ProtectionValve
from pneusim.parts.spring_modulating_valve import SpringModulatingValve
from pneusim.quantities import STANDARD_ATMOSPHERE
from pneusim.reading import load_text
from pneusim.simulate import run
from tests.parts.recorder import Moment, lowered

KPA = 1e3


class TestFourCircuitValve:
    valve = lowered(
        FourCircuitValve(
            opens=690 * KPA,
            closes=590 * KPA,
            auxiliary_opens=720 * KPA,
            auxiliary_closes=620 * KPA,
            width=30 * KPA,
        )
    )

    def opening(self, section: str, inlet: float, circuit: float, **faults: float) -> float:
        moment = Moment({"1": inlet * KPA, section: circuit * KPA}, faults=faults)
        return self.valve.channel_at(f"opening_{section}", moment)

    @pytest.mark.parametrize(("section", "opens"), [*((n, 690) for n in SERVICE), *((n, 720) for n in AUXILIARY)])
    def test_a_section_opens_towards_an_empty_circuit_at_its_opening_pressure(self, section, opens):
        assert self.opening(section, opens, 0) == 0.0
        assert self.opening(section, opens + 1, 0) > 0.0

    @pytest.mark.parametrize(("section", "closes"), [("21", 590), ("22", 590)])
    def test_a_section_that_lets_air_return_shuts_when_both_sides_fall_to_its_closing_pressure(self, section, closes):
        assert self.opening(section, closes, closes) == 0.0
        assert self.opening(section, closes + 1, closes + 1) > 0.0

    def test_a_part_full_circuit_opens_its_section_earlier(self):
        """a p1 + (1 - a) p2 = closes with a = 590/690: towards 300 kPa it opens at (590 - 43.5)/0.855 = 639 kPa."""
        a = 590 / 690
        at = (590 - (1 - a) * 300) / a
        assert self.opening("21", at - 0.1, 300) == 0.0
        assert self.opening("21", at + 1, 300) > 0.0

    def test_service_circuits_give_air_back_and_the_others_do_not(self):
        for section in SECTIONS:
            assert self.opening(section, 750, 800) == (1.0 if section in SERVICE else 0.0)

    @pytest.mark.parametrize("section", SECTIONS)
    def test_a_stuck_section_leaves_the_others_as_they_are(self, section):
        assert self.opening(section, 0, 800, **{f"stuck_open_{section}": 1.0}) == 1.0
        assert self.opening(section, 800, 0, **{f"stuck_shut_{section}": 1.0}) == 0.0
        for other in SECTIONS:
            if other != section:
                assert self.opening(other, 800, 0, **{f"stuck_shut_{section}": 1.0}) > 0.0

    def test_levels_that_cross_are_refused(self):
        with pytest.raises(ValidationError, match="closes must be less than opens"):
            FourCircuitValve(closes=700 * KPA, opens=690 * KPA)
        with pytest.raises(ValidationError, match="auxiliary_closes must be less"):
            FourCircuitValve(auxiliary_closes=730 * KPA)


class TestSpringModulatingValve:
    valve = lowered(
        SpringModulatingValve(hold_off=655 * KPA, gain=1.0, difference=30 * KPA, crack=10 * KPA, half_band=5 * KPA)
    )

    @pytest.mark.parametrize(
        ("park", "primary", "secondary", "target"),
        [
            (800, 0, 0, 655),  # no more than holds the springs off
            (500, 0, 0, 500),  # the park line, when that is less
            (800, 400, 390, 655),  # both circuits work: the springs stay out of it
            (800, 0, 30, 655),  # a difference that is no loss yet
            (800, 0, 230, 455),  # 655 - (230 - 30)
            (800, 100, 330, 455),  # the difference counts, not the secondary alone
            (800, 0, 700, -15),  # 655 - (700 - 30): nothing holds the springs off
            (0, 0, 0, -40),  # parked: pulled to exhaust
        ],
    )
    def test_its_target(self, park, primary, secondary, target):
        moment = Moment({"43": park * KPA, "41": primary * KPA, "42": secondary * KPA})
        assert self.valve.channel_at("target", moment) == pytest.approx(target * KPA, abs=1.0)

    def test_it_vents_the_springs_without_a_target_and_fills_them_with_one(self):
        held = {"1": 800 * KPA, "2": 655 * KPA, "43": 800 * KPA, "41": 0.0}
        pedal_down, parked = Moment({**held, "42": 700 * KPA}), Moment({**held, "42": 0.0, "43": 0.0})
        assert self.valve.channel_at("exhaust_opening", pedal_down) == 1.0
        assert self.valve.channel_at("exhaust_opening", parked) == 1.0
        empty = Moment({**held, "2": 0.0, "42": 0.0})
        assert self.valve.channel_at("opening", empty) == 1.0
        assert self.valve.channel_at("exhaust_opening", empty) == 0.0


class TestAuxiliaryRelease:
    part = lowered(AuxiliaryRelease())

    def passages(self, **moment) -> tuple[float, float]:
        """Openings from the reserve to the handle's space, and from there to the atmosphere."""
        flows = {(a, b): opening for a, b, _, opening in self.part.restrictions}
        at = Moment(**moment)
        return self.part.at(flows["12", "handle"], at), self.part.at(flows["handle", "3"], at)

    def test_the_handle_feeds_or_vents_its_space_and_never_both(self):
        assert self.passages() == (0.0, 1.0)
        assert self.passages(inputs={"handle": 1.0}) == (1.0, 0.0)
        assert self.passages(inputs={"handle": 0.5}) == (0.0, 0.0)

    def test_a_stuck_handle_stays(self):
        assert self.passages(inputs={"handle": 1.0}, faults={"stuck": 1.0}, held=0.0) == (0.0, 1.0)

    def test_the_springs_hear_the_higher_of_park_line_and_reserve(self):
        for park, reserve, opening in ((800, 0, 0.0), (0, 800, 1.0)):
            moment = Moment({"11": park * KPA, "handle": reserve * KPA})
            assert self.part.channel_at("opening", moment) == opening

    def test_the_springs_have_no_way_out_but_through_the_double_check_valve(self):
        assert {a for a, b, *_ in self.part.restrictions if b == "2"} == {"11", "handle"}
        assert not [r for r in self.part.restrictions if r[0] == "2"]


def test_a_consumer_takes_its_air_by_its_inlet_and_lets_it_out_as_it_draws():
    consumer = lowered(AirConsumer())
    inlet, outlet = consumer.restrictions
    assert inlet[:2] == ("1", "inside")
    assert outlet[:2] == ("inside", "atmosphere")
    assert consumer.at(outlet[3]) == 0.0
    assert consumer.at(outlet[3], Moment(inputs={"draw": 0.5})) == 0.5
    ((place, hole),) = consumer.leaks
    assert place == "inside"
    assert consumer.at(hole, Moment(faults={"burst": 0.01})) == 0.01


def test_a_leaking_protection_valve_lets_a_share_through_both_ways():
    valve = lowered(ProtectionValve())
    for pressures in ({"1": 300 * KPA, "2": 0.0}, {"1": 0.0, "2": 300 * KPA}):
        assert valve.channel_at("opening", Moment(pressures)) == 0.0
        assert valve.channel_at("opening", Moment(pressures, faults={"leaking_seat": 0.02})) == 0.02


def test_a_dryer_without_a_regeneration_reservoir_has_no_passage_to_one():
    alone, served = lowered(AirDryer(), optional=False), lowered(AirDryer())
    assert len(served.restrictions) == len(alone.restrictions) + 1
    (passage,) = [r for r in served.restrictions if "22" in r[:2]]
    assert passage[:2] == ("1", "22")


def test_a_regeneration_reservoir_blows_back_through_the_purge_valve():
    """Choked discharge of mass m = p V/(R T) through C: m falls as exp(-t C p_ref/V sqrt(T/T0)), T from 265 to 293 K.

    V/(C p_ref) = 5 L / (0.15 dm3/(s bar) x 1 bar) = 33.3 s; from 5 to 20 s that is 0.638 at T0 and 0.652 at 265 K.
    """
    result = run(load_text(REGENERATION), "charge")
    assert result.status == "ok"
    (cut_out,) = [event.time for event in result.events if event.kind == "cut_out"]
    pressure, temperature = (result.channels[f"blow_back.{name}"] for name in ("pressure", "temperature"))
    kept = (pressure(20.0) + STANDARD_ATMOSPHERE) / (pressure(5.0) + STANDARD_ATMOSPHERE)
    kept *= temperature(5.0) / temperature(20.0)
    share = math.exp(-15.0 / 33.3)
    assert cut_out < 1.0
    assert temperature(5.0) > 265.0
    assert 0.99 * share < kept < 1.01 * share ** math.sqrt(265 / 293.15)
    assert result.channels["tank.pressure"](20.0) > 850 * KPA
    assert result.channels["dryer.pressure"](20.0) < 20 * KPA


REGENERATION = """\
pneusim: 1
title: A dryer whose cartridge is dried by the air of its own reservoir
components:
  engine_air: {type: compressor}
  dryer:      {type: air_dryer, regeneration: 0.15 dm3/(s bar)}
  tank:       {type: reservoir, volume: 10 L, pressure: 8.4 bar}
  blow_back:  {type: reservoir, volume: 5 L, pressure: 8 bar}
  governor:   {type: governor}
lines:
  pipe: {from: engine_air.2, to: dryer.1, bore: 12 mm, length: 2 m}
joints:
  - [dryer.2, tank.1, governor.1]
  - [dryer.22, blow_back.1]
scenarios:
  charge:
    lasts: 20 s
    begin: {engine_air.speed: 2000 rpm}
"""
