"""A vehicle of several equal wheels on a road, to try controllers on: longitudinal, no load transfer.

Tyre: Burckhardt's law (Kiencke and Nielsen, Automotive Control Systems, from memory) behind a relaxation length; brake:
a moment that holds the wheel up to the capacity of its pressure; chamber: first order towards the demand, held, or
towards nothing.  It shares no line with the program's own road.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numba import njit

from pneusim.control.protocol import APPLY, HOLD, RELEASE, Controller

GRAVITY = 9.81
LOAD, RADIUS, INERTIA = 22e3, 0.5, 13.0  # of each wheel [N, m, kg m2]
GAIN, THRESHOLD = 1.21 * 193.5e-4, 41e3  # moment over pressure [m3], pressure from which on it brakes [Pa]
FILLS, EMPTIES = 0.12, 0.10  # time constants of a chamber [s]
STICK = 2e-3  # of the brake's moment at a standing wheel [s]
RELAXATION, LEAST_RELAXATION, DAMPING = 0.30, 0.02, 0.004  # [m, m, s/m]
STEP = 5e-4  # [s]

Surface = tuple[float, float, float]
DRY: Surface = (0.896, 23.99, 0.364)
WET: Surface = (0.686, 33.82, 0.278)
LOW: Surface = (0.321, 60.0, 0.08)
SNOW: Surface = (0.1946, 94.129, 0.0646)
ICE: Surface = (0.05, 306.39, 0.0)


def peak_slip(surface: Surface) -> float:
    """Slip of the highest friction: ln(c1 c2/c3)/c2, or 1."""
    c1, c2, c3 = surface
    return min(math.log(c1 * c2 / c3) / c2, 1.0) if c3 > 0.0 else 1.0


def peak(surface: Surface) -> float:
    """Highest friction."""
    c1, c2, c3 = surface
    slip = peak_slip(surface)
    return c1 * (1.0 - math.exp(-c2 * slip)) - c3 * slip


@njit
def _rates(V, v, k, p, surfaces, demand, commands):
    """Rates of speed of the tread, transient slip and pressure of every wheel, and of the vehicle's speed."""
    n = len(v)
    dv, dk, dp = np.zeros(n), np.zeros(n), np.zeros(n)
    force = 0.0
    for w in range(n):
        c1, c2, c3 = surfaces[w, 0], surfaces[w, 1], surfaces[w, 2]
        slope = max((c1 * c2 * math.exp(-c2 * min(abs(k[w]), 1.0)) - c3) / (c1 * c2 - c3), 0.0)
        length = LEAST_RELAXATION + (RELAXATION - LEAST_RELAXATION) * slope
        dk[w] = ((V - v[w]) - abs(V) * k[w]) / length
        slip = k[w] + DAMPING * (V - v[w]) * (0.25 + 0.75 * max(1.0 - abs(V) / 2.0, 0.0))
        a = min(abs(slip), 1.0)
        road = LOAD * (c1 * (1.0 - math.exp(-c2 * a)) - c3 * a) * (1.0 if slip >= 0.0 else -1.0)
        capacity = GAIN * max(p[w] - THRESHOLD, 0.0)
        wanted = RADIUS * road + INERTIA * v[w] / (RADIUS * STICK)
        moment = min(max(wanted, -capacity), capacity)
        dv[w] = RADIUS * (RADIUS * road - moment) / INERTIA
        if commands[w] == APPLY:
            dp[w] = (demand[w] - p[w]) / FILLS
        elif commands[w] == RELEASE:
            dp[w] = -p[w] / EMPTIES
        force += road
    return dv, dk, dp, -force * GRAVITY / (n * LOAD)


@njit
def _advance(V, v, k, p, surfaces, demand, commands, steps):
    """Heun's method."""
    x = 0.0
    for _ in range(steps):
        dv, dk, dp, dV = _rates(V, v, k, p, surfaces, demand, commands)
        ev, ek, ep, eV = _rates(
            V + STEP * dV, v + STEP * dv, k + STEP * dk, p + STEP * dp, surfaces, demand, commands
        )
        x += STEP * V
        V += 0.5 * STEP * (dV + eV)
        v, k, p = v + 0.5 * STEP * (dv + ev), k + 0.5 * STEP * (dk + ek), p + 0.5 * STEP * (dp + ep)
    return V, v, k, p, x


@dataclass(frozen=True)
class Stop:
    """What was recorded at every sample; ``commands`` are those in force, ``distance`` is the whole way [m]."""

    time: np.ndarray
    speed: np.ndarray
    wheels: np.ndarray
    pressures: np.ndarray
    commands: np.ndarray
    told: list[tuple[float, bool, bool]]
    distance: float

    def locked(self, above: float = 15 / 3.6) -> float:
        """Longest time that a wheel stood while the vehicle was faster than that [s]."""
        standing = (self.wheels < 0.05 * self.speed[:, None]) & (self.speed[:, None] > above)
        longest = 0
        for row in standing.T:
            run = 0
            for stands in row:
                run = run + 1 if stands else 0
                longest = max(longest, run)
        return longest * float(self.time[1])

    def braking_rate(self, fast: float = 45 / 3.6, slow: float = 15 / 3.6) -> float:
        """Mean deceleration between two speeds over gravity."""
        begins, ends = (self.time[np.argmax(self.speed <= at)] for at in (fast, slow))
        return float((fast - slow) / (ends - begins) / GRAVITY)

    def filled(self, wheel: int = 0) -> float:
        """Sum of all rises of the pressure in a chamber [Pa]: what the air used goes by."""
        return float(np.maximum(np.diff(self.pressures[:, wheel]), 0.0).sum())

    def cycles(self, wheel: int = 0) -> np.ndarray:
        """Times at which a release began [s]."""
        released = self.commands[:, wheel] == RELEASE
        return self.time[1:][released[1:] & ~released[:-1]]


def stop(
    controller: Controller | None,
    roads: Sequence[Surface] | Callable[[float], Sequence[Surface]],
    speed: float,
    *,
    demand: float | Callable[[float], float] = 650e3,
    sample: float = 0.005,
    delay: float = 0.015,
    resolution: float = 0.02,
    lost: dict[int, float] | None = None,
    unbraked: Sequence[int] = (),
    lasts: float = 60.0,
) -> Stop:
    """Brake from a speed [m/s] to less than 1 m/s; ``lost`` are sensors and when they are lost [s].

    Wheels ``unbraked`` roll.
    """
    surfaces_at = roads if callable(roads) else lambda way: roads
    n = len(surfaces_at(0.0))
    V, v, k, p, way = speed, np.full(n, speed), np.zeros(n), np.zeros(n), 0.0
    commands = np.full(n, APPLY)
    waiting: list[tuple[int, Sequence[int]]] = []
    rows, told = [], []
    late = round(delay / sample)
    for count in range(round(lasts / sample)):
        time = count * sample
        if controller is not None:
            read = [0.0 if time >= (lost or {}).get(w, math.inf) else round(x / resolution) * resolution
                    for w, x in enumerate(v)]  # fmt: skip
            waiting.append((count + late, controller.on_sample(time, read)))
            state = (controller.reference_speed, controller.lamp, controller.controlling)
            told.append(state)
        while waiting and waiting[0][0] <= count:
            commands = np.array(waiting.pop(0)[1])
        rows.append((time, V, v, p, commands))
        if V < 1.0:
            break
        asked = np.full(n, demand(time) if callable(demand) else demand)
        asked[list(unbraked)] = 0.0
        surfaces = np.array(surfaces_at(way))
        V, v, k, p, x = _advance(V, v, k, p, surfaces, asked, commands, round(sample / STEP))
        way += x
    times, speeds, wheels, pressures, given = map(np.array, zip(*rows))
    return Stop(times, speeds, wheels, pressures, given, told, way)


__all__ = ["APPLY", "DRY", "HOLD", "ICE", "LOW", "RELEASE", "SNOW", "WET", "Stop", "peak", "peak_slip", "stop"]
