"""Trailer valves against published figures (`shared/references/trailers.yaml`)."""

from __future__ import annotations

from pneusim.reading import load_text
from pneusim.simulate import run
from tests.reference_figures import figure

RIG = """\
pneusim: 1
title: The supply line of a semitrailer is drained and recharged slowly
components:
  line_end: {{type: supply, pressure: {supply}}}
  signal:   {{type: supply, pressure: 0 bar}}
  valve:    {{type: relay_emergency_valve}}
  tank:     {{type: reservoir, volume: 40 L, pressure: {reservoir}}}
  left:     {{type: brake_chamber, size: 30}}
  right:    {{like: left}}
lines:
  supply_line:  {{from: line_end.1, to: valve.1, bore: 9.5 mm, length: 6 m}}
  control_line: {{from: signal.1, to: valve.4, bore: 9.5 mm, length: 6 m}}
  feed:         {{from: valve.1-2, to: tank.1, bore: 12 mm, length: 1 m}}
  rod_l:        {{from: valve.21, to: left.11, bore: 9 mm, length: 1 m}}
  rod_r:        {{like: rod_l, from: valve.22, to: right.11}}
scenarios:
  slowly:
    lasts: {lasts:g} s
    steps:
      - {{at: 0 s, set: line_end.pressure, to: 0 bar, over: {over:g} s}}
      - {{at: {over:g} s, set: line_end.pressure, to: {supply}, over: {over:g} s}}
"""


def test_a_relay_emergency_valve_applies_by_itself_and_releases():
    f = figure("relay_emergency_applies")
    over = f["supply"] / f["rate"]
    words = {"supply": f.inputs["supply"], "reservoir": f.inputs["reservoir"], "over": over, "lasts": 2.0 * over}
    result = run(load_text(RIG.format(**words)), "slowly")
    chamber, supply = result["left.service_pressure"], result["valve.supply_pressure"]
    braked = chamber.times[chamber.values > f["applied"]]
    f.check(supply(braked[0]))
    assert chamber(over) > 0.9 * f["reservoir"]
    assert supply(braked[-1]) <= f["released_by"]
