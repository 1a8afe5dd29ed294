"""Side force and braking force at once: the locked wheel, the friction circle, what braking leaves of side force."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pneusim.physics.adhesion import burckhardt
from pneusim.physics.combined_slip import combined_force
from pneusim.physics.surface_fit import peak

DRY = (0.89607, 23.99, 0.364, 0.006)  # dry asphalt, a truck's tyre
LOAD, V = 30e3, 20.0


def dry(slip):
    return burckhardt(slip, 0.0, V, *DRY)[0]


def force(slip, degrees, camber=0.0):
    return combined_force(LOAD, slip, math.radians(degrees), dry, camber=math.radians(camber))


@pytest.mark.parametrize("degrees", [-30.0, -3.0, 0.0, 2.0, 7.0, 45.0, 89.0])
@pytest.mark.parametrize("camber", [0.0, 3.0])
def test_a_locked_wheel_pushes_exactly_against_its_velocity(degrees, camber):
    along, across = force(1.0, degrees, camber)
    assert math.atan2(-across, -along) == pytest.approx(math.radians(degrees), abs=1e-15)
    assert math.hypot(along, across) == pytest.approx(LOAD * dry(1.0), rel=1e-12)


def test_without_slip_angle_it_is_the_curve_of_braking():
    for slip in (0.0, 0.05, 0.17, 1.0):
        assert force(slip, 0.0) == pytest.approx((-LOAD * dry(slip), 0.0), abs=1e-9)


def test_a_wheel_that_neither_slips_nor_leans_has_no_force():
    assert force(0.0, 0.0) == (0.0, 0.0)


def test_the_two_forces_share_one_peak():
    largest = LOAD * peak(burckhardt, DRY, V)[1]
    points = np.random.default_rng(3).uniform([0.0, -60.0], [1.0, 60.0], (3000, 2))
    assert max(math.hypot(*force(*point)) for point in points) <= largest * (1.0 + 1e-9)


def test_braking_takes_side_force_away():
    across = [abs(force(slip, 5.0)[1]) for slip in np.linspace(0.0, 1.0, 101)]
    assert (np.diff(across) < 0.0).all()


def test_signs_follow_the_velocity():
    assert force(0.1, 4.0)[0] < 0.0
    assert force(0.1, 4.0)[1] == -force(0.1, -4.0)[1] < 0.0
    assert force(-0.1, 4.0)[0] > 0.0


# Regression values: our own, from an earlier reckoning of the same law.
@pytest.mark.parametrize(
    ("slip", "degrees", "camber", "expected"),
    [
        (0.0, 2.0, 0.0, 5.86), (0.1, 2.0, 0.0, 2.99), (0.2, 2.0, 0.0, 1.87), (1.0, 2.0, 0.0, 0.55),
        (0.0, 5.0, 0.0, 12.24), (0.1, 5.0, 0.0, 7.25), (0.2, 5.0, 0.0, 4.61), (1.0, 5.0, 0.0, 1.37),
        (0.0, 0.0, 3.0, 1.61), (0.2, 0.0, 3.0, 0.37), (1.0, 0.0, 3.0, 0.0),
    ],
)  # fmt: skip
def test_side_forces_of_a_truck_tyre(slip, degrees, camber, expected):
    assert -force(slip, degrees, camber)[1] / 1e3 == pytest.approx(expected, abs=0.006)
