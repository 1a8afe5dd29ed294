"""Annex 6, 3.3: the simulator of a towing vehicle, and what it does to the vessels that it is set with."""

from __future__ import annotations

import math
from dataclasses import replace

from pneusim.circuit.scenario import Step
from pneusim.reading import load
from pneusim.results.run import Run
from pneusim.rules.bench import RIGS, Bench, time_to
from pneusim.rules.un13.kinds import ready, rigs

SIMULATOR = "trailer_simulator"
LINE = f"{SIMULATOR}.pipe.pressure"
"""The control line immediately behind the orifice."""

OPENS, END = 0.2, 3.2
"""When the control device opens, and when the test ends [s]: the pressure then is the asymptotic one."""

SETTING_ENDS = 1.5


def applied(bench: Bench) -> Run:
    """A trailer, applied by the simulator."""
    begin = ready(bench, bench.value("simulator.supply")) | _start(bench)
    return bench.run("Application by the simulator", (_opening(),), END, begin, rigs(bench, SIMULATOR))


def setting(bench: Bench) -> tuple[float, float]:
    """Times [s] from 65 to 490 kPa with the small and the large vessel in place of a trailer."""
    circuit = load(RIGS / "simulator_setting.yaml")
    vessel = Bench(replace(bench.subject, circuit=circuit, vehicle=circuit.vehicles[0]), bench.limits)
    low, high = bench.value("simulator.from"), bench.value("simulator.to")
    times = []
    for size in ("small", "large"):
        begin = _start(bench) | {"vessel.volume": bench.value(f"simulator.{size}")}
        line = vessel.run("Setting of the simulator", (_opening(),), SETTING_ENDS, begin, (SIMULATOR,))[LINE]
        start, end = time_to(line, low, +1, OPENS), time_to(line, high, +1, OPENS)
        times.append(math.nan if start is None or end is None else end - start)
    return times[0], times[1]


def _opening() -> Step:
    return Step("set", at=OPENS, target=f"{SIMULATOR}.device.position", to=1.0)


def _start(bench: Bench) -> dict[str, float]:
    return {
        f"{SIMULATOR}.source.pressure": bench.value("simulator.pressure"),
        f"{SIMULATOR}.supply.pressure": bench.value("simulator.supply"),
        f"{SIMULATOR}.device.position": 0.0,
    }
