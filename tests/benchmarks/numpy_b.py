"""The same circuit as one would write it by hand: vectorised numpy, scipy's Radau, its own dense difference Jacobian.

Written from the equations alone (ISO 6358-1 flow, one-dimensional Euler equations on staggered cells, Churchill
friction, Colburn wall heat, quasi-static pushrods with dry friction); it shares nothing with the engine but the data
of `problem_b`.  The state is scaled as the engine's, so that both take the same tolerances.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from tests.benchmarks import problem_b as b

Floats = NDArray[np.float64]

R, KAPPA, RHO0, T0, MU, PRANDTL = 287.05, 1.4, 1.185, 293.15, 1.82e-5, 0.71
CV = R / (KAPPA - 1.0)
CP = KAPPA * CV
DP_LAMINAR = 20.0
STOP, DAMPING, FOOT, FADE = 2e6, 100.0, 20.0, 1e-4
OUT = 0  # number of the atmosphere among the vessels


def ramp(x: Floats) -> Floats:
    """Smooth step."""
    x = np.clip(x, 0.0, 1.0)
    return x * x * (3.0 - 2.0 * x)


class NumpyB:
    """Right-hand side of `problem_b`.

    Parameters
    ----------
    index : mapping
        Number of each state by name.
    scale : array
        Scale of each state.
    cells : int
        Cells of a line that does not break.
    """

    def __init__(self, index: Mapping[str, int], scale: Floats, cells: int = 8) -> None:
        self.index, self.scale = index, scale
        self.pedal, self.slope, self.since = 0.0, 0.0, 0.0
        names = [*b.VESSELS, *b.CHAMBERS]
        self.number = {name: i + 1 for i, name in enumerate(names)}
        self._vessels(names)
        self._restrictions()
        self._spools()
        self._lines(cells)

    def _at(self, names: list[str]) -> NDArray[np.int64]:
        return np.array([self.index[name] for name in names], np.int64)

    def _vessels(self, names: list[str]) -> None:
        volumes = [v for v, _ in b.VESSELS.values()] + [b.CHAMBER_VOLUME] * len(b.CHAMBERS)
        films = [b.RESERVOIR_FILM] * len(b.VESSELS) + [b.CHAMBER_FILM] * len(b.CHAMBERS)
        self.volume, film = np.array([0.0, *volumes]), np.array([0.0, *films])
        self.wall = film * 6.0 * self.volume ** (2.0 / 3.0)
        self.m, self.U = self._at([f"{n}.mass" for n in names]), self._at([f"{n}.energy" for n in names])
        self.outside = self.index["atmosphere.mass"], self.index["atmosphere.energy"]
        self.stroke = self._at([f"{n}.stroke" for n in b.CHAMBERS])
        self.chamber = np.array([self.number[n] for n in b.CHAMBERS])

    def _restrictions(self) -> None:
        ends = [(self.number[f], OUT if t is None else self.number[t]) for f, t, _, _ in b.RESTRICTIONS]
        self.i, self.j = np.array(ends).T
        self.C = np.array([c for _, _, c, _ in b.RESTRICTIONS])
        how = [h for _, _, _, h in b.RESTRICTIONS]
        spools = list(b.SPOOLS)
        self.check = np.array([k for k, h in enumerate(how) if h == "check"])
        self.valve = np.array([k for k, h in enumerate(how) if h[:1] in ("+", "-")])
        self.valve_spool = np.array([spools.index(how[k][1:]) for k in self.valve])
        self.valve_sign = np.array([1.0 if how[k][0] == "+" else -1.0 for k in self.valve])

    def _spools(self) -> None:
        spools = b.SPOOLS.values()
        self.spool = self._at([f"{n}.spool" for n in b.SPOOLS])
        self.width, self.lag = (np.array([getattr(s, w) for s in spools]) for w in ("width", "lag"))
        self.senses = []
        for which in ("target", "feedback"):
            of = [getattr(s, which) for s in spools]
            node = np.array([self.number.get(x, OUT) if isinstance(x, str) else OUT for x in of])
            constant = np.array([x if isinstance(x, float) else 0.0 for x in of])
            self.senses.append((node, constant, np.array([float(x == "pedal") for x in of])))

    def _lines(self, cells: int) -> None:
        """Inner nodes and faces of all lines, one after the other; nodes are counted on from the vessels."""
        bore, dx, left, right, before, behind = [], [], [], [], [], []
        left_end, right_end, area_in, volume_in, names_w, names_c = [], [], [], [], [], []
        inner_left, inner_right = [], []
        node = len(self.volume)
        for name, (start, end, length, d) in b.LINES.items():
            n = 16 if name == b.BROKEN else cells
            area, step, face = math.pi / 4.0 * d * d, length / n, len(bore)
            for vessel in (start, end):
                self.volume[self.number[vessel]] += 0.5 * area * step
            for k in range(n):
                bore.append(d)
                dx.append(step)
                left.append(self.number[start] if k == 0 else node + k - 1)
                right.append(self.number[end] if k == n - 1 else node + k)
                before.append(face + max(k - 1, 0))
                behind.append(face + min(k + 1, n - 1))
                left_end.append(k == 0)
                right_end.append(k == n - 1)
                names_w.append(f"{name}.flow_{k + 1}")
            for k in range(n - 1):
                area_in.append(area)
                volume_in.append(area * step)
                inner_left.append(face + k)
                inner_right.append(face + k + 1)
                names_c.append(f"{name}.cell_{k + 1}")
            if name == b.BROKEN:
                self.broken = node + n // 2 - 1
            node += n - 1
        self.bore, self.dx, self.left, self.right = map(np.array, (bore, dx, left, right))
        self.before, self.behind, self.left_end, self.right_end = map(np.array, (before, behind, left_end, right_end))
        self.area = math.pi / 4.0 * self.bore**2
        self.area_in, self.volume_in = np.array(area_in), np.array(volume_in)
        self.inner_left, self.inner_right = np.array(inner_left), np.array(inner_right)
        self.w = self._at(names_w)
        self.m_in = self._at([f"{n}.mass" for n in names_c])
        self.E_in = self._at([f"{n}.energy" for n in names_c])
        self.count = node
        self.open = np.zeros(node, bool)
        self.loss_left, self.loss_right = np.full(len(bore), 0.5), np.full(len(bore), 0.5)

    def move(self, t: float, value: float, slope: float) -> None:
        """Let the pedal ask for a gauge pressure from now on."""
        self.since, self.pedal, self.slope = t, value, slope

    def break_line(self) -> None:
        """Open the line's middle to the atmosphere; its two faces become open ends without entrance loss."""
        self.open[self.broken] = True
        into, out_of = self.right == self.broken, self.left == self.broken
        self.right_end |= into
        self.left_end |= out_of
        self.loss_right[into] = 0.0
        self.loss_left[out_of] = 0.0

    def broken_state(self, y: Floats) -> Floats:
        """State just after the break: the air of the open node has become ambient air, the rest went outside."""
        y = y.copy()
        k = self.broken - len(self.volume)
        for state, out, new in (
            (self.m_in[k], self.outside[0], b.P_AMBIENT * self.volume_in[k] / (R * b.T_AMBIENT)),
            (self.E_in[k], self.outside[1], b.P_AMBIENT * self.volume_in[k] / (KAPPA - 1.0)),
        ):
            y[out] += (y[state] * self.scale[state] - new) / self.scale[out]
            y[state] = new / self.scale[state]
        return y

    def __call__(self, t: float, scaled: Floats) -> Floats:
        """Scaled rates."""
        y = scaled * self.scale
        dy = np.zeros_like(y)
        p, T, u, area_eff, s = self._states(y)
        gauge = p[: len(self.volume)] - b.P_AMBIENT
        spool, w = y[self.spool], y[self.w]
        flow, T_up = self._restriction_flows(p, T, spool)
        acceleration, enthalpy, heat = self._faces(p, T, u, w)
        # Balances: what leaves one end of a restriction or face enters the other.
        ends, starts = np.concatenate([self.j, self.right]), np.concatenate([self.i, self.left])
        mass, energy = np.concatenate([flow, w]), np.concatenate([flow * CP * T_up, enthalpy])
        M = np.bincount(ends, mass, self.count) - np.bincount(starts, mass, self.count)
        H = np.bincount(ends, energy, self.count) - np.bincount(starts, energy, self.count)
        H += heat
        M[OUT], H[OUT] = M[OUT] + M[self.open].sum(), H[OUT] + H[self.open].sum() - heat.sum()
        M[self.open], H[self.open] = 0.0, 0.0
        vessels = len(self.volume)
        wall = self.wall * (b.T_AMBIENT - T[:vessels])
        rate = self._pushrods(gauge[self.chamber], area_eff, s)
        power = p[self.chamber] * area_eff * rate
        H[:vessels] += wall
        H[self.chamber] -= power
        H[OUT] += power.sum() - wall[1:].sum()
        dy[self.m], dy[self.U] = M[1:vessels], H[1:vessels]
        dy[self.m_in], dy[self.E_in] = M[vessels:], H[vessels:]
        dy[self.outside[0]], dy[self.outside[1]] = M[OUT], H[OUT]
        dy[self.w] = acceleration
        dy[self.stroke] = rate
        pedal = self.pedal + self.slope * (t - self.since)
        asked, sensed = (gauge[n] * (n != OUT) + c + f * pedal for n, c, f in self.senses)
        dy[self.spool] = (np.clip((asked - sensed) / self.width, -1.0, 1.0) - spool) / self.lag
        return dy / self.scale

    def _states(self, y: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """Pressure, temperature and velocity of all nodes; effective areas and strokes of the chambers."""
        p, T, u = np.empty(self.count), np.empty(self.count), np.zeros(self.count)
        s, rod = y[self.stroke], b.ROD
        beyond = np.clip((s / rod["s_max"] - 0.8) / 0.2, 0.0, 1.0)
        lost = 0.2 * rod["s_max"] * beyond**3 / 3.0 + np.maximum(s - rod["s_max"], 0.0)
        V = self.volume.copy()
        V[self.chamber] += rod["area"] * (s - rod["decline"] * lost)
        k = len(V)
        p[0], T[0] = b.P_AMBIENT, b.T_AMBIENT
        p[1:k], T[1:k] = (KAPPA - 1.0) * y[self.U] / V[1:], y[self.U] / (y[self.m] * CV)
        m, w = y[self.m_in], y[self.w]
        u[k:] = 0.5 * (w[self.inner_left] + w[self.inner_right]) * self.volume_in / (self.area_in * m)
        T[k:] = (y[self.E_in] / m - 0.5 * u[k:] ** 2) / CV
        p[k:] = m * R * T[k:] / self.volume_in
        p[self.open], T[self.open], u[self.open] = b.P_AMBIENT, b.T_AMBIENT, 0.0
        return p, T, u, rod["area"] * (1.0 - rod["decline"] * beyond**2), s

    def _restriction_flows(self, p: Floats, T: Floats, spool: Floats) -> tuple[Floats, Floats]:
        """Mass flows of the restrictions and the temperatures upstream."""
        opening = np.ones(len(self.C))
        opening[self.check] = ramp((p[self.i[self.check]] - p[self.j[self.check]]) / b.CHECK_WIDTH)
        opening[self.valve] = ramp(self.valve_sign * spool[self.valve_spool])
        a, z = p[self.i], p[self.j]
        forward = a >= z
        p1, p2 = np.where(forward, a, z), np.where(forward, z, a)
        T1 = np.where(forward, T[self.i], T[self.j])
        r = p2 / p1
        x = 1.0 - (np.maximum(r - b.RATIO, 0.0) / (1.0 - b.RATIO)) ** 2
        eps = 2.0 * DP_LAMINAR / (p1 * (1.0 - b.RATIO))
        phi = x * np.sqrt((1.0 + eps) / (x + eps))
        flow = np.where(forward, 1.0, -1.0) * self.C * opening * p1 * RHO0 * np.sqrt(T0 / T1) * phi
        return flow, T1

    def _faces(self, p: Floats, T: Floats, u: Floats, w: Floats) -> tuple[Floats, Floats, Floats]:
        """Accelerations and enthalpy flows of the faces, wall heat of the nodes."""
        G, forward = w / self.area, w >= 0.0
        total = T + 0.5 * u * u / CP
        T_total = np.where(forward, total[self.left], total[self.right])

        def density(pressure: Floats) -> Floats:
            # The root of p = rho R (T_total - (G/rho)^2/(2 cp)).
            return (pressure + np.sqrt(pressure**2 + 2.0 * R * R / CP * G * G * T_total)) / (2.0 * R * T_total)

        sonic = np.abs(G) * np.sqrt(R * T_total / (0.5 * KAPPA * (KAPPA + 1.0)))
        P, flux = [], []
        for node, at_end, leaves, loss, neighbour, upstream in (
            (self.left, self.left_end, w < 0.0, self.loss_left, self.before, 1.0),
            (self.right, self.right_end, w > 0.0, self.loss_right, self.behind, -1.0),
        ):
            jet = at_end & leaves
            pressure = np.where(jet, np.maximum(p[node], sonic), p[node])
            rho = np.where(jet, density(pressure), p[node] / (R * T[node]))
            # At an inner node the momentum of the face upstream passes.
            other = G[neighbour]
            passing = np.where(upstream * (G + other) > 0.0, other, G) if upstream > 0.0 else np.where(
                G + other > 0.0, G, other
            )
            enters = at_end & ~leaves & (w != 0.0)
            inner = self.right if upstream > 0.0 else self.left
            rho_inner = p[inner] / (R * T[inner])
            entrance = 0.5 * (1.0 - loss) * G * G / rho_inner
            flux.append(np.where(enters, entrance, np.where(at_end, G * G, passing * passing) / rho))
            P.append(pressure)
        number = self._friction(np.abs(G) * self.bore / MU)
        rho = density(0.5 * (P[0] + P[1]))
        loss = 0.5 * MU * self.dx / self.bore**2 * number * G / rho
        acceleration = self.area / self.dx * (P[0] - P[1] - (flux[1] - flux[0]) - loss)
        film = np.maximum(0.125 * CP * MU * PRANDTL ** (-2.0 / 3.0) * number, 3.66 * MU * CP / PRANDTL) / self.bore
        half = film * 2.0 * self.area * self.dx / self.bore
        gap = b.T_AMBIENT - T - 0.45 / CP * u * u
        # A half at an end gives its heat to the face's inner node.
        mine = np.where(self.left_end, self.right, self.left), np.where(self.right_end, self.left, self.right)
        heat = sum(np.bincount(node, half * gap[node], self.count) for node in mine)
        return acceleration, w * CP * T_total, heat

    def _friction(self, reynolds: Floats) -> Floats:
        """Churchill's friction factor times the Reynolds number; 64 in laminar flow and at rest."""
        safe = np.maximum(reynolds, 1.0)
        A = (2.457 * np.log(1.0 / ((7.0 / safe) ** 0.9 + 0.27 * b.ROUGHNESS / self.bore))) ** 16
        turbulent = (A + (37530.0 / safe) ** 16) ** -1.5
        f = 8.0 * ((8.0 / safe) ** 12 + turbulent) ** (1.0 / 12.0)
        return np.where(reynolds < 500.0, 64.0, f * safe)

    def _pushrods(self, gauge: Floats, area: Floats, s: Floats) -> Floats:
        """Speeds of the pushrods: air, brake, return spring, stops and dry friction in balance."""
        rod = b.ROD
        shoe = rod["brake_stiffness"] * np.maximum(s - b.FREE_STROKE, 0.0)
        spring = rod["return_preload"] + rod["return_rate"] * s + STOP * np.maximum(s - rod["s_max"], 0.0)
        below = STOP * s + rod["return_preload"] * np.maximum(1.0 + s / FADE, 0.0)
        net = gauge * area - shoe - np.where(s < 0.0, below, spring)
        friction = rod["friction_base"] + rod["friction_share"] * shoe
        width = np.minimum(FOOT, friction)
        excess = np.maximum(np.abs(net) - friction + 0.5 * width, 0.0)
        sliding = np.where(excess < width, excess**2 / (2.0 * width), excess - 0.5 * width)
        return np.sign(net) * sliding / DAMPING
