"""Openings and spool laws: limits, exclusiveness, hysteresis, continuity."""

import numpy as np
import pytest

from pneusim.physics.valves import (
    area_ratio_opening,
    dead_zone,
    dead_zone_foot,
    exclusive_double_check,
    follower_openings,
    play_rate,
    ramp,
    ramp_slope,
)
from tests.physics.derivatives import assert_continuous, central


def pressures(count, seed=7):
    """Triples of pressures, half of them within a few kPa of each other."""
    rng = np.random.default_rng(seed)
    wide = rng.uniform(0.0, 1.2e6, (count, 3))
    close = rng.uniform(0.0, 1.2e6, (count, 1)) + rng.uniform(-4e3, 4e3, (count, 3))
    return [tuple(map(float, triple)) for triple in np.concatenate([wide, close])]


def test_ramp_ends_and_middle():
    assert (ramp(-0.1), ramp(0.0), ramp(0.5), ramp(1.0), ramp(7.0)) == (0.0, 0.0, 0.5, 1.0, 1.0)


def test_ramp_and_its_slope_are_continuous():
    assert_continuous(lambda x: (ramp(x), ramp_slope(x)), [-0.3], [1.3])


@pytest.mark.parametrize("x", [-0.2, 0.1, 0.5, 0.93, 1.4])
def test_ramp_slope(x):
    assert ramp_slope(x) == pytest.approx(central(ramp, np.array([x]), [1.0])[0, 0], abs=1e-8)


def test_dead_zones_are_odd_and_never_push_against_the_force():
    rng = np.random.default_rng(6)
    for force, half_width, foot in rng.uniform([-2e4, 0.0, 0.0], [2e4, 5e3, 1e4], (2000, 3)):
        for law in (dead_zone, lambda f, h, foot=foot: dead_zone_foot(f, h, foot)):
            assert law(-force, half_width) == -law(force, half_width)
            assert law(force, half_width) * force >= 0.0
            assert abs(law(force, half_width)) <= abs(force)


@pytest.mark.parametrize(("half_width", "foot"), [(100.0, 20.0), (39.0, 80.0), (10.0, 10.0), (0.0, 20.0), (50.0, 0.0)])
def test_foot_is_continuous_and_exact_outside(half_width, foot):
    assert_continuous(lambda f: dead_zone_foot(f, half_width, foot), [-400.0], [400.0])
    width = min(half_width, foot)
    for force in (half_width + 0.5 * width + 1e-9, 3.0 * half_width + 100.0):
        assert dead_zone_foot(force, half_width, foot) == pytest.approx(dead_zone(force, half_width), abs=1e-6)
    assert dead_zone_foot(0.0, half_width, foot) == 0.0


def test_foot_moves_the_breakaway_force_down_by_half_its_width():
    assert dead_zone_foot(89.9, 100.0, 20.0) == 0.0
    assert dead_zone_foot(90.1, 100.0, 20.0) > 0.0


def test_foot_has_no_kink():
    slope = [central(lambda f: dead_zone_foot(f, 100.0, 20.0), np.array([f]), [1.0])[0, 0] for f in (89.99, 90.01)]
    assert slope[1] == pytest.approx(slope[0], abs=2e-3)


def test_follower_never_opens_both_seats():
    for target, feedback, _ in pressures(1000):
        inlet, exhaust = follower_openings(target, feedback, 1e3, 3e3)
        assert 0.0 <= inlet <= 1.0
        assert 0.0 <= exhaust <= 1.0
        assert inlet * exhaust == 0.0


def test_follower_laps_within_its_band_and_is_continuous():
    assert follower_openings(300e3, 296e3, 5e3, 30e3) == (0.0, 0.0)
    assert follower_openings(300e3, 304e3, 5e3, 30e3) == (0.0, 0.0)
    assert follower_openings(300e3, 265e3, 5e3, 30e3) == (1.0, 0.0)
    assert follower_openings(300e3, 335e3, 5e3, 30e3) == (0.0, 1.0)
    assert_continuous(lambda p: follower_openings(300e3, p, 5e3, 30e3), [0.0], [600e3])


def test_play_holds_between_its_branches():
    for x in (0.0, 0.4, 1.0):
        assert play_rate(x, 262e3, 276e3, 207e3, 40e3, 0.01) == 0.0
    assert play_rate(0.0, 330e3, 276e3, 207e3, 40e3, 0.01) == 100.0
    assert play_rate(1.0, 200e3, 276e3, 207e3, 40e3, 0.01) == -100.0


def test_play_is_continuous_in_pressure_and_position():
    assert_continuous(lambda p: play_rate(0.5, p, 276e3, 207e3, 40e3, 0.01), [150e3], [400e3])
    assert_continuous(lambda x: play_rate(x, 290e3, 276e3, 207e3, 40e3, 0.01), [0.0], [1.0])


def test_double_check_passes_no_air_from_one_inlet_to_the_other():
    for p_a, p_b, p_m in pressures(2000):
        o_a, o_b = exclusive_double_check(p_a, p_b, p_m, 3e3)
        assert 0.0 <= o_a <= 1.0
        assert 0.0 <= o_b <= 1.0
        assert o_a + o_b <= 1.0 + 1e-12
        if p_b > p_m > p_a:
            assert o_a == 0.0
        if p_a > p_m > p_b:
            assert o_b == 0.0


def test_double_check_does_not_know_its_inlets_apart():
    for p_a, p_b, p_m in pressures(500):
        assert exclusive_double_check(p_a, p_b, p_m, 3e3) == exclusive_double_check(p_b, p_a, p_m, 3e3)[::-1]


def test_double_check_releases_trapped_air_through_both_seats():
    assert exclusive_double_check(100e3, 100e3, 110e3, 3e3) == (0.5, 0.5)


def test_double_check_is_continuous():
    assert_continuous(lambda a, b, m: exclusive_double_check(a, b, m, 3e3), [0.0, 8e3, 4e3], [9e3, 0.0, 4.5e3])
    assert_continuous(lambda m: exclusive_double_check(300e3, 302e3, m, 3e3), [290e3], [310e3])


def test_protection_valve_opens_at_its_setting_on_an_empty_circuit_and_holds_lower_on_a_full_one():
    def opening(up, down, one_way=0.0):
        return area_ratio_opening(up, down, 690e3, 590e3, 20e3, one_way)

    assert opening(690e3, 0.0) == pytest.approx(0.0, abs=1e-12)
    assert opening(700e3, 0.0) > 0.0
    assert opening(595e3, 595e3) > 0.0
    assert opening(589e3, 589e3) == 0.0
    assert opening(640e3, 660e3, 7e3) == 0.0
    assert opening(640e3, 620e3, 7e3) == 1.0


def test_protection_valve_is_continuous():
    assert_continuous(
        lambda up, down: area_ratio_opening(up, down, 690e3, 590e3, 20e3, 7e3), [550e3, 560e3], [750e3, 620e3]
    )
