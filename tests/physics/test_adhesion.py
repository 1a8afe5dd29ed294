"""Friction against slip, the carcass, and the force of a wheel: signs, limits, continuity, steady states."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pneusim.physics.adhesion import burckhardt, grip, magic
from pneusim.physics.tread import creep_rate, tread_slip
from tests.physics.derivatives import assert_continuous

CURVES = {"burckhardt": (burckhardt, (0.6856, 33.822, 0.2776, 0.02)), "magic": (magic, (11.0, 1.66, 0.64, 0.2, 0.02))}


@pytest.fixture(params=CURVES)
def curve(request):
    return CURVES[request.param]


def test_friction_is_odd_in_slip_and_even_in_speed(curve):
    law, numbers = curve
    for slip, V in np.random.default_rng(1).uniform([-1.5, 0.0], [1.5, 30.0], (200, 2)):
        value = law(slip, slip, V, *numbers)
        assert law(-slip, -slip, V, *numbers) == (-value[0], value[1])
        assert law(slip, slip, -V, *numbers) == value


def test_a_wheel_that_turns_backwards_slides_like_a_locked_one(curve):
    law, numbers = curve
    assert law(1.7, 1.7, 12.0, *numbers) == law(1.0, 1.0, 12.0, *numbers)


def test_friction_and_slope_are_continuous(curve):
    law, numbers = curve
    assert_continuous(lambda s, V: law(s, s, V, *numbers), [-1.3, 25.0], [1.3, -5.0])


def test_the_slope_is_that_of_the_curve_until_the_peak_and_nothing_beyond(curve):
    law, numbers = curve
    steady = (*numbers[:-1], 0.0)
    start = law(1e-7, 0.0, 0.0, *steady)[0] / 1e-7
    for k in (0.0, 0.02, 0.07):
        rise = (law(k + 1e-6, 0.0, 0.0, *steady)[0] - law(k - 1e-6, 0.0, 0.0, *steady)[0]) / 2e-6
        assert law(0.0, k, 0.0, *steady)[1] == pytest.approx(rise / start, rel=1e-4, abs=1e-6)
    assert law(0.0, 0.5, 0.0, *steady)[1] == 0.0


def test_friction_fades_with_speed_only_while_sliding(curve):
    law, numbers = curve
    assert law(1.0, 0.0, 27.8, *numbers)[0] / law(1.0, 0.0, 17.8, *numbers)[0] == pytest.approx(math.exp(-0.2))
    slow, fast = (law(0.01, 0.0, V, *numbers)[0] for V in (5.0, 27.8))
    assert fast == pytest.approx(slow, rel=0.006)


@pytest.mark.parametrize(("V", "slip"), [(20.0, 0.05), (5.0, 0.3), (-8.0, -0.1)])
def test_the_carcass_comes_to_rest_at_the_slip_of_the_wheel(V, slip):
    v = V - abs(V) * slip
    assert creep_rate(V, v, slip, 0.7, 0.3, 0.02) == pytest.approx(0.0, abs=1e-12)
    assert creep_rate(V, v, slip - 0.01, 0.7, 0.3, 0.02) > 0.0 > creep_rate(V, v, slip + 0.01, 0.7, 0.3, 0.02)


def test_the_carcass_takes_its_relaxation_length_to_follow():
    """A step of slip is followed to 1 - 1/e after rolling one relaxation length, at any speed."""
    for V in (2.0, 20.0):
        def rate(t, k, V=V):
            return [creep_rate(V, 0.98 * V, k[0], 1.0, 0.3, 0.02)]

        way = solve_ivp(rate, (0.0, 0.3 / V), [0.0], rtol=1e-9, atol=1e-12)
        assert way.y[0, -1] == pytest.approx(0.02 * (1.0 - math.exp(-1.0)), rel=1e-6)


def test_at_standstill_the_carcass_is_a_spring():
    assert creep_rate(0.0, -0.1, 0.02, 1.0, 0.3, 0.02) == pytest.approx(0.1 / 0.3)
    assert creep_rate(0.0, 0.0, 0.02, 1.0, 0.3, 0.02) == 0.0


def test_the_tread_slips_as_the_carcass_where_nothing_slides_and_laws_have_no_step():
    assert tread_slip(13.0, 13.0, 0.07, 0.001, 0.06) == 0.07
    assert_continuous(lambda V, v, k: tread_slip(V, v, k, 0.001, 0.06), [-3.0, 0.0, 0.1], [3.0, 1.0, -0.1])


def test_damping_ends_where_the_vehicle_is_quick():
    assert tread_slip(2.0, 1.0, 0.0, 0.001, 0.06) == pytest.approx(0.001)
    assert tread_slip(1.0, 0.0, 0.0, 0.001, 0.06) == pytest.approx(0.031)


def test_load_gives_force_at_a_falling_rate_and_a_lifted_wheel_none():
    loads = np.linspace(0.0, 6e4, 25)
    forces = np.array([-grip(N, 0.6, 0.08, 3e4) for N in loads])
    assert (np.diff(forces) > 0.0).all()
    assert (np.diff(forces, 2) < 0.0).all()
    assert grip(-5e3, 0.6, 0.08, 3e4) == 0.0
    assert grip(3e4, 0.6, 0.08, 3e4) == -18e3
    assert grip(6e4, 0.6, 0.08, 3e4) == pytest.approx(-36e3 * 0.92)
