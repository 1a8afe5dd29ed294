"""What a road costs: steps that it adds to a run, and anti-lock stops against real time, with where their time goes."""

from __future__ import annotations

import time
from dataclasses import replace

from pneusim import reading
from pneusim.circuit.circuit import Circuit
from pneusim.circuit.road import Road, Stretch
from pneusim.circuit.scenario import Scenario, Step
from pneusim.circuit.surfaces import shipped_surfaces
from pneusim.results.run import Run
from pneusim.simulate import run, session
from tests.benchmarks.measure import Target, ThreadClock, show

WITHOUT_CONTROL = ("rigid-truck", "tractor-semitrailer")
WITH_CONTROL = ("anti-lock-truck", "anti-lock-combination")
SURFACES = (("dry", 80.0), ("wet", 80.0), ("low", 50.0), ("ice", 40.0))  # speed in km/h
STANDING = 0.05  # [m/s]
MORE_STEPS, TIMES_REAL = 30.0, 10.0


def stop(name: str, surface: str | None, speed: float, lasts: float) -> tuple[Circuit, Scenario]:
    """A full application from a speed [km/h], or without a road."""
    circuit = reading.load(name)
    foot = next(c.name for c in circuit.components.values() if c.type == "foot_valve")
    begin = {f"{c.name}.lever": 1.0 for c in circuit.components.values() if c.type == "park_control"}
    begin |= {f"{c.name}.knob": 1.0 for c in circuit.components.values() if c.type == "trailer_supply_control"}
    steps = (Step("set", at=0.2, target=f"{foot}.travel", to=1.0, over=0.1),)
    road = None
    if surface:
        road = Road(speed / 3.6, stretches=(Stretch(-1e6, surface, surface),), surfaces=shipped_surfaces())
    return circuit, Scenario("stop", lasts=lasts, begin=begin, steps=steps, road=road)


def measured(circuit: Circuit, scenario: Scenario) -> tuple[Run, dict[str, float]]:
    """The second run of two, and CPU time of its phases [s]."""
    clock, session.clock = session.clock, ThreadClock  # type: ignore[assignment]
    try:
        run(circuit, scenario)
        begin = time.thread_time()
        result = run(circuit, scenario)
        return result, {**result.solver.phases, "whole": time.thread_time() - begin}
    finally:
        session.clock = clock


def standstill(result: Run) -> float:
    """When the first vehicle stands [s]; the end of the run if it does not."""
    speed = next(c for name, c in result.channels.items() if name.endswith("vehicle.speed"))
    still = speed.times[speed.values <= STANDING]
    return float(still[0] if len(still) else speed.times[-1])


def main() -> bool:
    """Measure both."""
    rows, targets = [], []
    for name in WITHOUT_CONTROL:
        without, _ = measured(*stop(name, None, 0.0, 8.0))
        for surface, speed in SURFACES[:2]:
            result, taken = measured(*stop(name, surface, speed, 8.0))
            more = (result.solver.steps - without.solver.steps) / 8.0
            rows.append([name, surface, "8.0", str(result.solver.steps), f"{1e3 * taken['integrate']:.0f}", "",
                         f"{8.0 / taken['whole']:.0f}"])  # fmt: skip
            targets.append(Target(f"{name}, {surface}: steps that the road adds [1/s]", more, MORE_STEPS, least=False))
    for name in WITH_CONTROL:
        for surface, speed in SURFACES:
            circuit, scenario = stop(name, surface, speed, 40.0)
            result, _ = measured(circuit, scenario)
            lasts = standstill(result)
            result, taken = measured(circuit, replace(scenario, lasts=lasts))
            rows.append([name, surface, f"{lasts:.1f}", str(result.solver.steps), f"{1e3 * taken['integrate']:.0f}",
                         f"{1e3 * taken['measure']:.0f}", f"{lasts / taken['whole']:.1f}"])  # fmt: skip
            fast = lasts / taken["whole"]
            targets.append(Target(f"{name}, {surface}: anti-lock stop, times real time", fast, TIMES_REAL))
    heads = ["circuit", "surface", "s", "steps", "integrate ms", "measure ms", "times real time"]
    return show("Vehicles on a road", heads, rows, targets)


if __name__ == "__main__":
    raise SystemExit(0 if main() else 1)
