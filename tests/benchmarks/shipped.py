"""Shipped combinations in a full application, and how long a user waits for commands."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from dataclasses import replace

from pneusim import reading
from pneusim.engine import settle
from pneusim.engine.machine import Machine
from pneusim.engine.methods import Rosenbrock
from pneusim.engine.segments import Loop
from pneusim.simulate.actions import Player
from pneusim.simulate.compiled import compile_circuit
from tests.benchmarks.measure import Target, show

CIRCUIT, SCENARIO = "tractor-semitrailer", "full_application"
CASES = (
    (CIRCUIT, 5.0, 25.0),  # circuit, duration [s], aim in times real time
    ("road-train", 12.0, 20.0),
)


def application(name: str, lasts: float) -> tuple[float, int, int]:
    """CPU time [s] of integrating the application, states, attempted steps; start and samples aside."""
    circuit = reading.load(reading.find_shipped(name))
    scenario = replace(circuit.scenarios[SCENARIO], lasts=lasts)
    compiled = compile_circuit(circuit, scenario)
    machine = Machine.of(compiled.assembly)
    settle.settle(machine, compiled.assembly, Rosenbrock(machine, settle.RTOL), lambda event: None)
    method = Rosenbrock(machine)
    loop = Loop(machine, method, lambda steps: None, lambda event: None)
    Player(compiled, machine, loop, lambda event: None).schedule()
    begin = time.process_time()
    loop.run(scenario.lasts)
    return time.process_time() - begin, len(machine.state), method.accepted + method.rejected


def waited(*arguments: str, cache: str | None = None) -> float:
    """Wall time [s] of a command, in an own process."""
    environment = dict(os.environ)
    if cache:  # the kernel's folder, and that of numba for the modules of the engine
        environment |= {"PNEUSIM_CACHE": cache, "NUMBA_CACHE_DIR": cache}
    begin = time.perf_counter()
    command = [sys.executable, "-m", "pneusim", *arguments]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environment)
    return time.perf_counter() - begin


def main() -> bool:
    """Measure the application and the commands."""
    rows, targets = [], []
    for name, lasts, aim in CASES:
        seconds, states, attempts = min(application(name, lasts) for _ in range(5))
        each, factor = 1e6 * seconds / attempts, lasts / seconds
        rows.append([name, f"{lasts:.0f}", states, attempts, f"{each:.0f}", f"{seconds:.3f}", f"{factor:.0f}"])
        targets.append(Target(f"{name}: times real time", factor, aim))
    head = ("circuit", "s", "states", "attempts", "us per attempt", "CPU s", "times real time")
    met = show(SCENARIO, head, rows, targets)
    with tempfile.TemporaryDirectory() as folder:
        rows = [
            ["check", f"{min(waited('check', CIRCUIT) for _ in range(3)):.2f}"],
            ["warmup, nothing compiled before", f"{waited('warmup', cache=folder):.1f}"],
            ["run of the separation, with plots", f"{waited('run', CIRCUIT, 'trailer_separates', '-o', folder):.1f}"],
        ]
    return show("Commands", ("command", "wall s"), rows) and met


if __name__ == "__main__":
    sys.exit(0 if main() else 1)
