"""A small circuit for studies, and cases of it."""

from dataclasses import replace

from pneusim.reading import apply_changes, load_text
from pneusim.studies.case import Case

TEXT = """\
pneusim: 1
title: A reservoir empties through an orifice
components:
  tank: {type: reservoir, volume: 2 L, pressure: 6 bar}
  hole: {type: restriction, conductance: 2 dm3/(s bar), critical_ratio: 0.5}
  air:  {type: atmosphere}
joints:
  - [tank.21, hole.1]
  - [hole.2, air.1]
scenarios:
  empties:
    lasts: 1 s
    measure:
      - {name: half, reach: tank.pressure, falls_to: 3 bar}
"""
CIRCUIT = load_text(TEXT, "orifice.yaml")


def case(litres=2.0, name="", **others):
    circuit = apply_changes(CIRCUIT, {"tank.volume": 1e-3 * litres})
    return Case(name or f"{litres} L", circuit, CIRCUIT.scenarios["empties"], rtol=1e-3, **others)


def broken():
    """A case that the program refuses."""
    good = case(name="broken")
    return replace(good, scenario=replace(good.scenario, lasts=-1.0))
