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
USED_AND_LEFT = """\
pneusim: 1
components:
  tank:  {type: reservoir, volume: 20 L, pressure: 8 bar, heat: isothermal}
  foot:  {type: foot_valve}
  left:  {type: brake_chamber, size: 20}
  right: {like: left}
  hole:  {type: restriction, conductance: 0.008 dm3/(s bar)}
  outside: {type: atmosphere}
lines:
  to_left:  {from: foot.21, to: left.11, bore: 9 mm, length: 3 m}
  to_right: {from: foot.22, to: right.11, bore: 9 mm, length: 3 m}
joints:
  - [tank.1, foot.11, foot.12, hole.1]
  - [hole.2, outside.1]
scenarios:
  quiet: {lasts: 300 s, steps: [{at: 61 s, set: foot.travel, to: 100 %}]}
"""


@pytest.mark.parametrize("text", [CHARGED, EMPTIED, USED_AND_LEFT])
def test_the_balance_closes_and_the_air_keeps_its_temperature(text):
    result = run(load_text(text), "quiet")
    assert result.closure.energy < 1e-10
    assert abs(result["tank.temperature"].values - 293.15).max() < 0.05
