"""Trailer valves against published figures (`shared/references/trailers.yaml`)."""

from __future__ import annotations

from pneusim.circuit.circuit import Circuit
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
  broken:
    lasts: 910 s
    steps: [{{at: 1 s, break: supply_line, where: 50 %}}]
  broken_and_leaking_back:
    lasts: 910 s
    steps:
      - {{at: 1 s, break: supply_line, where: 50 %}}
      - {{at: 1 s, fault: valve.check_stuck_open, to: 1}}
"""
HELD_FOR = 15 * 60.0  # British Columbia, Driving Commercial Vehicles, p. 181 [s]


def rig(over: float = 50.0) -> Circuit:
    f = figure("relay_emergency_applies")
    words = {"supply": f.inputs["supply"], "reservoir": f.inputs["reservoir"], "over": over, "lasts": 2.0 * over}
    return load_text(RIG.format(**words))


def test_a_relay_emergency_valve_applies_by_itself_and_releases():
    f = figure("relay_emergency_applies")
    over = f["supply"] / f["rate"]
    result = run(rig(over), "slowly")
    chamber, supply = result["left.service_pressure"], result["valve.supply_pressure"]
    braked = chamber.times[chamber.values > f["applied"]]
    f.check(supply(braked[0]))
    assert chamber(over) > 0.9 * f["reservoir"]
    assert supply(braked[-1]) <= f["released_by"]


def test_it_holds_the_brakes_for_a_quarter_of_an_hour():
    chamber = run(rig(), "broken")["left.service_pressure"]
    assert chamber(5.0) > 550e3
    assert chamber(5.0 + HELD_FOR) > 0.95 * chamber(5.0)


def test_with_a_check_valve_that_stays_open_it_does_not():
    chamber = run(rig(), "broken_and_leaking_back")["left.service_pressure"]
    assert chamber(5.0 + HELD_FOR) < 50e3
