"""Isothermal vessels of any size keep the balance of energy, over long steps as well."""

import pytest

from pneusim.reading import load_text
from pneusim.simulate import run

CHARGED = """\
pneusim: 1
components:
  engine_air: {type: compressor}
  tank: {type: reservoir, volume: 105 L, heat: isothermal, pressure: 5.86 bar}
lines:
  pipe: {from: engine_air.2, to: tank.1, bore: 12 mm, length: 2 m}
scenarios:
  quiet: {lasts: 120 s, begin: {engine_air.speed: 2000 rpm}}
"""
EMPTIED = """\
pneusim: 1
components:
  tank: {type: reservoir, volume: 850 L, heat: isothermal, pressure: 5 bar}
  cock: {type: stop_valve, conductance: 200 dm3/(s bar)}
  hole: {type: restriction, conductance: 15 dm3/(s bar)}
  outside: {type: atmosphere}
joints:
  - [tank.1, cock.1]
  - [cock.2, hole.1]
  - [hole.2, outside.1]
scenarios:
  quiet: {lasts: 100 s, begin: {cock.position: open}}
"""


@pytest.mark.parametrize("text", [CHARGED, EMPTIED])
def test_the_balance_closes_and_the_air_keeps_its_temperature(text):
    result = run(load_text(text), "quiet")
    assert result.closure.energy < 1e-10
    assert abs(result["tank.temperature"].values - 293.15).max() < 0.05
