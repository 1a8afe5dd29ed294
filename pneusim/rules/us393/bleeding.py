"""Reservoirs that are bled down slowly, engine stopped."""

from __future__ import annotations

from pneusim.circuit.circuit import Component
from pneusim.results.run import Run
from pneusim.rules.bench import Bench
from pneusim.rules.us393.service import full_pressure, ready

BEGINS, HOLE = 0.5, 3e-3
"""When the reservoirs begin to leak [s], and through which hole each [m]."""

LOOK_EVERY, LONGEST = 5.0, 1800.0
"""How often the pressure is looked at [s], and how long it may take [s]."""


def bled(bench: Bench, reservoirs: list[Component], down_to: float) -> Run:
    """Bleed the reservoirs until the fullest of them is down to a pressure [Pa]."""
    stepper = bench.stepper(ready(bench, full_pressure(bench.subject)[0]))
    stepper.advance(BEGINS)
    for tank in reservoirs:
        stepper.fault(f"{tank.name}.lost", HOLE)
    while max(stepper.value(f"{tank.name}.pressure") for tank in reservoirs) > down_to and stepper.time < LONGEST:
        stepper.advance(LOOK_EVERY)
    return stepper.run()
