"""Every derivative of node and face against central differences: all kinds of ends, both directions."""

from collections import Counter

import numpy as np
import pytest

from pneusim.physics.constants import CV, R
from pneusim.physics.friction import sonic_end_pressure
from pneusim.physics.lines import (
    line_face,
    line_face_gradient,
    line_heat,
    line_heat_gradient,
    line_node,
    line_node_gradient,
    line_wall,
    line_wall_gradient,
)
from tests.physics.derivatives import central, crosses

ENDS = ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (2.0, 0.0), (0.0, 2.0), (1.0, 1.0))
ENTHALPY_COLUMNS = (1, 2, 4, 5, 7)


def random_face(rng):
    bore = rng.uniform(2e-3, 14e-3)
    area = rng.integers(1, 4) * np.pi / 4 * bore**2
    p = rng.uniform(0.6e5, 11e5)
    p_r = p * rng.uniform(0.7, 1.3) if rng.random() < 0.7 else rng.uniform(1e3, 1.2e5)
    p, p_r = (p, p_r) if rng.random() < 0.5 else (p_r, p)
    largest = 10.0 ** rng.uniform(rng.choice([-5.0, -0.7]), 0.0) * max(p, p_r) * area * 2.3e-3
    flows = largest * rng.uniform(-1.0, 1.0, 3)
    temperatures, velocities = rng.uniform(230.0, 380.0, 2), rng.uniform(-200.0, 200.0, 2)
    length = rng.uniform(0.1, 1.0)
    number, _ = line_wall(flows[1], area, bore, length, rng.choice([0.0, 1e-4, 5e-3]), rng.choice([0.0, 0.02]), 0.0)
    state = np.array([p, temperatures[0], velocities[0], p_r, temperatures[1], velocities[1], *flows, number])
    parameters = (
        area, bore, length, rng.choice([0.0, 0.5, 1.0]), *ENDS[rng.integers(len(ENDS))], rng.choice([0.0, 1.0]),
    )  # fmt: skip
    scales = np.array([p, 300.0, 100.0, p_r, 300.0, 100.0, *[abs(flows).max()] * 3, number])
    scales[7] = abs(flows[1])
    return state, parameters, scales


def kinks(parameters):
    """Functions of the state that vanish where the law changes branch."""
    area, left, right = parameters[0], parameters[4], parameters[5]

    def sonic(x, side):
        u = x[2 if x[7] > 0.0 else 5] * (0.0 if (left if x[7] > 0.0 else right) else 1.0)
        total = x[1 if x[7] > 0.0 else 4] + 0.5 * u * u / (3.5 * R)
        return sonic_end_pressure(x[7] / area, total) - x[0 if side == 0 else 3]

    return [
        lambda x: x[6] + x[7],
        lambda x: x[7] + x[8],
        lambda x: x[7],
        lambda x: sonic(x, 0),
        lambda x: sonic(x, 1),
    ]


def full_jacobian(values):
    jacobian = np.zeros((2, 10))
    jacobian[0] = values[2:12]
    jacobian[1, ENTHALPY_COLUMNS] = values[12:17]
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
        assert values[:2] == pytest.approx(rates, rel=1e-10, abs=1e-11 * abs(rates).max())
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
        seen[direction, parameters[4:6]] += 1
        outlet = parameters[5] if state[7] > 0.0 else parameters[4]
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


def test_wall_gradient_against_central_differences():
    rng = np.random.default_rng(13)
    for _ in range(1000):
        bore = rng.uniform(2e-3, 14e-3)
        pipe = (
            np.pi / 4 * bore**2, bore, rng.uniform(0.1, 1.0), rng.choice([0.0, 1e-4, 5e-3]),
            rng.choice([0.0, 0.0, 0.02]), rng.choice([-1.0, -1.0, 0.0, 50.0]),
        )  # fmt: skip
        reynolds = 10.0 ** rng.uniform(1.0, 6.0)
        w = np.array([rng.choice([-1.0, 1.0]) * reynolds * 1.82e-5 * pipe[0] / bore])
        number, conductance, *slopes = line_wall_gradient(w[0], *pipe)
        assert (number, conductance) == pytest.approx(line_wall(w[0], *pipe), rel=1e-13)
        film_floor = 3.66 * 1.82e-5 * 1004.675 / 0.71 / bore * 2 * pipe[0] * pipe[2] / bore
        if crosses(w, abs(w), [lambda x, a=pipe[0], d=bore: abs(x[0]) / a * d / 1.82e-5 - 1000.0]):
            continue
        if abs(conductance / film_floor - 1.0) < 1e-3:
            continue
        numeric = central(lambda x, pipe=pipe: line_wall(x, *pipe), w, abs(w))[:, 0]
        analytic = np.array(slopes) * abs(w)
        assert analytic == pytest.approx(numeric, rel=1e-6, abs=1e-8 * number)


def test_heat_gradient_against_central_differences():
    rng = np.random.default_rng(14)
    for _ in range(300):
        x = np.array([rng.uniform(230.0, 380.0), rng.uniform(-200.0, 200.0), *rng.uniform(0.0, 30.0, 2)])
        fields = (*rng.choice([0.0, 1.0, 2.0], 2), 293.15)
        heat, *slopes = line_heat_gradient(*x, *fields)
        assert heat == line_heat(*x, *fields)
        scales = np.array([300.0, 200.0, 30.0, 30.0])
        numeric = central(lambda *y, fields=fields: line_heat(*y, *fields), x, scales)[0]
        assert np.array(slopes) * scales == pytest.approx(numeric, rel=1e-7, abs=1e-4)


def test_gradient_at_rest_is_finite():
    for left, right in ENDS:
        values = line_face_gradient(
            5e5, 293.15, 0.0, 5e5, 293.15, 0.0, 0.0, 0.0, 0.0, 64.0, 6e-5, 9e-3, 1.0, 0.5, left, right, 0.0
        )
        assert np.isfinite(values).all()
        assert values[9] < 0.0  # laminar friction damps even at rest
    assert line_wall_gradient(0.0, 6e-5, 9e-3, 1.0, 1e-4, 0.0, -1.0)[2:] == (0.0, 0.0)
