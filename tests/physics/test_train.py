"""Loads on supports and the acceleration of chains: what statics demands."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.physics.train import air_drag, pull, supports
from tests.physics.derivatives import assert_continuous

TRUCK = {
    "weight": 1.57e5, "mass": 1.6e4, "slope_force": 0.0, "x1": 0.0, "x2": 5.0, "xg": 3.2, "height": 1.2,
    "front_height": 1.1, "rear_height": 0.9, "rear_at": 6.0,
}  # fmt: skip


def loads(a=0.0, hitch=0.0, rear_hitch=0.0, rear_load=0.0, **other):
    return supports(a, hitch, rear_hitch, rear_load, *(TRUCK | other).values())


def test_supports_carry_what_there_is_and_no_more():
    for a, hitch, rear, load in np.random.default_rng(2).uniform([-12, -9e4, -9e4, 0], [12, 9e4, 9e4, 2e5], (500, 4)):
        front, back = loads(a, hitch, rear, load)
        assert front >= 0.0
        assert back >= 0.0
        assert front + back == pytest.approx(TRUCK["weight"] + load, rel=1e-14)


def test_moments_about_the_rear_support_are_in_balance():
    front, _ = loads(-3.0, 2e4, -1e4, 3e4, slope_force=8e3)
    turning = front * 5.0 - 1.57e5 * 1.8 - (8e3 + 1.6e4 * 3.0) * 1.2 - 2e4 * 1.1 + (-1e4) * 0.9 - 3e4 * (5.0 - 6.0)
    assert turning == pytest.approx(0.0, abs=1e-6)


def test_braking_loads_the_front_pulling_a_trailer_unloads_it():
    rest = loads()[0]
    assert loads(a=-3.0)[0] > rest > loads(a=3.0)[0]
    assert loads(rear_hitch=2e4)[0] < rest
    assert loads(rear_load=2e4)[0] < rest
    assert loads(hitch=-2e4)[0] < rest
    assert loads(slope_force=8e3)[0] > rest


def test_a_support_that_lifts_leaves_all_to_the_other():
    assert loads(a=-60.0) == (1.57e5, 0.0)
    assert loads(a=60.0) == (0.0, 1.57e5)
    assert_continuous(lambda a: loads(a=a), [-60.0], [60.0])


def test_a_unit_follows_its_tractor_or_its_own_forces():
    assert pull(-6e4, 2e4, -1.0, 1.0) == -1.0
    assert pull(-6e4, 2e4, -1.0, 0.0) == -3.0


def test_air_acts_against_the_speed():
    assert air_drag(25.0, 3.6) == -air_drag(-25.0, 3.6) == -2250.0
    assert air_drag(0.0, 3.6) == 0.0
