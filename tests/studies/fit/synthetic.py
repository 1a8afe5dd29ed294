"""Measured files made from runs: known parameters, known noise, another sampling, another clock."""

from __future__ import annotations

import numpy as np

from pneusim.quantities import DIMENSIONS
from pneusim.reading import load_text
from pneusim.simulate.session import Session
from pneusim.studies.sweep.targets import changed

SHARP = 1e-7


def traces(circuit, scenario, channels, changes=None):
    """Channels of a sharp run with some values changed, sampled so finely that a pressure is known to 0.05 Pa."""
    circuit, scenario = changed(circuit, circuit.scenarios[scenario], changes or {})
    session = Session(circuit, scenario, "rodas4", SHARP)
    session.sampler.refine(1e-3)
    session.schedule()
    session.advance(scenario.lasts)
    found = session.computed().channels
    return {name: (lambda times, c=found[name]: np.interp(times, c.times, c.values)) for name in channels}


def written(times, columns, remark="", digits=6):
    """Text of a measured file: ``columns`` is {head: (values [SI], unit, dimension)}."""
    lines = [f"# {line}" for line in remark.splitlines()]
    lines.append(",".join(["time [s]", *(f"{head} [{unit}]" for head, (_, unit, _) in columns.items())]))
    for row, time in enumerate(times):
        numbers = (values[row] / DIMENSIONS[dimension].units[unit] for values, unit, dimension in columns.values())
        cells = [f"{number:.{digits}g}" for number in numbers]
        lines.append(",".join([f"{time:.6g}", *cells]))
    return "\n".join(lines) + "\n"


TANK = """\
pneusim: 1
title: A tank empties
heat: {heat}
components:
  tank: {{type: reservoir, volume: 2 L, pressure: 6 bar}}
  hole: {{type: restriction, conductance: 2 dm3/(s bar), critical_ratio: 0.3}}
  air:  {{type: atmosphere}}
joints:
  - [tank.21, hole.1]
  - [hole.2, air.1]
scenarios:
  empties: {{lasts: 4 s}}
"""


def tank(heat="isothermal"):
    return load_text(TANK.format(heat=heat), "tank.yaml")
