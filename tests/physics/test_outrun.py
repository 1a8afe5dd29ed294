"""The loss that keeps lines subsonic: nothing below Mach 1.1, smooth, one sign, and exact derivatives."""

import math

import numpy as np
import pytest

from pneusim.physics.constants import CP, KAPPA, T0, R
from pneusim.physics.outrun import BEGINS, FULL, outrun_loss


def mach(share):
    """Mach number of a share u^2/(2 cp T_total)."""
    return math.sqrt(2.0 / (KAPPA - 1.0) * share / (1.0 - share))


def test_it_begins_above_the_speed_of_sound():
    assert 1.05 < mach(BEGINS) < 1.2
    assert mach(FULL) < 2.0
    speed = math.sqrt(BEGINS * 2.0 * CP * T0)
    assert outrun_loss(0.999 * speed * 5.0, 5.0, T0) == (0.0, 0.0, 0.0, 0.0)
    assert outrun_loss(1.001 * speed * 5.0, 5.0, T0)[0] > 0.0
    assert math.sqrt(KAPPA * R * T0) < speed


def test_it_opposes_the_flow_in_both_directions():
    for flux in (400.0, 600.0, 2000.0):
        there, back = outrun_loss(flux, 1.2, T0), outrun_loss(-flux, 1.2, T0)
        assert back == (-there[0], there[1], -there[2], -there[3])
        assert there[0] >= 0.0


def test_it_grows_without_bound_as_a_node_runs_dry():
    losses = [outrun_loss(300.0, rho, T0)[0] for rho in (1.0, 0.5, 0.1, 0.01)]
    assert losses == sorted(losses)
    assert losses[-1] == pytest.approx(3.0 * 300.0**2 / 0.01, rel=1e-12)


def test_derivatives():
    rng = np.random.default_rng(5)
    for _ in range(500):
        x = np.array([rng.uniform(-900.0, 900.0), rng.uniform(0.5, 2.0), rng.uniform(150.0, 400.0)])
        exact = outrun_loss(*x)
        share = (x[0] / x[1]) ** 2 / (2.0 * CP * x[2])
        if min(abs(share - BEGINS), abs(share - FULL)) < 1e-3:
            continue
        for i in range(3):
            h = 1e-5 * x[i]
            up, down = x.copy(), x.copy()
            up[i] += h
            down[i] -= h
            slope = (outrun_loss(*up)[0] - outrun_loss(*down)[0]) / (2.0 * h)
            assert exact[1 + i] == pytest.approx(slope, rel=1e-5, abs=1e-5 * (abs(exact[0] / x[i]) + 1.0))


def test_it_is_smooth_where_it_begins_and_where_it_is_full():
    for share in (BEGINS, FULL):
        speed = math.sqrt(share * 2.0 * CP * T0)
        below, above = (outrun_loss(f * speed, 1.0, T0) for f in (1.0 - 1e-7, 1.0 + 1e-7))
        assert above == pytest.approx(below, rel=1e-5, abs=1e-5 * 3.0 * speed**2)
