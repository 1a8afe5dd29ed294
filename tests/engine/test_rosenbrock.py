"""The Rosenbrock integrator on problems of its own: it knows nothing of air, nor do these."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from numba import njit
from numba.core.dispatcher import Dispatcher
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from pneusim.engine import rosenbrock, sparse
from pneusim.engine.rodas4 import Rodas4
from pneusim.engine.rosenbrock import JAC_TYPE, OBS_TYPE, RHS_TYPE, Flag
from pneusim.engine.tableau import RODAS4

FloatArray = NDArray[np.float64]

# ------------------------------------------------------------------ problems; k holds positions, F parameters


@njit(OBS_TYPE)
def observe_all(t, y, k, F, v):
    for m in range(y.size):
        v[m] = y[m]
    v[y.size] = t


@njit(RHS_TYPE)
def forced_rhs(t, y, dy, k, F, v):
    """Nonlinear, coupled, driven by the time in both equations."""
    dy[0] = -y[0] * y[1] + math.cos(3.0 * t)
    dy[1] = y[0] * y[0] - F[0] * y[1] + math.sin(2.0 * t)


@njit(JAC_TYPE)
def forced_jac(t, y, dy, jv, k, F, v, g):
    forced_rhs(t, y, dy, k, F, v)
    jv[:] = 0.0
    jv[k[0]], jv[k[1]] = y[1], y[0]
    jv[k[2]], jv[k[3]] = -2.0 * y[0], F[0]
    jv[4], jv[5] = 3.0 * math.sin(3.0 * t), -2.0 * math.cos(2.0 * t)


@njit(RHS_TYPE)
def relaxation_rhs(t, y, dy, k, F, v):
    """Van der Pol's oscillator in Lienard's stiff form."""
    dy[0] = y[1]
    dy[1] = F[0] * ((1.0 - y[0] * y[0]) * y[1] - y[0])


@njit(JAC_TYPE)
def relaxation_jac(t, y, dy, jv, k, F, v, g):
    relaxation_rhs(t, y, dy, k, F, v)
    jv[:] = 0.0
    jv[k[1]] = -1.0
    jv[k[2]] = F[0] * (2.0 * y[0] * y[1] + 1.0)
    jv[k[3]] = -F[0] * (1.0 - y[0] * y[0])


@njit(RHS_TYPE)
def swing_rhs(t, y, dy, k, F, v):
    """Harmonic oscillation of angular frequency F[0]."""
    dy[0] = y[1]
    dy[1] = -F[0] * F[0] * y[0]


@njit(JAC_TYPE)
def swing_jac(t, y, dy, jv, k, F, v, g):
    swing_rhs(t, y, dy, k, F, v)
    jv[:] = 0.0
    jv[k[1]] = -1.0
    jv[k[2]] = F[0] * F[0]


@njit(RHS_TYPE)
def chain_rhs(t, y, dy, k, F, v):
    """Compartments that exchange y_i^2 - y_(i+1)^2; the last one leaks into an accumulator."""
    n = y.size
    dy[:] = 0.0
    for m in range(n - 2):
        flow = F[m] * (y[m] * y[m] - y[m + 1] * y[m + 1])
        dy[m] -= flow
        dy[m + 1] += flow
    leak = F[n - 2] * y[n - 2]
    dy[n - 2] -= leak
    dy[n - 1] += leak


@njit(JAC_TYPE)
def chain_jac(t, y, dy, jv, k, F, v, g):
    chain_rhs(t, y, dy, k, F, v)
    n = y.size
    jv[:] = 0.0
    for m in range(n - 2):
        up, down = 2.0 * F[m] * y[m], 2.0 * F[m] * y[m + 1]
        jv[k[4 * m]] += up
        jv[k[4 * m + 1]] -= down
        jv[k[4 * m + 2]] -= up
        jv[k[4 * m + 3]] += down
    jv[k[4 * n - 8]] += F[n - 2]
    jv[k[4 * n - 7]] -= F[n - 2]


@njit(RHS_TYPE)
def guarded_rhs(t, y, dy, k, F, v):
    """Square-root decay, undefined (not a number) below zero."""
    dy[0] = -F[0] * math.sqrt(y[0])


@njit(JAC_TYPE)
def guarded_jac(t, y, dy, jv, k, F, v, g):
    guarded_rhs(t, y, dy, k, F, v)
    jv[k[0]] = 0.5 * F[0] / math.sqrt(y[0])
    jv[1] = 0.0


@njit(RHS_TYPE)
def cliff_rhs(t, y, dy, k, F, v):
    """Harmless first state; the second has no value after t = 1."""
    dy[0] = -y[0]
    dy[1] = math.sqrt(1.0 - t)


@njit(JAC_TYPE)
def cliff_jac(t, y, dy, jv, k, F, v, g):
    cliff_rhs(t, y, dy, k, F, v)
    jv[:] = 0.0
    jv[k[0]] = 1.0


@njit(RHS_TYPE)
def jumping_rhs(t, y, dy, k, F, v):
    """The second state is driven back and forth across a jump of its rate."""
    dy[0] = -y[0]
    dy[1] = -F[0] if y[1] > 0.0 else F[0]


@njit(JAC_TYPE)
def jumping_jac(t, y, dy, jv, k, F, v, g):
    jumping_rhs(t, y, dy, k, F, v)
    jv[:] = 0.0
    jv[k[0]] = 1.0


TWO_BY_TWO = np.array([0, 0, 1, 1]), np.array([0, 1, 0, 1])


def build(
    rhs: Any, jac: Any, n: int, entries: Any = TWO_BY_TWO, parameters: Any = (1.0,), **options: Any
) -> Rodas4:
    symbolic = sparse.analyse(n, *entries)
    tape = symbolic.positions(*entries), np.array(parameters, float), np.zeros(n + 1), np.zeros(1)
    options = {"rtol": 1e-6, "atol": 1e-8, "capacity": 5000} | options
    return Rodas4(rhs, jac, observe_all, symbolic, tape, **options)


def chain(
    n: int, seed: int = 0, decades: tuple[float, float] = (-2.0, 4.0), **options: Any
) -> tuple[Rodas4, FloatArray]:
    """Chain of n - 1 compartments, rates spread over the decades, and its accumulator."""
    m = np.arange(n - 2)
    rows = np.append(np.stack([m, m, m + 1, m + 1], 1).ravel(), [n - 2, n - 1])
    cols = np.append(np.stack([m, m + 1, m, m + 1], 1).ravel(), [n - 2, n - 2])
    rng = np.random.default_rng(seed)
    rates = 10.0 ** rng.uniform(*decades, n - 1)
    return build(chain_rhs, chain_jac, n, (rows, cols), rates, **options), np.append(
        rng.uniform(1, 9, n - 1), 0.0
    )


def fixed_steps(h: float, t_end: float) -> tuple[Rodas4, FloatArray, int]:
    """The forced problem with steps that are always accepted."""
    method = build(forced_rhs, forced_jac, 2, parameters=[2.0], rtol=0.0, atol=1e12)
    y = np.array([1.0, 0.5])
    method.restart(h)
    t, flag, steps = method.advance(0.0, t_end, y, h_max=h)
    assert (t, flag, steps) == (t_end, Flag.REACHED, round(t_end / h))
    return method, y, steps


def forced_reference(t_end: float) -> Any:
    def f(t: float, y: FloatArray) -> list[float]:
        return [-y[0] * y[1] + math.cos(3 * t), y[0] ** 2 - 2.0 * y[1] + math.sin(2 * t)]

    return solve_ivp(f, (0.0, t_end), [1.0, 0.5], method="DOP853", rtol=1e-13, atol=1e-14, dense_output=True)


# ------------------------------------------------------------------ the method


def classical() -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """alpha, beta = alpha + Gamma, weights and embedded weights of the method in its original variables."""
    stages = len(RODAS4.c)
    gamma = np.linalg.inv(np.eye(stages) / RODAS4.gamma - RODAS4.C)
    alpha = RODAS4.a @ gamma
    embedded = RODAS4.a[-1] @ gamma
    return alpha, alpha + gamma, embedded + gamma[-1], embedded


def order_conditions(alpha: FloatArray, beta: FloatArray, b: FloatArray) -> dict[int, list[float]]:
    """Defects of the conditions up to order 4 (Hairer and Wanner, section IV.7, Table 7.1)."""
    a, e = alpha.sum(1), beta.sum(1)
    return {
        1: [b.sum() - 1],
        2: [b @ e - 1 / 2],
        3: [b @ a**2 - 1 / 3, b @ beta @ e - 1 / 6],
        4: [
            b @ a**3 - 1 / 4,
            b @ (a * (alpha @ e)) - 1 / 8,
            b @ beta @ a**2 - 1 / 12,
            b @ beta @ beta @ e - 1 / 24,
        ],
    }


def test_order_conditions_hold() -> None:
    alpha, beta, b, embedded = classical()
    for order, defects in order_conditions(alpha, beta, b).items():
        assert np.abs(defects).max() < 2e-14, order
    estimate = order_conditions(alpha, beta, embedded)
    assert all(np.abs(estimate[order]).max() < 2e-14 for order in (1, 2, 3))
    assert np.abs(estimate[4]).max() > 1e-3, "the embedded method must differ, or it estimates nothing"


def test_times_and_derivative_weights_are_consistent() -> None:
    alpha, beta, _, _ = classical()
    np.testing.assert_allclose(alpha.sum(1), RODAS4.c, atol=2e-14)
    np.testing.assert_allclose((beta - alpha).sum(1), RODAS4.d, atol=2e-14)


def test_method_is_stiffly_accurate_and_l_stable() -> None:
    """The last row of beta is b, and R(z) = 1 + z b (I - z beta)^-1 1 vanishes at infinity."""
    _, beta, b, embedded = classical()
    np.testing.assert_allclose(beta[-1], b, atol=2e-14)
    np.testing.assert_allclose(beta[-2], embedded, atol=2e-14)

    def growth(z: complex) -> float:
        ones = np.ones(len(b))
        return float(abs(1 + z * (b @ np.linalg.solve(np.eye(len(b)) - z * beta, ones))))

    assert growth(-1e9) < 1e-6
    assert max(growth(1j * w) for w in np.geomspace(1e-2, 1e4, 200)) <= 1 + 1e-12


def test_fixed_steps_converge_with_order_four() -> None:
    reference = forced_reference(2.0).y[:, -1]
    errors = [np.abs(fixed_steps(h, 2.0)[1] - reference).max() for h in (2.0**-4, 2.0**-5, 2.0**-6)]
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert np.all(orders > 3.8), orders


def test_dense_output_converges_with_order_three_or_more() -> None:
    """Largest error over the inside of all steps, so that error of the steps themselves counts too."""
    reference = forced_reference(2.0).sol
    errors = []
    for h in (2.0**-4, 2.0**-5, 2.0**-6):
        method, _, steps = fixed_steps(h, 2.0)
        out, worst = np.empty(2), 0.0
        for k in range(steps):
            for theta in (0.2, 0.5, 0.8):
                rosenbrock.dense(method.states[k], method.states[k + 1], method.vectors[k], theta, out)
                worst = max(worst, np.abs(out - reference(method.times[k] + theta * h)).max())
        errors.append(worst)
    orders = np.log2(np.array(errors[:-1]) / errors[1:])
    assert np.all(orders > 3.0), orders


def test_dense_output_meets_both_ends() -> None:
    method, _, steps = fixed_steps(2.0**-3, 2.0)
    out = np.empty(2)
    for k in range(steps):
        for theta in (0, 1):
            rosenbrock.dense(method.states[k], method.states[k + 1], method.vectors[k], float(theta), out)
            np.testing.assert_array_equal(out, method.states[k + theta])


@pytest.mark.parametrize(("tolerance", "error"), [(1e-4, 3e-3), (1e-6, 3e-5), (1e-8, 3e-7)])
def test_stiff_oscillator_agrees_with_radau(tolerance: float, error: float) -> None:
    """Van der Pol's oscillator (stiffness 1e6) over more than one jump, at a smooth instant."""
    method = build(relaxation_rhs, relaxation_jac, 2, parameters=[1e6], rtol=tolerance, atol=tolerance)
    y = np.array([2.0, -0.66])
    assert method.advance(0.0, 1.5, y)[1] == Flag.REACHED
    reference = solve_ivp(
        lambda t, y: [y[1], 1e6 * ((1 - y[0] ** 2) * y[1] - y[0])],
        (0.0, 1.5), [2.0, -0.66], method="Radau", rtol=1e-10, atol=1e-11,
        jac=lambda t, y: [[0, 1], [1e6 * (-2 * y[0] * y[1] - 1), 1e6 * (1 - y[0] ** 2)]],
    ).y[:, -1]  # fmt: skip
    assert np.abs(y - reference).max() < error
    assert method.stats[0] < 5000


# ------------------------------------------------------------------ invariants, records, chunks


@pytest.mark.parametrize("tolerance", [1e-3, 1e-6])
@pytest.mark.parametrize(("decades", "bound"), [((0.0, 0.0), 1e-15), ((-2.0, 4.0), 2e-14)])
def test_linear_invariant_is_kept_to_rounding(
    decades: tuple[float, float], bound: float, tolerance: float
) -> None:
    """At every step and tolerance; rounding in a solve grows with step times rate, so stiffness counts."""
    method, y = chain(237, decades=decades, rtol=tolerance, atol=tolerance)
    total = math.fsum(y)
    _, flag, steps = method.advance(0.0, 50.0, y)
    assert flag == Flag.REACHED
    assert y[-1] > 0.01 * total, "something must have moved"
    for k in range(steps + 1):
        assert abs(math.fsum(method.states[k]) - total) <= bound * total
    out = np.empty_like(y)
    rosenbrock.dense(method.states[5], method.states[6], method.vectors[5], 0.3, out)
    assert abs(math.fsum(out) - total) <= bound * total


def collected(method: Rodas4, y: FloatArray, t_end: float, **options: Any) -> dict[str, FloatArray]:
    """All records up to t_end, whatever the capacity."""
    t, flag = 0.0, Flag.FULL
    times, states, vectors = [np.zeros(1)], [y[None].copy()], []
    while flag == Flag.FULL:
        t, flag, steps = method.advance(t, t_end, y, **options)
        times.append(method.times[1 : steps + 1].copy())
        states.append(method.states[1 : steps + 1].copy())
        vectors.append(method.vectors[:steps].copy())
    return {
        "times": np.concatenate(times),
        "states": np.concatenate(states),
        "vectors": np.concatenate(vectors),
        "stats": method.stats[:2].astype(float),
        "end": np.append(y, [t, float(flag)]),
    }


@pytest.mark.parametrize("capacity", [1, 2, 7, 64])
@pytest.mark.parametrize("level", [0.25, 1e9])
def test_result_does_not_depend_on_the_record_size(capacity: int, level: float) -> None:
    n, results = 60, []
    for size in (5000, capacity):
        method, y = chain(n, capacity=size)
        y[: n // 2] = 0.1
        results.append(collected(method, y, 20.0, events=([0], [level], [1.0])))
    assert results[0]["stats"][1] > 0, "rejected steps must be among those compared"
    for name, whole in results[0].items():
        assert whole.tobytes() == results[1][name].tobytes(), name


def test_steps_join_and_end_exactly() -> None:
    method, y = chain(40)
    record = collected(method, y, 3.7)
    assert record["times"][-1] == 3.7
    assert np.all(np.diff(record["times"]) > 0)
    np.testing.assert_array_equal(record["states"][-1], y)


def test_last_step_ends_exactly_however_long_it_is() -> None:
    """At rest the steps grow sixfold, and t + (t_end - t) then often misses t_end by a rounding."""
    for t_end in np.random.default_rng(0).uniform(0.1, 50.0, 60):
        method, y = chain(4)
        y[:] = 0.0
        t, _, steps = method.advance(0.0, t_end, y)
        assert t == t_end
        assert method.times[steps] == t_end


@pytest.mark.parametrize(
    ("memory", "factor"),
    [
        ([0.0, 0.0, 0.0], 0.5**0.25 / 0.9),
        ([2.0, 0.1, 0.0], (2.0**4 * 0.5**2 / 0.1) ** 0.25 / 0.9),
        ([0.5, 0.5, 1.0], 1.0),
    ],
    ids=["first", "predictive", "after a rejection"],
)
def test_next_step(memory: list[float], factor: float) -> None:
    """Hairer and Wanner, section IV.8: standard, predictive, no growth after a rejection."""
    info = np.array(memory)
    assert rosenbrock._next_step(1.0, 0.5, 4.0, info) == pytest.approx(1.0 / factor)
    np.testing.assert_array_equal(info, [1.0, 0.5, 0.0])


def test_longest_step_is_kept() -> None:
    method, y = chain(20)
    assert np.diff(collected(method, y, 5.0, h_max=0.02)["times"]).max() <= 0.02 * (1 + 1e-12)


def test_rest_is_integrated_in_few_steps() -> None:
    method, y = chain(30)
    y[:] = 0.0
    t, flag, steps = method.advance(0.0, 600.0, y)
    assert (t, flag) == (600.0, Flag.REACHED)
    assert steps < 25
    assert np.all(y == 0.0)


# ------------------------------------------------------------------ events


def swing(omega: float, **options: Any) -> tuple[Rodas4, FloatArray]:
    return build(swing_rhs, swing_jac, 2, parameters=[omega], **options), np.array([0.0, 1.0])


def test_event_time_and_state_are_accurate() -> None:
    """sin t rises through 0.5 at pi/6."""
    method, y = swing(1.0, rtol=1e-9, atol=1e-11)
    t, flag, steps = method.advance(0.0, 10.0, y, events=([0], [0.5], [1.0]))
    assert flag == Flag.EVENT
    assert t == pytest.approx(math.pi / 6, abs=1e-8)
    np.testing.assert_allclose(y, [0.5, math.cos(math.pi / 6)], atol=1e-8)
    assert y[0] >= 0.5, "a level test at the event must find it"
    assert method.times[steps] == t
    np.testing.assert_array_equal(method.states[steps], y)


def test_event_is_located_to_rounding_in_time() -> None:
    """A value that is the time itself: what remains is the bisection's own error."""
    method, y = swing(1.0)
    t, flag, _ = method.advance(0.0, 10.0, y, events=([2], [math.pi], [1.0]))
    assert flag == Flag.EVENT
    assert t == pytest.approx(math.pi, rel=1e-12)


def test_falling_event_and_earliest_of_several() -> None:
    method, y = swing(1.0, rtol=1e-8, atol=1e-10)
    events = ([0, 0, 1], [0.5, -0.5, 0.0], [-1.0, -1.0, -1.0])
    t, flag, _ = method.advance(0.0, 20.0, y, events=events)
    assert flag == Flag.EVENT
    assert t == pytest.approx(math.pi / 2, abs=1e-6), "cos t falls through 0 first"


def test_level_that_already_holds_does_not_fire() -> None:
    """It must fall below and rise again: sin t comes back through -0.5 at 2 pi - pi/6."""
    method, y = swing(1.0, rtol=1e-8, atol=1e-10)
    t, flag, _ = method.advance(0.0, 20.0, y, events=([0], [-0.5], [1.0]))
    assert flag == Flag.EVENT
    assert t == pytest.approx(2 * math.pi - math.pi / 6, abs=1e-5)


def test_two_crossings_inside_one_step_are_found() -> None:
    """The level is above zero only around the middle of a single step; its ends do not show it."""
    method, y = swing(1.0, rtol=0.0, atol=1e12)
    h = 2.0
    y[:] = [math.cos(-1.0), -math.sin(-1.0)]  # a cosine with its top at t = 1
    method.restart(h)
    t, flag, steps = method.advance(0.0, h, y, events=([0], [0.9], [1.0]), h_max=h)
    assert (flag, steps) == (Flag.EVENT, 1)
    assert t == pytest.approx(1.0 - math.acos(0.9), abs=0.05), "the dense output of a huge step"


def test_record_of_a_cut_step_is_the_same_curve() -> None:
    whole, y = swing(1.0, rtol=0.0, atol=1e12)
    whole.restart(1.0)
    whole.advance(0.0, 1.0, y, h_max=1.0)
    cut, z = swing(1.0, rtol=0.0, atol=1e12)
    cut.restart(1.0)
    t, flag, _ = cut.advance(0.0, 1.0, z, events=([0], [0.6], [1.0]), h_max=1.0)
    assert flag == Flag.EVENT
    a, b = np.empty(2), np.empty(2)
    for theta in np.linspace(0.0, 1.0, 11):
        rosenbrock.dense(whole.states[0], whole.states[1], whole.vectors[0], theta * t, a)
        rosenbrock.dense(cut.states[0], cut.states[1], cut.vectors[0], theta, b)
        np.testing.assert_allclose(b, a, atol=1e-14)


def test_cutting_holds_for_a_full_quartic() -> None:
    """Rodas4 leaves the third dense vector zero; the rewriting must not rely on that."""
    rng = np.random.default_rng(1)
    y0, y1, d = rng.normal(size=4), rng.normal(size=4), rng.normal(size=(3, 4))
    theta, state = 0.37, np.empty(4)
    rosenbrock.dense(y0, y1, d, theta, state)
    cut_y1, cut_d = y1.copy(), d.copy()
    rosenbrock._cut(cut_y1, cut_d, theta, state)
    a, b = np.empty(4), np.empty(4)
    for part in (0.0, 0.1, 0.6, 1.0):
        rosenbrock.dense(y0, y1, d, part * theta, a)
        rosenbrock.dense(y0, cut_y1, cut_d, part, b)
        np.testing.assert_allclose(b, a, atol=1e-14)


def test_integration_goes_on_after_an_event() -> None:
    method, y = swing(1.0, rtol=1e-9, atol=1e-11)
    crossings, t = [], 0.0
    while True:
        t, flag, _ = method.advance(t, 20.0, y, events=([0], [0.0], [1.0]))
        if flag != Flag.EVENT:
            break
        crossings.append(t)
        assert len(crossings) < 9
    np.testing.assert_allclose(crossings, 2 * math.pi * np.arange(1, 4), atol=1e-6)


# ------------------------------------------------------------------ what goes wrong


def decay(**options: Any) -> tuple[Rodas4, FloatArray]:
    return build(guarded_rhs, guarded_jac, 1, ([0], [0]), [2.0], **options), np.array([1.0])


def test_trial_that_is_not_a_number_is_rejected() -> None:
    """sqrt y falls as 1 - t; the first steps are far too long and leave the domain."""
    method, y = decay(rtol=1e-6, atol=1e-9)
    method.restart(50.0)
    _, flag, _ = method.advance(0.0, 0.9, y, h_max=50.0)
    assert flag == Flag.REACHED
    assert y[0] == pytest.approx(0.01, abs=1e-6)

    method, y = build(cliff_rhs, cliff_jac, 2), np.ones(2)
    method.restart(10.0)
    t, flag, steps = method.advance(0.0, 2.0, y, h_max=10.0)
    assert method.stats[1] > 0
    assert np.all(np.isfinite(method.states[: steps + 1]))
    assert t <= 1.0


@pytest.mark.parametrize("value", [math.inf, -math.inf, math.nan])
def test_trial_state_that_is_not_finite_has_infinite_error(value: float) -> None:
    """Even when the error estimate sees nothing: its scale is then infinite too."""
    stage, y1 = np.array([1.0, 1.0, value, 1.0]), np.empty(4)
    nothing, none = np.zeros(4), np.zeros(0, np.int64)
    found = rosenbrock._finish(np.ones(4), stage, nothing, 1e-4, np.full(4, 1e-5), none, y1)
    assert found == (math.inf, 2)


def test_underflow_names_the_state_without_a_value() -> None:
    method, y = build(cliff_rhs, cliff_jac, 2), np.ones(2)
    t, flag, _ = method.advance(0.0, 2.0, y)
    assert flag == Flag.UNDERFLOW
    assert t == pytest.approx(1.0, abs=1e-6)
    assert method.culprit == 1


@pytest.mark.parametrize("flagged", [[], [0]])
def test_flagged_state_stays_above_zero(flagged: list[int]) -> None:
    """A swing that is not flagged passes zero freely; flagged, its trials beyond zero are all rejected."""
    method, y = swing(1.0, positive=flagged)
    y[:] = [1.0, 0.0]
    t, flag, steps = method.advance(0.0, 2.0, y)
    lowest = method.states[: steps + 1, 0].min()
    if flagged:
        assert flag == Flag.UNDERFLOW
        assert t == pytest.approx(math.pi / 2, abs=1e-5)
        assert lowest > 0.0
        assert method.culprit == 0
    else:
        assert flag == Flag.REACHED
        assert lowest < -0.3


def test_step_budget_stops_a_crawl_and_names_its_state() -> None:
    """A rate that jumps makes the step collapse; the run ends in time and says where."""
    method = build(jumping_rhs, jumping_jac, 2, parameters=[1e3])
    y = np.array([1.0, 0.5])
    t, flag, _ = method.advance(0.0, 1.0, y, step_budget=2000)
    assert flag == Flag.BUDGET
    assert t < 1.0
    assert method.stats[0] + method.stats[1] == 2000
    assert method.culprit == 1


def test_budget_interruption_does_not_change_the_steps() -> None:
    """Stopped and resumed after every single attempt, rejected ones too."""
    one, y = chain(30)
    whole = collected(one, y, 5.0)
    two, z = chain(30)
    t, times = 0.0, [0.0]
    for budget in range(1, 10_000):
        t, flag, steps = two.advance(t, 5.0, z, step_budget=budget)
        times += two.times[1 : steps + 1].tolist()
        if flag == Flag.REACHED:
            break
    np.testing.assert_array_equal(times, whole["times"])
    np.testing.assert_array_equal(z, y)


def test_compiled_code_stays_within_its_module() -> None:
    """The cache of compiled code is keyed by a function's file and misses edits of callees elsewhere."""
    functions = {name: f for name, f in vars(rosenbrock).items() if isinstance(f, Dispatcher)}
    assert "integrate" in functions
    for name, function in functions.items():
        for called in function.py_func.__code__.co_names:
            target = vars(rosenbrock).get(called)
            foreign = isinstance(target, Dispatcher) and target.py_func.__module__ != rosenbrock.__name__
            assert not foreign, f"{name} calls {called} of {target.py_func.__module__}"
            assert target is None or not isinstance(target, type(math)) or target in (np, math), name
