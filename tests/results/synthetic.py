"""A made-up run of a tractor and semitrailer that part, for tests that need a run and no engine.

Pressures are first-order responses, strokes and forces follow from them without inertia or friction.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from pneusim.circuit.circuit import Axle, Circuit, Component, Vehicle
from pneusim.circuit.scenario import Expectation, Measure, Scenario, Step
from pneusim.results.run import Channel, Closure, Event, Run, SolverReport

FREE, STIFF = 14e-3, 500e3
"""Clearance [m] and stiffness [N/m] of a brake."""

AREA, PISTON, SPRING, RATE = 0.0194, 0.0193, 7600.0, 45e3
"""Areas [m2], force of the spring held off [N], rate [N/m]."""

TANK = {"service": True, "volume": 0.04}

PRESSED, LIFTED, PARTS, TRIPS = 1.0, 3.0, 5.0, 5.31
"""When the foot valve is moved, when the couplings part, when the trailer supply control trips [s]."""

Curve = Callable[[np.ndarray], np.ndarray]


def channel(name: str, times: np.ndarray, values: np.ndarray, dimension: str = "pressure", label: str = "") -> Channel:
    return Channel(name, np.asarray(times, float), np.asarray(values, float), dimension, label or name)


def run_of(
    channels: Mapping[str, tuple[np.ndarray, np.ndarray, str]],
    components: list[Component],
    *,
    vehicles: tuple[Vehicle, ...] = (Vehicle(),),
    scenario: Scenario | None = None,
    events: tuple[Event, ...] = (),
    **others: object,
) -> Run:
    """A run of the given components and channels, not finished."""
    circuit = Circuit("Made up", {c.name: c for c in components}, {}, vehicles=vehicles, name="made_up")
    made = {name: channel(name, *data) for name, data in channels.items()}
    return Run(
        circuit,
        scenario or Scenario("made_up"),
        made,
        events,
        Closure(2.3e-16, 4.0e-14),
        SolverReport("rodas4", 235, 461, 139, 9, 4.3e-6, {"settling": 0.1, "running": 0.4}, 0.5, 0.48, 1e-4),
        **others,  # type: ignore[arg-type]
    )


def separation(lasts: float = 12.0) -> Run:
    """Braking, release, then both couplings part and the trailer's springs stop it."""
    times = _times(lasts)
    channels: dict[str, tuple[np.ndarray, np.ndarray, str]] = {}

    def add(name: str, values: np.ndarray, dimension: str = "pressure") -> None:
        channels[name] = (times, values, dimension)

    travel = np.interp(times, [0, PRESSED, PRESSED + 0.2, LIFTED, LIFTED + 0.2, lasts], [0, 0, 1, 1, 0, 0])
    add("tractor.foot.travel", travel, "fraction")
    add("tractor.foot.delivery_pressure", _follow(times, 640e3, 0.01, 0.02))
    add("tractor.trailer_supply.knob", np.where(_after(times, TRIPS), 0.0, 1.0), "fraction")
    add("tractor.park.lever", np.ones_like(times), "fraction")
    add("tractor.primary.pressure", 827e3 - 40e3 * _rise(times, PRESSED, 0.3) - 6e3 * _rise(times, PARTS, 0.4))
    add("tractor.secondary.pressure", 827e3 - 25e3 * _rise(times, PRESSED, 0.3))
    add("trailer.tank.pressure", 820e3 - 60e3 * _rise(times, PRESSED + 0.1, 0.3))
    supply = 820e3 * np.exp(-np.maximum(times - PARTS, 0.0) / 0.18)
    add("trailer.supply.pressure", supply)
    held_off = 820e3 * np.exp(-np.maximum(times - PARTS - 0.03, 0.0) / 0.40)
    for unit, axle, side, kind in _BRAKES:
        name = f"{unit}.axle_{axle}_{side}"
        late = 0.02 * axle + (0.12 if unit == "trailer" else 0.0)
        tau = 0.13 if unit == "trailer" else 0.07
        service = _follow(times, 640e3 - 8e3 * axle, late, tau)
        off = None if kind == "brake_chamber" else held_off if unit == "trailer" else np.full_like(times, 810e3)
        _brake(add, name, service, off)
    return run_of(
        channels,
        _components(),
        vehicles=(
            Vehicle("tractor", "tractor", True, axles=(Axle(1), Axle(2))),
            Vehicle("trailer", "semitrailer", axles=(Axle(1), Axle(2), Axle(3))),
        ),
        scenario=_scenario(lasts),
        events=_EVENTS,
        message="The run reached its end.",
        sources=("ISO 6358-1:2013: flow through restrictions",),
    )


_BRAKES = [
    *(("tractor", 1, side, "brake_chamber") for side in ("left", "right")),
    *(("tractor", 2, side, "spring_brake_actuator") for side in ("left", "right")),
    *(("trailer", axle, side, "spring_brake_actuator") for axle in (1, 2, 3) for side in ("left", "right")),
]

_EVENTS = (
    Event(PRESSED, "set", "tractor.foot", "the foot valve is pressed to 100 % within 0.2 s"),
    Event(LIFTED, "set", "tractor.foot", "the foot valve is released within 0.2 s"),
    Event(PARTS, "separate", "supply_line", "the supply line and the control line part"),
    Event(
        TRIPS,
        "trips",
        "tractor.trailer_supply",
        "the trailer supply control tripped, because its delivery fell through 207 kPa",
        "trip",
    ),
)


def _scenario(lasts: float) -> Scenario:
    return Scenario(
        "separation",
        title="Both couplings part while driving",
        lasts=lasts,
        steps=(
            Step("set", at=PRESSED, target="tractor.foot.travel", to=1.0, over=0.2),
            Step("set", at=LIFTED, target="tractor.foot.travel", to=0.0, over=0.2),
            Step("separate", at=PARTS, targets=("supply_line", "control_line"), over=0.05),
        ),
        measures=(Measure("drive_lag", since="tractor.foot.travel", reach="all_brakes", level=0.75, relative=True),),
        expectations=(
            Expectation("drive_lag", high=0.6, source="a rule, clause 1"),
            Expectation("tractor.primary.lowest", low=700e3),
        ),
    )


def _components() -> list[Component]:
    brakes = [
        Component(f"{unit}.axle_{axle}_{side}", kind, unit=unit, axle=axle, side=side)
        for unit, axle, side, kind in _BRAKES
    ]
    return [
        Component("tractor.primary", "reservoir", TANK, label="Primary", unit="tractor"),
        Component("tractor.secondary", "reservoir", TANK, label="Secondary", unit="tractor"),
        Component("trailer.tank", "reservoir", TANK, unit="trailer"),
        Component("tractor.foot", "foot_valve", unit="tractor"),
        Component("tractor.park", "park_control", unit="tractor"),
        Component("tractor.trailer_supply", "trailer_supply_control", unit="tractor"),
        Component("tractor.low", "pressure_switch", unit="tractor"),
        Component("trailer.supply", "coupling_head", {"role": "supply"}, unit="trailer"),
        *brakes,
    ]


def _times(lasts: float) -> np.ndarray:
    moments = (PRESSED, PRESSED + 0.2, LIFTED, LIFTED + 0.2, PARTS, PARTS + 0.03, TRIPS)
    fine = [moment + np.geomspace(1e-4, 1.5, 120) for moment in moments]
    inside = np.unique(np.concatenate([np.linspace(0.0, lasts, 121), *fine]))
    inside = inside[(inside >= 0.0) & (inside <= lasts)]
    return np.sort(np.concatenate([inside, moments]))


def _after(times: np.ndarray, moment: float) -> np.ndarray:
    """True from the right limit of ``moment`` on (``times`` holds it twice)."""
    after = times > moment
    twice = np.flatnonzero(times == moment)
    after[twice[-1:]] = True
    return after


def _rise(times: np.ndarray, since: float, tau: float) -> np.ndarray:
    return 1.0 - np.exp(-np.maximum(times - since, 0.0) / tau)


def _follow(times: np.ndarray, held: float, late: float, tau: float) -> np.ndarray:
    up = _rise(times, PRESSED + late, tau)
    return held * up * np.exp(-np.maximum(times - LIFTED - late, 0.0) / (2.0 * tau))


def _brake(add: Callable[..., None], name: str, service: np.ndarray, held_off: np.ndarray | None) -> None:
    stroke = FREE * np.clip(service / 20e3, 0.0, 1.0) + np.maximum(0.0, service - 25e3) * AREA / STIFF
    if held_off is not None:
        push = SPRING - held_off * PISTON
        spring = np.clip(push / RATE, 0.0, FREE)
        spring = np.where(push > RATE * FREE, (push + STIFF * FREE) / (RATE + STIFF), spring)
        stroke = np.maximum(stroke, spring)
        add(f"{name}.spring_pressure", held_off)
        add(f"{name}.spring_travel", spring, "length")
    add(f"{name}.service_pressure", service)
    add(f"{name}.stroke", stroke, "length")
    add(f"{name}.pushrod_force", STIFF * np.maximum(0.0, stroke - FREE), "force")
