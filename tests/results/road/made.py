"""Made-up runs on a road: speeds over time are given, ways follow from them, loads and forces are given by axle."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from pneusim.circuit.braking import axle_name, vehicle_name
from pneusim.circuit.circuit import Axle, Component, Vehicle
from pneusim.circuit.road import Road
from pneusim.circuit.rolling import SIDES, wheel_name
from pneusim.circuit.scenario import Expectation, Scenario
from pneusim.results.run import Event, Run
from tests.results.synthetic import run_of

TRUCK = (Vehicle(kind="truck", axles=(Axle(1), Axle(2))),)
TRAIN = (
    Vehicle("tractor", "tractor", axles=(Axle(1), Axle(2))),
    Vehicle("trailer", "semitrailer", axles=(Axle(1), Axle(2))),
)
LOAD = 50e3
MOVING = Road(speed=20.0)

Curves = Mapping[str, np.ndarray]


def times(lasts: float = 12.0, step: float = 0.01) -> np.ndarray:
    return np.linspace(0.0, lasts, round(lasts / step) + 1)


def braking(t: np.ndarray, v: float, start: float, a: float) -> np.ndarray:
    """Speed that falls evenly from a moment on, to rest [m/s]."""
    return np.maximum(v - a * np.maximum(t - start, 0.0), 0.0)


def road_run(
    t: np.ndarray,
    speeds: Curves,
    *,
    vehicles: Sequence[Vehicle] = TRUCK,
    more: Curves | None = None,
    components: Sequence[Component] = (),
    events: Sequence[Event] = (),
    expectations: Sequence[Expectation] = (),
    road: Road = MOVING,
) -> Run:
    """A run, not finished.

    ``speeds`` are those of units by owner, by default that of the first, and of wheels that do not just roll along;
    ``more`` are other channels: loads and forces of axles, hitches, the circuit.
    """
    channels: dict[str, np.ndarray] = {}
    first = speeds[vehicle_name(vehicles[0].name)]
    for place, vehicle in enumerate(vehicles):
        name = vehicle_name(vehicle.name)
        V = speeds.get(name, first)
        channels[f"{name}.speed"] = V
        channels[f"{name}.distance"] = np.concatenate(([0.0], np.cumsum(0.5 * (V[1:] + V[:-1]) * np.diff(t))))
        if place:
            channels |= {f"{name}.hitched": np.ones_like(t), f"{name}.hitch_force": np.zeros_like(t)}
        for axle in vehicle.axles:
            own = axle_name(vehicle.name, axle.number)
            channels |= {f"{own}.load": np.full_like(t, LOAD), f"{own}.road_force": np.zeros_like(t)}
            for side in SIDES:
                wheel = wheel_name(vehicle.name, axle.number, side)
                v = speeds.get(wheel, V)
                channels |= {f"{wheel}.speed": v, f"{wheel}.slip": (V - v) / np.maximum(np.abs(V), 0.1)}
    channels |= dict(more or {})
    for name in [name for name in channels if name.endswith(".road_force")]:
        owner = name.removesuffix(".road_force")
        channels[f"{owner}.adhesion_used"] = channels[name] / np.maximum(channels[f"{owner}.load"], 1.0)
    scenario = Scenario("made_up", lasts=float(t[-1]), road=road, expectations=tuple(expectations))
    return run_of(
        {name: (t, np.asarray(values, float), _dimension(name)) for name, values in channels.items()},
        list(components),
        vehicles=tuple(vehicles),
        scenario=scenario,
        events=tuple(events),
    )


def pedal(t: np.ndarray, start: float) -> tuple[Component, dict[str, np.ndarray]]:
    """A foot valve that is pressed within 0.1 s, with its channel."""
    return Component("foot", "foot_valve"), {"foot.travel": np.clip((t - start) / 0.1, 0.0, 1.0)}


def values(run: Run) -> dict[str, float | None]:
    return {result.name: result.value for result in run.measures}


def reasons(run: Run) -> dict[str, str]:
    return {result.name: result.reason for result in run.measures}


_WORDS = {"speed": "speed", "distance": "distance", "load": "force", "road_force": "force", "hitch_force": "force",
          "pressure": "pressure", "temperature": "temperature", "brake_force": "force"}  # fmt: skip


def _dimension(name: str) -> str:
    return _WORDS.get(name.rpartition(".")[2], "fraction")
