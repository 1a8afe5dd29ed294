"""Reservoirs that are bled down slowly, engine stopped."""

from __future__ import annotations

import math

from pneusim.circuit.circuit import Component
from pneusim.results.run import Run
from pneusim.rules.bench import Bench
from pneusim.rules.us393.service import full_pressure, ready

BEGINS, HOLE = 0.5, 0.016
"""When the reservoirs begin to leak [s], and the hole of each over the root of its volume [m/m^1.5]: 3 mm for 35 L, so
that all fall alike."""

LOOK_EVERY, LONGEST = 5.0, 1800.0
"""How often the pressure is looked at [s], and how long it may take [s]."""


def bled(bench: Bench, reservoirs: list[Component], down_to: float) -> Run:
    """Bleed the reservoirs until the fullest of them is down to a pressure [Pa]."""
    stepper = bench.stepper(ready(bench, full_pressure(bench.subject)[0]))
    stepper.advance(BEGINS)
    for tank in reservoirs:
        hole = HOLE * math.sqrt(float(bench.subject.figure(tank, "volume")))
        stepper.fault(f"{tank.name}.lost", hole)
    while max(stepper.value(f"{tank.name}.pressure") for tank in reservoirs) > down_to and stepper.time < LONGEST:
        stepper.advance(LOOK_EVERY)
    return stepper.run()
