"""Every derivative of node and face against central differences: all kinds of ends, both directions."""

from collections import Counter

import numpy as np
import pytest

from pneusim.physics.constants import CV, R
from pneusim.physics.friction import sonic_end_pressure
from pneusim.physics.lines import line_face, line_face_gradient, line_node, line_node_gradient
from tests.physics.derivatives import central, crosses

ENDS = ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (2.0, 0.0), (0.0, 2.0), (1.0, 1.0))
STATES = ("p_l", "T_l", "u_l", "p_r", "T_r", "u_r", "w_left", "w", "w_right")
HEAT_COLUMNS = (1, 2, 4, 5, 7)


def random_face(rng):
    bore = rng.uniform(2e-3, 14e-3)
    area = rng.integers(1, 4) * np.pi / 4 * bore**2
    p = rng.uniform(0.6e5, 11e5)
    p_r = p * rng.uniform(0.7, 1.3) if rng.random() < 0.7 else rng.uniform(1e3, 1.2e5)
    p, p_r = (p, p_r) if rng.random() < 0.5 else (p_r, p)
    largest = 10.0 ** rng.uniform(rng.choice([-5.0, -0.7]), 0.0) * max(p, p_r) * area * 2.3e-3
    flows = largest * rng.uniform(-1.0, 1.0, 3)
    temperatures, velocities = rng.uniform(230.0, 380.0, 2), rng.uniform(-200.0, 200.0, 2)
    state = np.array([p, temperatures[0], velocities[0], p_r, temperatures[1], velocities[1], *flows])
    parameters = (
        area, bore, rng.uniform(0.1, 1.0), rng.choice([0.0, 1e-4, 5e-3]), rng.choice([0.0, 0.5, 1.0]),
        rng.choice([0.0, 0.0, 0.02]), *ENDS[rng.integers(len(ENDS))], rng.choice([0.0, 1.0]),
        rng.choice([-1.0, -1.0, 0.0, 50.0]), 293.15,
    )  # fmt: skip
    scales = np.array([p, 300.0, 100.0, p_r, 300.0, 100.0, *[abs(flows).max()] * 3])
    scales[7] = abs(flows[1])
    return state, parameters, scales


def kinks(parameters):
    """Functions of the state that vanish where the law changes branch."""
    area, bore, left, right = parameters[0], parameters[1], parameters[6], parameters[7]

    def sonic(x, side):
        u = x[2 if x[7] > 0.0 else 5] * (0.0 if (left if x[7] > 0.0 else right) else 1.0)
        total = x[1 if x[7] > 0.0 else 4] + 0.5 * u * u / (3.5 * R)
        return sonic_end_pressure(x[7] / area, total) - x[0 if side == 0 else 3]

    return [
        lambda x: x[6] + x[7],
        lambda x: x[7] + x[8],
        lambda x: abs(x[7]) / area * bore / 1.82e-5 - 500.0,
        lambda x: sonic(x, 0),
        lambda x: sonic(x, 1),
    ]


def full_jacobian(values):
    jacobian = np.zeros((4, 9))
    jacobian[0] = values[4:13]
    for row in (1, 2, 3):
        jacobian[row, HEAT_COLUMNS] = values[8 + 5 * row : 13 + 5 * row]
    return jacobian


def test_face_gradient_against_central_differences():
    rng = np.random.default_rng(11)
    seen = Counter()
    for _ in range(6000):
        state, parameters, scales = random_face(rng)
        if crosses(state, scales, kinks(parameters)):
            continue
        rates = np.array(line_face(*state, *parameters))
        values = np.array(line_face_gradient(*state, *parameters))
        assert values[:4] == pytest.approx(rates, rel=1e-10, abs=1e-11 * abs(rates).max())
        numeric = central(lambda *x, par=parameters: line_face(*x, *par), state, scales)
        analytic = full_jacobian(values) * scales
        # rounding of the difference quotient: of the largest term, divided by the step
        terms = np.maximum(abs(analytic).max(axis=1), abs(rates))
        terms[0] = max(terms[0], state[[0, 3]].max() * parameters[0] / parameters[2])
        assert np.isfinite(analytic).all()
        assert (abs(analytic - numeric) <= 1e-6 * abs(numeric) + 1e-7 * terms[:, None]).all(), (
            state,
            parameters,
        )
        direction = "forward" if state[7] > 0.0 else "back"
        seen[direction, parameters[6:8]] += 1
        outlet = parameters[7] if state[7] > 0.0 else parameters[6]
        if outlet and kinks(parameters)[4 if state[7] > 0.0 else 3](state) > 0.0:
            seen["choked", direction] += 1
    assert all(seen[direction, ends] > 200 for direction in ("forward", "back") for ends in ENDS)
    assert seen["choked", "forward"] > 40
    assert seen["choked", "back"] > 40


def test_node_gradient_against_central_differences():
    rng = np.random.default_rng(12)
    for _ in range(500):
        area = rng.uniform(3e-6, 3e-4)
        volume = area * rng.uniform(0.1, 1.0)
        mass = rng.uniform(0.5e5, 11e5) * volume / (R * 293.15)
        flows = rng.uniform(-1.0, 1.0, 2) * mass * 250.0 * area / volume
        x = np.array([mass, mass * CV * rng.uniform(270.0, 350.0), *flows])
        scales = np.array([x[0], x[1], *[abs(flows).max()] * 2])
        p, T, u, p_m, p_E, p_w, T_m, T_E, T_w, u_m, u_w = line_node_gradient(*x, volume, area)
        state = line_node(*x, volume, area)
        assert (p, T, u) == pytest.approx(state, rel=1e-12)
        analytic = np.array([[p_m, p_E, p_w, p_w], [T_m, T_E, T_w, T_w], [u_m, 0.0, u_w, u_w]]) * scales
        numeric = central(lambda *y, v=volume, a=area: line_node(*y, v, a), x, scales)
        assert (abs(analytic - numeric) <= 1e-7 * np.maximum(abs(analytic).max(axis=1), 1e-3)[:, None]).all()


def test_gradient_at_rest_is_finite():
    for left, right in ENDS:
        values = line_face_gradient(
            5e5, 293.15, 0.0, 5e5, 293.15, 0.0, 0.0, 0.0, 0.0,
            6e-5, 9e-3, 1.0, 1e-4, 0.5, 0.0, left, right, 0.0, -1.0, 293.15,
        )  # fmt: skip
        assert np.isfinite(values).all()
        assert values[11] < 0.0  # laminar friction damps even at rest
