"""Yaw stability: the linear matrix against the exact equations of rigid bodies, and what textbooks say of locks."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.physics import divergence
from pneusim.physics.divergence import CORNERING, YawAxle, YawUnit, divergence_rate

STEER, DRIVE, TRAILER = range(3)


def axle(at, load, number, locked, braking=0.5):
    return YawAxle(at, load, braking if number in locked else 0.0, number in locked)


def train(*locked, braking=0.5):
    tractor = YawUnit(8e3, 22e3, 1.3, (axle(0.0, 85e3, 0, locked, braking), axle(3.8, 110e3, 1, locked, braking)), 3.2)
    return [tractor, YawUnit(30e3, 3e5, 5.0, (axle(7.7, 178e3, 2, locked, braking),))]


def two_axles(*locked):
    return [YawUnit(8e3, 22e3, 1.3, (axle(0.0, 40e3, 0, locked), axle(3.8, 40e3, 1, locked)))]


def three_units():
    """A road train whose first unit locks its rear axle while the others brake as they roll."""
    first = YawUnit(9e3, 25e3, 1.4, (YawAxle(0.0, 8e4, 0.3), YawAxle(3.8, 1e5, 0.4, locked=True)), 3.3)
    second = YawUnit(28e3, 3e5, 5.0, (YawAxle(7.7, 1.7e5, 0.25),), 9.0)
    return [first, second, YawUnit(18e3, 8e4, 3.0, (YawAxle(2.6, 8e4, 0.2), YawAxle(3.8, 8e4, 0.2)))]


def acceleration(units, q, dq):
    """Exact accelerations of (x, y, headings): rigid bodies on pins, forces along and across the wheels."""
    n, headings, turning = len(units), q[2:], dq[2:]
    mass, force, arms = np.zeros((n + 2, n + 2)), np.zeros(n + 2), np.zeros(n)

    def point():
        rows = np.zeros((2, n + 2))
        rows[0, 0] = rows[1, 1] = 1.0
        rows[:, 2:] = arms * np.sin(headings), -arms * np.cos(headings)
        return rows, np.array([np.cos(headings), np.sin(headings)]) @ (arms * turning**2)

    for i, unit in enumerate(units):
        origin = unit.centre if i == 0 else 0.0
        arms[i] = unit.centre - origin
        rows, bias = point()
        mass += unit.mass * rows.T @ rows
        mass[i + 2, i + 2] += unit.inertia
        force -= unit.mass * rows.T @ bias
        ahead = np.array([np.cos(headings[i]), np.sin(headings[i])])
        left = np.array([-ahead[1], ahead[0]])
        for one in unit.axles:
            arms[i] = one.at - origin
            rows, _ = point()
            velocity = rows @ dq
            if one.locked:
                push = -one.braking * one.load * velocity / np.hypot(*velocity)
            else:
                side = CORNERING * one.load * np.arctan2(velocity @ left, velocity @ ahead)
                push = -one.braking * one.load * ahead - side * left
            force += rows.T @ push
        arms[i] = (unit.hitch or 0.0) - origin
    return np.linalg.solve(mass, force)


def exact_matrix(units, V, step=1e-6):
    """Derivative of the rates of (beta, headings, turning) about straight running, by central differences."""
    n = len(units)

    def rates(z):
        velocity = V * np.array([np.cos(z[0]), np.sin(z[0])])
        found = acceleration(units, np.concatenate([[0.0, 0.0], z[1 : n + 1]]), np.concatenate([velocity, z[n + 1 :]]))
        beta = (velocity[0] * found[1] - velocity[1] * found[0]) / V**2
        return np.concatenate([[beta], z[n + 1 :], found[2:]])

    return np.array([(rates(step * e) - rates(-step * e)) / (2.0 * step) for e in np.eye(2 * n + 1)]).T


CASES = {
    "rolling": train(), "steer": train(STEER), "drive": train(DRIVE), "trailer": train(TRAILER),
    "all": train(STEER, DRIVE, TRAILER), "alone": two_axles(1), "three": three_units(),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("V", [25.0, 8.0])
def test_the_matrix_is_that_of_rigid_bodies_on_pins(name, V):
    linear = divergence._dynamics(CASES[name], V, CORNERING)
    assert linear == pytest.approx(exact_matrix(CASES[name], V), abs=1e-8 * np.abs(linear).max())


@pytest.mark.parametrize("name", CASES)
def test_turning_the_whole_train_changes_nothing(name):
    n = len(CASES[name])
    turned = np.concatenate([np.ones(n + 1), np.zeros(n)])
    matrix = divergence._dynamics(CASES[name], 15.0, CORNERING)
    assert matrix @ turned == pytest.approx(0.0, abs=1e-12 * np.abs(matrix).max())


@pytest.mark.parametrize("V", [8.0, 12.0, 20.0, 28.0])
def test_a_vehicle_with_locked_front_wheels_runs_straight_and_with_locked_rear_wheels_turns_round(V):
    """Gillespie, Fundamentals of Vehicle Dynamics, and Limpert, Brake Design and Safety, locked axles (from memory)."""
    assert divergence_rate(two_axles(0), V) < 0.0
    assert divergence_rate(two_axles(1), V) > 0.5


def test_a_tractor_that_locks_its_drive_axle_jackknifes_faster_than_a_locked_trailer_swings():
    """Common teaching on combinations, no source: steer lock - straight on, drive lock - jackknife, trailer - swing."""
    for V in (25.0, 15.0):
        steer, drive, trailer = (divergence_rate(train(one), V) for one in (STEER, DRIVE, TRAILER))
        assert steer < 0.0 < trailer < 0.2 * drive


def test_a_rolling_train_comes_back():
    assert all(divergence_rate(train(), V) < 0.0 for V in (8.0, 15.0, 25.0))


# Regression values: our own.
@pytest.mark.parametrize(
    ("locked", "rates"),
    [
        ((), (-0.38, -1.80, -1.17)), ((STEER,), (-1.05, -1.75, -1.36)), ((DRIVE,), (3.61, 2.82, 1.70)),
        ((TRAILER,), (0.56, 0.07, -0.41)), ((STEER, DRIVE, TRAILER), (0.72, 0.63, 0.47)),
    ],
)  # fmt: skip
def test_rates_of_a_tractor_and_semitrailer(locked, rates):
    assert [divergence_rate(train(*locked), V) for V in (25.0, 15.0, 8.0)] == pytest.approx(rates, abs=0.006)


def test_a_unit_that_tows_must_have_a_hitch():
    tractor, trailer = train()
    with pytest.raises(ValueError, match="unit 2 of 3 tows but has no hitch"):
        divergence_rate([tractor, trailer, trailer], 20.0)
