"""Vessels in a row against Cantera's reactor network with the same flow law: other code, other method, other equations.

Cantera (Goodwin et al., version 3) integrates mass, volume, temperature and composition with CVODES.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import cantera as ct
import numpy as np
import pytest

from pneusim.physics.constants import KAPPA, R
from pneusim.physics.flow import iso6358
from tests.engine.bench import PA, ROOM, Bench

AIR = f"""
elements:
- {{symbol: Xx, atomic-weight: {ct.gas_constant / R:.12f}}}
phases:
- {{name: air, thermo: ideal-gas, elements: [Xx], species: [AIR]}}
species:
- name: AIR
  composition: {{Xx: 1}}
  thermo: {{model: constant-cp, T0: 293.15, h0: 0.0, s0: 0.0, cp0: {ct.gas_constant * KAPPA / (KAPPA - 1.0):.12e}}}
"""
CONDUCTANCE, RATIO, LAMINAR = 2e-8, 0.3, 20.0


@dataclass(frozen=True)
class Vessel:
    """A vessel: volume [m3], pressure at the start [Pa absolute], wall conductance [W/K]."""

    volume: float
    pressure: float
    wall: float = 0.0


def air(pressure: float) -> ct.Solution:
    gas = ct.Solution(yaml=AIR)
    gas.TP = ROOM, pressure
    return gas


def by_cantera(vessels: list[Vessel], times: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Pressures [Pa absolute] and temperatures [K] of all vessels over time."""
    reactors = [ct.IdealGasReactor(air(v.pressure), volume=v.volume, clone=False) for v in vessels]
    outside = ct.Reservoir(air(PA), clone=False)
    walls = [ct.Wall(r, outside, A=1.0, U=v.wall) for r, v in zip(reactors, vessels, strict=True)]
    valves = []
    for left, right in pairwise(reactors):
        valve = ct.Valve(left, right, K=1.0)
        valve.pressure_function = lambda _, a=left, b=right: max(
            iso6358(a.phase.P, a.T, b.phase.P, b.T, CONDUCTANCE, RATIO, LAMINAR), 0.0
        )
        valves.append(valve)
    net = ct.ReactorNet(reactors)
    net.rtol, net.atol = 1e-9, 1e-13
    p, T = np.empty((len(times), len(vessels))), np.empty((len(times), len(vessels)))
    for i, time in enumerate(times):
        if time > 0.0:
            net.advance(time)
        p[i], T[i] = [r.phase.P for r in reactors], [r.T for r in reactors]
    assert len(walls) == len(valves) + 1
    return p, T


def by_us(vessels: list[Vessel], times: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    bench = Bench()
    nodes = [bench.walled(f"v{k}", v.volume, v.wall, v.pressure - PA) for k, v in enumerate(vessels)]
    for k in range(len(vessels) - 1):
        bench.valve(f"valve{k}", nodes[k], nodes[k + 1], CONDUCTANCE, RATIO)
    run = bench.run(times[-1], rtol=1e-7, tolerance=1e-3)
    at = [[np.interp(times, run.times, run[f"v{k}{what}"]) for k in range(len(vessels))] for what in ("", ".T")]
    return np.transpose(at[0]) + PA, np.transpose(at[1])


@pytest.mark.parametrize(
    "vessels",
    [
        pytest.param([Vessel(1e-3, 8e5), Vessel(2e-3, 1e5)], id="two adiabatic vessels"),
        pytest.param([Vessel(1e-3, 8e5, 1.5), Vessel(0.2e-3, 1e5, 0.4)], id="two vessels with walls"),
        pytest.param([Vessel(1e-3, 8e5 if k == 0 else 1e5, 0.1 * k) for k in range(8)], id="chain of eight"),
    ],
)
def test_pressures_and_temperatures_agree(vessels):
    times = np.linspace(0.0, 3.0, 61)
    p_theirs, T_theirs = by_cantera(vessels, times)
    p_ours, T_ours = by_us(vessels, times)
    assert np.ptp(p_theirs[:, 0]) > 1e5
    assert np.abs(p_ours - p_theirs).max() < 0.5, "Pa"
    assert np.abs(T_ours - T_theirs).max() < 5e-4, "K"
