"""Closed forms of stops against the equations that they solve."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pneusim.physics.stopping import (
    locked_distance,
    needed_deceleration,
    nose_braking,
    roll_away_time,
    separated_distance,
    stopping_distance,
)


def driven(v, slowing, end=200.0):
    """Distance until standstill with a deceleration that depends on the time."""
    def stands(t, y):
        return y[0]

    stands.terminal, stands.direction = True, -1.0
    ran = solve_ivp(lambda t, y: [-slowing(t), y[0]], (0.0, end), [v, 0.0], events=stands, rtol=1e-10, atol=1e-10,
                    max_step=0.05)  # fmt: skip
    return ran.y[1, -1]


@pytest.mark.parametrize(("dead", "rise", "a"), [(0.36, 0.36, 5.0), (0.1, 0.6, 7.0), (0.0, 0.0, 3.0)])
def test_a_stop_with_lag(dead, rise, a):
    def slowing(t):
        return a * min(max((t - dead) / rise, 0.0), 1.0) if rise else a

    assert stopping_distance(60 / 3.6, dead, rise, a) == pytest.approx(driven(60 / 3.6, slowing), rel=1e-6)


# Regression values: our own, 60 mph with 0.10 s of dead time and 0.35 s of rise.
@pytest.mark.parametrize(("feet", "a"), [(250, 5.22), (310, 4.13), (235, 5.60), (280, 4.61), (335, 3.80)])
def test_the_deceleration_that_a_distance_needs(feet, a):
    v = 60 * 0.44704
    found = needed_deceleration(feet * 0.3048, v, 0.10, 0.35)
    assert stopping_distance(v, 0.10, 0.35, found) == pytest.approx(feet * 0.3048, rel=1e-12)
    assert found == pytest.approx(a, abs=0.006)


def test_lags_that_leave_no_stop_are_refused():
    with pytest.raises(ValueError, match="stands before its brakes have come up"):
        stopping_distance(1.0, 0.1, 1.0, 5.0)
    with pytest.raises(ValueError, match="are gone before brakes"):
        needed_deceleration(5.0, 20.0, 0.3, 0.4)
    with pytest.raises(ValueError, match="stands before its brakes have come up"):
        needed_deceleration(20.0, 10.0, 0.1, 3.0)


def test_a_locked_stop_and_one_that_never_ends():
    a = 9.80665 * (0.3 * math.cos(0.05) - math.sin(0.05))
    assert locked_distance(20.0, 0.3, 0.05) == pytest.approx(driven(20.0, lambda t: a), rel=1e-9)
    assert locked_distance(20.0, 0.05, 0.05) == math.inf


@pytest.mark.parametrize("balance", [345e3, 215e3, 680e3])
def test_a_trailer_that_comes_off(balance):
    dead, tau, start, a = 0.15, 0.30, 689e3, 2.7

    def slowing(t):
        return a * max(0.0, 1.0 - start * math.exp(-max(t - dead, 0.0) / tau) / balance)

    closed = separated_distance(80 / 3.6, dead, tau, start, balance, a)
    assert closed == pytest.approx(driven(80 / 3.6, slowing), rel=1e-6)


# Regression values: 24 t on four springs, 80 km/h; six wheel ends of 13 kg m2 add to the mass.
@pytest.mark.parametrize(
    ("spring", "grade", "expected"), [(6670.0, 0.0, 105.1), (6670.0, 0.06, 129.7), (4170.0, 0.06, 232.6)]
)
def test_a_full_trailer_on_its_springs(spring, grade, expected):
    mass = 24e3
    force = 4 * spring * 0.1397 * 0.75 * 0.2096 / 0.0127 * 0.70 / 0.5
    a = (force / mass + 0.007 * 9.81 - 9.81 * math.sin(math.atan(grade))) * mass / (mass + 6 * 13.0 / 0.25)
    closed = separated_distance(80 / 3.6, 0.15, 0.30, 689e3, spring / 193.5e-4, a)
    assert closed == pytest.approx(expected, rel=0.005)


def test_a_semitrailer_on_its_nose_is_in_balance():
    f, mu, share, h = 0.33, 0.4, 0.35, 2.0 / 7.7
    z = nose_braking(f, mu, share, h)
    assert z == pytest.approx(f + mu * (share + z * h), rel=1e-12)
    with pytest.raises(ValueError, match="digs in"):
        nose_braking(f, 1.2, share, 0.9)


def test_rolling_away():
    force, loss, demand, mass = 50e3, 800.0, 30e3, 16.2e3
    time = roll_away_time(force, loss, demand, mass, 0.05)
    ran = solve_ivp(lambda t, V: [max(0.0, demand - force + loss * t) / mass], (0.0, time), [0.0], rtol=1e-10,
                    max_step=0.05)  # fmt: skip
    assert ran.y[0, -1] == pytest.approx(0.05, rel=1e-4)
    with pytest.raises(ValueError, match="do not hold"):
        roll_away_time(20e3, loss, demand, mass, 0.05)


def test_rolling_away_by_a_jerk():
    """Balance at 28.85 s, then 0.0488 m/s3: 0.05 m/s at 30.28 s."""
    mass, jerk = 16e3, 0.0488
    time = roll_away_time(28.85 * jerk * mass + 1e4, jerk * mass, 1e4, mass, 0.05)
    assert time == pytest.approx(28.85 + math.sqrt(2 * 0.05 / jerk), rel=1e-12)
    assert time == pytest.approx(30.28, abs=0.005)
    assert np.isfinite(time)
