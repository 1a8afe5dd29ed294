"""ISO 6358 flow: symmetry, limits, continuity, derivatives."""

import math

import numpy as np
import pytest

from pneusim.physics import plain
from pneusim.physics.constants import RHO0, T0
from pneusim.physics.flow import (
    hole_conductance,
    iso6358,
    iso6358_gradient,
    open_end_conductance,
    series,
    tube_conductance,
)
from tests.physics.derivatives import assert_continuous, central, crosses

DP = 20.0


def random_states(count, seed):
    rng = np.random.default_rng(seed)
    for _ in range(count):
        p = rng.uniform(0.3e5, 12e5)
        ratio = rng.uniform(0.05, 1.0) if rng.random() < 0.5 else 1.0 - 10.0 ** rng.uniform(-7.0, -0.5)
        pair = (p, p * ratio) if rng.random() < 0.5 else (p * ratio, p)
        yield np.array([pair[0], rng.uniform(230.0, 400.0), pair[1], rng.uniform(230.0, 400.0)]), rng


def test_equal_pressures_give_no_flow():
    assert iso6358(5e5, 250.0, 5e5, 400.0, 1e-7, 0.3, DP) == 0.0


def test_exchanging_the_ends_changes_the_sign_alone():
    for (p_a, T_a, p_b, T_b), rng in random_states(500, 1):
        c, b = 10.0 ** rng.uniform(-9, -6), rng.uniform(0.0, 0.6)
        assert iso6358(p_a, T_a, p_b, T_b, c, b, DP) == -iso6358(p_b, T_b, p_a, T_a, c, b, DP)


def test_only_the_upstream_temperature_counts():
    q = iso6358(6e5, 300.0, 5e5, 250.0, 1e-8, 0.3, DP)
    assert iso6358(6e5, 300.0, 5e5, 380.0, 1e-8, 0.3, DP) == q
    assert iso6358(6e5, 1200.0, 5e5, 250.0, 1e-8, 0.3, DP) == pytest.approx(0.5 * q, rel=1e-12)


def test_choked_flow_is_the_definition_of_the_sonic_conductance():
    for back in (1e4, 1e5, 0.3 * 8e5):
        q = iso6358(8e5, 350.0, back, 300.0, 3e-8, 0.3, DP)
        assert q == pytest.approx(3e-8 * 8e5 * RHO0 * math.sqrt(T0 / 350.0), rel=1e-14)


@pytest.mark.parametrize("ratio", [0.35, 0.5, 0.8, 0.95])
def test_away_from_zero_difference_it_is_the_ellipse(ratio):
    b = 0.3
    q = iso6358(8e5, T0, ratio * 8e5, T0, 1e-8, b, DP)
    x = 1.0 - ((ratio - b) / (1.0 - b)) ** 2
    ellipse = 1e-8 * 8e5 * RHO0 * math.sqrt(x)
    eps = 2.0 * DP / (8e5 * (1.0 - b))
    assert q == pytest.approx(ellipse, rel=eps / (2.0 * x))  # first-order effect of the laminar core
    assert iso6358(8e5, T0, ratio * 8e5, T0, 1e-8, b, 1e-6) == pytest.approx(ellipse, rel=1e-9)


def test_far_below_the_laminar_difference_the_flow_is_linear():
    q1 = iso6358(8e5, T0, 8e5 - 0.01, T0, 1e-8, 0.3, DP)
    q2 = iso6358(8e5, T0, 8e5 - 0.02, T0, 1e-8, 0.3, DP)
    assert q2 == pytest.approx(2.0 * q1, rel=1e-3)


def test_flow_is_linear_in_the_conductance_down_to_a_shut_valve():
    assert iso6358(8e5, T0, 5e5, T0, 0.0, 0.3, DP) == 0.0
    assert iso6358_gradient(8e5, T0, 5e5, T0, 0.0, 0.3, DP)[5] == pytest.approx(
        iso6358(8e5, T0, 5e5, T0, 1e-8, 0.3, DP) / 1e-8, rel=1e-12
    )


def test_flow_falls_when_the_back_pressure_rises():
    flows = [iso6358(8e5, T0, p, T0, 1e-8, 0.2, DP) for p in np.linspace(1e5, 12e5, 2001)]
    assert (np.diff(flows) <= 0.0).all()


@pytest.mark.parametrize("b", [0.0, 0.3, 0.528])
def test_continuous_through_choking_and_through_zero(b):
    assert_continuous(lambda p_b: iso6358(8e5, 320.0, p_b, 270.0, 1e-8, b, DP), [1e4], [7.9e5])
    assert_continuous(lambda p_b: iso6358(8e5, 320.0, p_b, 270.0, 1e-8, b, DP), [8e5 - 100.0], [8e5 + 100.0])


@pytest.mark.parametrize("b", [0.0, 0.3, 0.528])
def test_slope_is_continuous_where_choking_ends(b):
    edge = max(b, 0.05) * 8e5
    below = np.array(iso6358_gradient(8e5, T0, edge * (1.0 - 1e-9), T0, 1e-8, b, DP))
    above = np.array(iso6358_gradient(8e5, T0, edge * (1.0 + 1e-9), T0, 1e-8, b, DP))
    assert above == pytest.approx(below, rel=1e-6, abs=1e-16)


def test_gradient_against_central_differences():
    checked = {"choked": 0, "subsonic": 0, "back": 0}
    for state, rng in random_states(3000, 2):
        c, b = 10.0 ** rng.uniform(-9, -6), rng.uniform(0.0, 0.6)
        x = np.array([*state, c])
        difference = abs(x[0] - x[2])
        scales = np.array([max(difference, DP), x[1], max(difference, DP), x[3], c])
        scales[[0, 2]] = np.minimum(scales[[0, 2]], 0.1 * min(x[0], x[2]))
        kinks = (lambda y: y[0] - y[2], lambda y, b=b: min(y[0], y[2]) / max(y[0], y[2]) - b)
        if crosses(x, scales, kinks):
            continue
        values = iso6358_gradient(*x, b, DP)
        numeric = central(lambda *y, b=b: iso6358(*y, b, DP), x, scales)[0]
        assert values[0] == pytest.approx(iso6358(*x, b, DP), rel=1e-13)
        assert np.array(values[1:]) * scales == pytest.approx(numeric, rel=1e-6, abs=3e-7 * abs(numeric).max())
        kind = "choked" if min(x[0], x[2]) / max(x[0], x[2]) <= b else "subsonic"
        checked[kind] += 1
        checked["back"] += x[0] < x[2]
    assert min(checked.values()) > 300


def test_compiled_forms_are_the_plain_ones():
    assert tube_conductance(9e-3, 12.0) == plain.tube_conductance(9e-3, 12.0)
    assert series(5e-8, 0.3, 8e-8, 0.2) == pytest.approx(plain.series(5e-8, 0.3, 8e-8, 0.2), rel=1e-14)
    assert hole_conductance(4e-3, 0.7) == pytest.approx(plain.hole_conductance(4e-3, 0.7), rel=1e-14)
    assert open_end_conductance(9e-3) == pytest.approx(plain.open_end_conductance(9e-3), rel=1e-14)


def test_a_short_tube_is_nearly_its_own_open_end():
    c, _ = tube_conductance(9e-3, 1e-6)
    assert open_end_conductance(9e-3) == pytest.approx(c, rel=0.02)
