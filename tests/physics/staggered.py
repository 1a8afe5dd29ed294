"""A line assembled from the laws alone, between fixed pressures or volumes: a test bench, not the engine."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numba import njit
from scipy.integrate import solve_ivp

from pneusim.physics.constants import CV, R
from pneusim.physics.lines import line_face, line_heat, line_node, line_wall


@dataclass(frozen=True)
class Line:
    """What a staggered line is made of; ends are fixed states unless they have a volume."""

    length: float
    bore: float
    cells: int
    p_left: float
    p_right: float
    T: float = 293.15
    roughness: float = 1.5e-6
    loss_k: float = 0.5
    friction_factor: float = 0.0
    fitting_k: float = 0.0
    film: float = -1.0
    left_end: float = 1.0
    right_end: float = 1.0
    right_volume: float = math.inf
    right_conductance: float = 0.0
    parallel: float = 1.0
    ramp: float = 0.0
    p_start: float = 101325.0

    @property
    def area(self):
        return self.parallel * math.pi / 4 * self.bore**2

    @property
    def numbers(self):
        dx = self.length / self.cells
        return np.array([
            self.area, self.bore, dx, self.roughness / self.bore, self.loss_k, self.friction_factor,
            self.left_end, self.right_end, self.fitting_k / self.cells, self.film, self.T,
            self.p_left, self.p_right, self.right_volume + 0.5 * self.area * dx, self.right_conductance,
        ])  # fmt: skip

    def rest(self, p):
        """State at rest: masses and energies of the inner nodes, of the right end, flows of the faces."""
        dx, n = self.length / self.cells, self.cells
        volumes = np.full(n, self.area * dx)
        volumes[-1] = self.numbers[13] if math.isfinite(self.right_volume) else 1.0
        masses = p * volumes / (R * self.T)
        return np.concatenate([masses, masses * CV * self.T, np.zeros(n)])

    def rates(self, y, t=math.inf):
        numbers = self.numbers
        if t < self.ramp:
            numbers[11] = self.p_start + (self.p_left - self.p_start) * t / self.ramp
        return rates(y, self.cells, numbers, math.isfinite(self.right_volume))

    def run(self, y, seconds, **options):
        scale = np.abs(self.rest(max(self.p_left, self.p_right)))
        scale[2 * self.cells :] = 0.01 * self.parallel
        options = {"method": "BDF", "rtol": 1e-7, "atol": 1e-9, **options}
        if options["method"] == "BDF":
            # scipy's own difference increments grow without bound on the columns of a fixed end
            closed = math.isfinite(self.right_volume)
            options["jac"] = lambda _, x: jacobian(x, self.cells, self.numbers, closed, scale)
        solution = solve_ivp(lambda t, x: self.rates(x * scale, t) / scale, (0.0, seconds), y / scale, **options)
        assert solution.success, solution.message
        solution.y *= scale[:, None]
        return solution

    def steady_flow(self, seconds=3.0, start=None):
        """Mass flow of every face once the line has come to rest [kg/s]."""
        y = self.run(self.rest(start or self.p_right), seconds).y[:, -1]
        flows = y[2 * self.cells :]
        assert np.ptp(flows) < 1e-4 * abs(flows).max()
        return flows.mean()

    def end_pressure(self, y):
        """Pressure of the volume at the right end."""
        return y[2 * self.cells - 1] * R / (CV * self.numbers[13])

    def nodes(self, y):
        """Pressures and velocities of the inner nodes."""
        n = self.cells
        dx = self.length / n
        return np.array([
            line_node(y[i], y[n + i], y[2 * n + i], y[2 * n + i + 1], self.area * dx, self.area)
            for i in range(n - 1)
        ])  # fmt: skip

    def with_(self, **changes):
        return replace(self, **changes)


@njit(error_model="numpy")
def jacobian(x, n, numbers, closed_volume, scale):
    """Difference Jacobian of the scaled rates."""
    columns = np.empty((x.size, x.size))
    for i in range(x.size):
        up, down = x * scale, x * scale
        up[i] += 1e-7 * scale[i]
        down[i] -= 1e-7 * scale[i]
        difference = rates(up, n, numbers, closed_volume) - rates(down, n, numbers, closed_volume)
        columns[:, i] = difference / scale / 2e-7
    return columns


@njit(error_model="numpy")
def rates(y, n, a, closed_volume):
    """Balances of the inner nodes, of the right end volume and of the faces."""
    p, T, u = np.empty(n + 1), np.empty(n + 1), np.zeros(n + 1)
    p[0], T[0] = a[11], a[10]
    for i in range(1, n):
        p[i], T[i], u[i] = line_node(y[i - 1], y[n + i - 1], y[2 * n + i - 1], y[2 * n + i], a[0] * a[2], a[0])
    if closed_volume:
        T[n] = y[2 * n - 1] / (y[n - 1] * CV)
        p[n] = y[n - 1] * R * T[n] / a[13]
    else:
        p[n], T[n] = a[12], a[10]
    dy, conductances = np.zeros(3 * n), np.zeros(n)
    for j in range(n):
        w_left = y[2 * n + j - 1] if j > 0 else 0.0
        w_right = y[2 * n + j + 1] if j < n - 1 else 0.0
        left = a[6] if j == 0 else 0.0
        right = a[7] if j == n - 1 else 0.0
        number, conductances[j] = line_wall(y[2 * n + j], a[0], a[1], a[2], a[3], a[5], a[9])
        dw, enthalpy = line_face(
            p[j], T[j], u[j], p[j + 1], T[j + 1], u[j + 1], w_left, y[2 * n + j], w_right, number,
            a[0], a[1], a[2], a[4], left, right, a[8],
        )  # fmt: skip
        dy[2 * n + j] = dw
        if j > 0:
            dy[j - 1] -= y[2 * n + j]
            dy[n + j - 1] -= enthalpy
        dy[j] += y[2 * n + j]
        dy[n + j] += enthalpy
    for i in range(1, n):
        halves_left, halves_right = 1.0 + (i == 1), 1.0 + (i == n - 1)
        dy[n + i - 1] += line_heat(
            T[i], u[i], conductances[i - 1], conductances[i], halves_left, halves_right, a[10]
        )  # fmt: skip
    if closed_volume:
        dy[2 * n - 1] += a[14] * (a[10] - T[n])
    else:
        dy[n - 1], dy[2 * n - 1] = 0.0, 0.0
    return dy
