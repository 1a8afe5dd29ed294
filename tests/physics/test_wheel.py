"""A wheel under its brake, alone and with a vehicle on it: Coulomb's law, exact rest, no chatter."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pneusim.physics.adhesion import burckhardt, grip
from pneusim.physics.train import skid
from pneusim.physics.tread import creep_rate, tread_slip
from pneusim.physics.wheel import stick, wheel_brake
from tests.physics.derivatives import assert_continuous

R, J, TAU = 0.5, 13.0, 2e-3


def test_a_turning_wheel_meets_all_that_the_brake_can_give_either_way():
    assert wheel_brake(0.0, 10.0, 5e3, 3e4, R, J, TAU, 0.0)[0] == 5e3
    assert wheel_brake(0.0, -10.0, 5e3, 3e4, R, J, TAU, 0.0)[0] == -5e3


def test_a_held_wheel_comes_to_exact_rest_and_the_brake_then_holds_no_more_than_it_must():
    end = solve_ivp(lambda t, v: [wheel_brake(-8e3, v[0], 6e3, 3e4, R, J, TAU, 0.0)[1]], (0.0, 0.6), [12.0],
                    method="Radau", rtol=1e-8, atol=1e-14).y[0, -1]  # fmt: skip
    assert abs(end) < 1e-12
    assert wheel_brake(-8e3, end, 6e3, 3e4, R, J, TAU, 0.0)[0] == pytest.approx(4e3, abs=1e-6)


def test_without_brake_and_rolling_the_road_turns_the_wheel():
    assert wheel_brake(-2e3, 10.0, 0.0, 3e4, R, J, TAU, 0.0) == (0.0, R * R * 2e3 / J)


def test_rolling_is_friction_that_holds():
    rolling = 0.007 * 3e4 * R
    assert wheel_brake(-100.0, 10.0, 0.0, 3e4, R, J, TAU, 0.007)[0] == pytest.approx(rolling)
    assert wheel_brake(-100.0, 0.0, 0.0, 3e4, R, J, TAU, 0.007) == (pytest.approx(50.0), 0.0)
    assert wheel_brake(-100.0, 10.0, 0.0, -3e4, R, J, TAU, 0.007)[0] == 0.0


def test_laws_of_sticking_have_no_step():
    assert_continuous(lambda x: stick(x, 3.0), [-5.0], [5.0])
    assert_continuous(lambda F, v: wheel_brake(F, v, 5e3, 3e4, R, J, TAU, 0.007), [-2e4, 1.0], [2e4, -1.0])
    assert_continuous(lambda V: skid(2e4, V, 1e5, 1.0, 3e4, 0.4, 2e-3), [-0.01], [0.01])


def test_friction_takes_energy_and_gives_none():
    """Where the wheel is out of the band of its brake's rest, torque and turning have one sign."""
    for F, v, capacity in np.random.default_rng(4).uniform([-3e4, -20.0, 0.0], [3e4, 20.0, 2e4], (2000, 3)):
        torque = wheel_brake(F, v, capacity, 3e4, R, J, TAU, 0.0)[0]
        assert abs(torque) <= capacity
        if abs(torque) == capacity and abs(v) > 0.1 and capacity > R * abs(F):
            assert torque * v > 0.0


def test_a_wheel_locks_when_its_brake_exceeds_the_peak_of_the_road():
    """T > mu_peak N r locks, less does not: 0.82 of dry asphalt at 30 kN and 0.5 m is 12.3 kN m."""
    dry = (0.89607, 23.99, 0.364, 0.0)

    def end(capacity):
        def rates(t, y):
            v, k = y
            friction, slope = burckhardt(tread_slip(20.0, v, k, 0.001, 0.06), k, 20.0, *dry)
            force = grip(3e4, friction, 0.08, 3e4)
            return [wheel_brake(force, v, capacity, 3e4, R, J, TAU, 0.0)[1], creep_rate(20.0, v, k, slope, 0.3, 0.02)]

        return solve_ivp(rates, (0.0, 4.0), [20.0, 0.0], method="Radau", rtol=1e-6).y[0, -1]

    peak = 0.8191 * 3e4 * R
    assert end(1.02 * peak) == pytest.approx(0.0, abs=1e-6)
    assert end(0.98 * peak) > 0.8 * 20.0


def test_what_skids_comes_to_rest_on_a_slope_and_stays():
    """30 t with 100 kN on a nose of friction 0.4 hold against a slope force of 30 kN."""
    def rates(t, V):
        return [(3e4 + skid(3e4, V[0], 1e5, 1.0, 3e4, 0.4, 2e-3)) / 3e4]

    ran = solve_ivp(rates, (0.0, 60.0), [3.0], method="Radau", rtol=1e-8, atol=1e-14)
    assert abs(ran.y[0, -1]) < 1e-12
    assert skid(3e4, 3.0, 1e5, 0.0, 3e4, 0.4, 2e-3) == 0.0
    stops = ran.t[np.argmax(ran.y[0] < 1e-3)]
    assert stops == pytest.approx(3.0 / ((4e4 - 3e4) / 3e4), rel=0.01)
