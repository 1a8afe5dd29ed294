"""Line laws: rest, mirror symmetry, upwinding, ends, wall heat, continuity, whole lines."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pneusim.physics.constants import CP, CV, MU, R
from pneusim.physics.friction import churchill, sonic_end_pressure, static_density
from pneusim.physics.lines import line_face, line_heat, line_node, line_wall
from tests.physics.derivatives import assert_continuous
from tests.physics.staggered import Line
from tests.physics.test_line_gradients import ENDS, random_face

BORE = 9e-3
AREA = math.pi / 4 * BORE**2
PIPE = (AREA, BORE, 0.5, 1.5e-6 / BORE)
PA = 101325.0


def face(state, left=0.0, right=0.0, loss_k=0.5, factor=0.0, fitting_k=0.0, pipe=PIPE):
    area, bore, length, roughness = pipe
    number, _ = line_wall(state[7], area, bore, length, roughness, factor, 0.0)
    return line_face(*state, number, area, bore, length, loss_k, left, right, fitting_k)


def heat(T, u, w, film=-1.0, halves=(1.0, 0.0)):
    """Heat of one half of a face into a node."""
    _, conductance = line_wall(w, *PIPE, 0.0, film)
    return line_heat(T, u, conductance, conductance, *halves, 293.15)


def at(p_l, p_r, w, T=293.15, u=0.0, w_left=None, w_right=None):
    return (p_l, T, u, p_r, T, u, w if w_left is None else w_left, w, w if w_right is None else w_right)


@pytest.mark.parametrize(("left", "right"), ENDS)
def test_equal_pressures_at_rest_stay_at_rest(left, right):
    assert face(at(5e5, 5e5, 0.0), left, right) == (0.0, 0.0)


def test_mirroring_the_line_mirrors_the_rates():
    rng = np.random.default_rng(21)
    for _ in range(2000):
        x, parameters, _ = random_face(rng)
        mirrored = np.array([x[3], x[4], -x[5], x[0], x[1], -x[2], -x[8], -x[7], -x[6], x[9]])
        swapped = (*parameters[:4], parameters[5], parameters[4], *parameters[6:])
        dw, enthalpy = line_face(*x, *parameters)
        dw_m, enthalpy_m = line_face(*mirrored, *swapped)
        assert dw_m == pytest.approx(-dw, rel=1e-9, abs=1e-9 * x[0] * parameters[0] / parameters[2])
        assert enthalpy_m == pytest.approx(-enthalpy, rel=1e-12)


def test_enthalpy_is_carried_from_upstream():
    state = (5e5, 250.0, 80.0, 4.8e5, 350.0, 60.0, 0.01, 0.02, 0.03)
    assert face(state)[1] == pytest.approx(0.02 * (CP * 250.0 + 0.5 * 80.0**2), rel=1e-13)
    back = (*state[:6], -0.01, -0.02, -0.03)
    assert face(back)[1] == pytest.approx(-0.02 * (CP * 350.0 + 0.5 * 60.0**2), rel=1e-13)


def test_momentum_is_carried_from_upstream():
    def slope(w, which):
        states = [at(5e5, 4.8e5, w, w_left=w * a, w_right=w * b) for a, b in ((1.0, 1.0), (1.1, 1.0), (1.0, 1.1))]
        return face(states[which])[0] - face(states[0])[0]

    assert slope(0.02, 1) > 0.0
    assert slope(0.02, 2) == 0.0
    assert slope(-0.02, 1) == 0.0
    assert slope(-0.02, 2) < 0.0


def test_static_balance_of_the_friction():
    w = 0.012
    G = w / AREA
    rho = static_density(G, 4.9e5, 293.15)
    f = churchill(G * BORE / MU, PIPE[3])
    loss = f * PIPE[2] / (2 * BORE) * G * G / rho
    flux_difference = G * G * R * 293.15 * (1 / 4.8e5 - 1 / 5e5)
    expected = AREA / PIPE[2] * (0.2e5 - flux_difference - loss)
    assert face(at(5e5, 4.8e5, w))[0] == pytest.approx(expected, rel=1e-10)


def test_laminar_flow_loses_pressure_in_proportion():
    w = 1e-7
    rho = 5e5 / (R * 293.15)
    pressure_drop = 32 * MU * PIPE[2] * w / AREA / (rho * BORE**2)
    assert face(at(5e5, 5e5, w))[0] == pytest.approx(-AREA / PIPE[2] * pressure_drop, rel=1e-6)


def test_fittings_add_their_velocity_heads():
    w = 0.01
    rho = static_density(w / AREA, 4.9e5, 293.15)
    difference = face(at(5e5, 4.8e5, w), fitting_k=2.0)[0] - face(at(5e5, 4.8e5, w))[0]
    assert difference == pytest.approx(-AREA / PIPE[2] * (w / AREA) ** 2 / rho, rel=1e-9)


def test_entrance_loses_its_velocity_heads_at_a_port_and_none_at_a_break():
    state = at(5e5, 4.8e5, 0.01)
    sharp, rounded = face(state, left=1.0)[0], face(state, left=1.0, loss_k=0.0)[0]
    head = 0.5 * (0.01 / AREA) ** 2 / (4.8e5 / (R * 293.15))
    assert sharp - rounded == pytest.approx(-0.5 * AREA / PIPE[2] * head, rel=1e-9)
    assert face(state, left=2.0)[0] == rounded
    mirrored = at(4.8e5, 5e5, -0.01)
    assert face(mirrored, right=2.0)[0] == pytest.approx(-rounded, rel=1e-12)


@pytest.mark.parametrize("end", [1.0, 2.0])
def test_an_open_end_chokes(end):
    w = 0.05
    sonic = sonic_end_pressure(w / AREA, 293.15)
    assert sonic > PA
    low = face(at(6e5, 0.5 * sonic, w), right=end)[0]
    assert low == face(at(6e5, 0.1 * sonic, w), right=end)[0]
    assert low > face(at(6e5, 2.0 * sonic, w), right=end)[0]
    assert face(at(0.1 * sonic, 6e5, -w), left=end)[0] == pytest.approx(-low, rel=1e-12)


def test_film_choices():
    assert heat(290.0, 0.0, 0.01, film=0.0) == 0.0
    half_wall = math.pi * BORE * PIPE[2] / 2
    assert heat(290.0, 0.0, 0.01, film=50.0) == pytest.approx(50.0 * half_wall * 3.15, rel=1e-12)
    f = churchill(0.01 / AREA * BORE / MU, PIPE[3])
    colburn = f / 8 * 0.01 / AREA * CP * 0.71 ** (-2 / 3)
    for w in (0.01, -0.01):
        assert heat(290.0, 0.0, w) == pytest.approx(colburn * half_wall * 3.15, rel=1e-12)


def test_heat_of_a_node_counts_the_halves_of_its_faces():
    assert heat(290.0, 0.0, 0.01, halves=(2.0, 1.0)) == pytest.approx(3.0 * heat(290.0, 0.0, 0.01), rel=1e-13)
    assert heat(290.0, 0.0, 0.01, halves=(0.0, 0.0)) == 0.0


def test_heat_flows_to_the_recovery_temperature():
    assert heat(293.15, 120.0, 0.04, film=50.0) < 0.0
    recovered = 293.15 - 0.9 * 120.0**2 / (2 * CP)
    assert heat(recovered, 120.0, 0.04, film=50.0) == pytest.approx(0.0, abs=1e-9)


def test_parallel_lines_are_so_many_times_one():
    single = np.array(face(at(5e5, 4.8e5, 0.01, T=280.0)))
    triple = np.array(face(at(5e5, 4.8e5, 0.03, T=280.0), pipe=(3 * AREA, *PIPE[1:])))
    assert triple == pytest.approx(3 * single, rel=1e-12)


@pytest.mark.parametrize(("left", "right"), ENDS)
def test_face_is_continuous_over_every_branch(left, right):
    def walk(w, shift):
        state = (3e5, 260.0, 150.0, 2e5 + shift, 380.0, -80.0, 0.011, w, -0.007)
        return face(state, left, right)

    assert_continuous(walk, [-0.06, 0.0], [0.06, 0.0])
    assert_continuous(walk, [-2e-5, 0.0], [2e-5, 0.0])
    assert_continuous(walk, [0.05, -1.9e5], [0.05, 2e5])
    assert_continuous(walk, [-0.05, -1.9e5], [-0.05, 2e5])


def test_node_state_is_consistent():
    p, T, u = line_node(6e-4, 130.0, 0.02, 0.04, 6.4e-5, 6.4e-5)
    assert p == pytest.approx(6e-4 * R * T / 6.4e-5, rel=1e-14)
    assert pytest.approx(130.0, rel=1e-14) == 6e-4 * (CV * T + 0.5 * u * u)
    assert u == pytest.approx(0.03 / (6e-4 / 6.4e-5 * 6.4e-5), rel=1e-14)


def test_closed_line_conserves_mass_and_energy():
    line = Line(6.0, BORE, 8, PA, PA, film=0.0, right_volume=0.1e-3)
    y = line.rest(5e5)
    n = line.cells
    y[: 2 * n] *= np.tile(np.linspace(1.0, 2.0, n), 2)
    y[2 * n + 1 :] = 0.01
    dy = line.rates(y)
    entering = y[2 * n]
    assert dy[:n].sum() == pytest.approx(entering, abs=1e-15)
    assert dy[n : 2 * n].sum() == pytest.approx(entering * CP * 293.15, abs=1e-9)


def fanno(mach):
    """Fanno function fL*/D of air."""
    m2 = mach * mach
    return (1.0 - m2) / (1.4 * m2) + 2.4 / 2.8 * math.log(2.4 * m2 / (2.0 + 0.4 * m2))


def test_refining_a_choked_line_approaches_the_closed_form_at_first_order():
    line = Line(12.0, BORE, 4, 9e5, PA, friction_factor=0.02, film=0.0, loss_k=0.0)
    errors = [line.with_(cells=n).steady_flow(4.0) / 35.2725e-3 - 1.0 for n in (4, 8, 16)]
    assert errors[0] < errors[1] < errors[2] < 0.0
    assert 1.7 < errors[0] / errors[1] < 2.6
    assert 1.7 < errors[1] / errors[2] < 2.6


def test_march_of_the_friction_law_along_a_fanno_duct():
    """dp/dx of the laws' own loss and density, marched by scipy, against the Fanno function."""
    f, bore, T_total, G = 0.02, 9e-3, 293.15, 700.0

    def slope(_, p):
        rho = static_density(G, p[0], T_total)
        mach2 = (G / rho) ** 2 * rho / (1.4 * p[0])
        loss = f / (2 * bore) * G * G / rho
        return [-loss * (1.0 + 0.4 * mach2) / (1.0 - mach2)]

    end = solve_ivp(slope, (0.0, 3.0), [8e5], rtol=1e-10, atol=1e-3).y[0, -1]
    machs = []
    for p in (8e5, end):
        rho = static_density(G, p, T_total)
        machs.append(math.sqrt((G / rho) ** 2 * rho / (1.4 * p)))
    assert fanno(machs[0]) - fanno(machs[1]) == pytest.approx(f * 3.0 / bore, rel=1e-7)


def test_small_wave_travels_at_the_speed_of_sound():
    """Lowest mode of a closed line, from the eigenvalues: c/(4 L) sin(x)/x with x = pi/(4 N)."""
    n, length = 8, 6.0
    line = Line(length, 12e-3, n, 5e5, 5e5, film=0.0, right_volume=0.0, loss_k=0.0)
    y = line.rest(5e5)
    scale = np.concatenate([y[: 2 * n], np.full(n, 0.01)])
    columns = []
    for i in range(3 * n):
        up, down = y.copy(), y.copy()
        up[i] += 1e-6 * scale[i]
        down[i] -= 1e-6 * scale[i]
        columns.append((line.rates(up) - line.rates(down)) / (2e-6 * scale[i]) * scale[i] / scale)
    frequencies = np.sort(abs(np.linalg.eigvals(np.array(columns).T).imag))
    lowest = frequencies[frequencies > 1.0][0]
    x = math.pi / (4 * n)
    assert lowest == pytest.approx(math.pi / 2 * math.sqrt(1.4 * R * 293.15) / length * math.sin(x) / x, rel=1e-3)


@pytest.mark.parametrize(("bore", "length", "outside"), [(14e-3, 0.3, PA), (14e-3, 0.3, 1e3), (2e-3, 20.0, PA)])
@pytest.mark.parametrize("cells", [2, 8])
def test_venting_a_charged_line_keeps_pressures_positive(bore, length, outside, cells):
    line = Line(length, bore, cells, outside, outside, right_volume=1e-6)
    start = line.with_(p_left=11e5).rest(11e5)
    seconds = 0.2 if length < 1.0 else 20.0
    method = "RK45" if length < 1.0 else "BDF"
    states = line.run(start, seconds, method=method, rtol=1e-6, atol=1e-8).y
    n = cells
    assert np.isfinite(states).all()
    assert states[: 2 * n].min() > 0.0
    pressures = [line.nodes(y)[:, 0].min() for y in states.T]
    assert min(pressures) > 0.0
    assert abs(pressures[-1] - outside) < 0.05 * 11e5
