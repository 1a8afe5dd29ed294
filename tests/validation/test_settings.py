"""Settings of valves as official manuals print them, met by the default parts of one small circuit, and compressors.

Sources of the figures: `shared/references/settings.yaml`, each with title, edition and page.
"""

from __future__ import annotations

from functools import cache

import pytest

from pneusim.results.run import Run
from tests.reference_figures import Figure, figure
from tests.validation.circuits import told

DEFAULTS = """
components:
  engine_air: {type: compressor}
  keep:       {type: check_valve}
  tank:       {type: reservoir, volume: 5 L, pressure: 0 psi}
  governor:   {type: governor}
  low:        {type: pressure_switch}
  safety:     {type: safety_valve}
  park:       {type: park_control}
  springs:    {type: test_volume, volume: 0.5 L}
lines:
  pipe: {from: engine_air.2, to: keep.1, bore: 12 mm, length: 1 m}
  line: {from: park.21, to: springs.1, bore: 8 mm, length: 1 m}
joints:
  - [keep.2, tank.1, governor.1, low.1, safety.1, park.1]
scenarios:
  up_and_down:
    lasts: 60 s
    begin: {engine_air.speed: 1500 rpm, park.lever: applied}
    steps:
      - {at: 30 s, set: park.lever, to: released}
      - {at: 30 s, set: engine_air.running, to: 'off'}
      - {at: 31 s, set: tank.drain, to: open}
  governor_fails:
    lasts: 60 s
    begin: {engine_air.speed: 1500 rpm, park.lever: applied}
    steps:
      - {at: 0 s, fault: governor.stuck_loaded}
"""


@cache
def settled(scenario: str) -> Run:
    return told(DEFAULTS, scenario)


@pytest.mark.parametrize(
    ("name", "component", "kind"),
    [
        ("governor_cut_out", "governor", "cut_out"),
        ("governor_cut_in", "governor", "cut_in"),
        ("low_pressure_warning", "low", "closed"),
        ("park_control_trip", "park", "tripped"),
    ],
)
def test_what_the_default_parts_do_by_themselves(name: str, component: str, kind: str):
    run = settled("up_and_down")
    event = [e for e in run.events if (e.component, e.kind) == (component, kind)][-1]
    figure(name).check(run["tank.pressure"](event.time))


def test_the_safety_valve_holds_what_a_failed_governor_lets_through():
    run = settled("governor_fails")
    figure("safety_valve_limit").check(run["tank.pressure"](60.0))


def charge(f: Figure, ambient: str, volume: str, start: str, end: str) -> Run:
    """A compressor without losses charges a tank whose wall keeps it nearly at the ambient temperature."""
    given = f.inputs
    return told(f"""
ambient: {{{ambient}}}
heat: 10000 W/(m2 K)
components:
  engine_air: {{type: compressor, displacement: {given["displacement"]}, efficiency: 100 %, clearance: 0,
               temperature: 20 degC}}
  tank:       {{type: reservoir, volume: {volume}, pressure: {start}}}
  governor:   {{type: governor, cut_out: 300 psi, cut_in: 290 psi}}
joints:
  - [engine_air.2, tank.1, governor.1]
scenarios:
  check:
    lasts: 400 s
    begin: {{engine_air.speed: {given["speed"]}}}
    measure:
      - {{name: rise, reach: tank.pressure, level: {end}}}
""")


@pytest.mark.parametrize("name", ["compressor_12_cfm", "compressor_15_5_cfm"])
def test_swept_volume_to_mass_flow(name: str):
    f = figure(name)
    f.check(charge(f, "pressure: 100 kPa abs", "1 m3", "0 psi", "1 psi")["engine_air.delivery"](1.0))


@pytest.mark.parametrize(
    ("name", "ambient"),
    [
        ("compressor_rule_25_s", "pressure: 100 kPa abs"),
        ("receiver_20_scfm", "pressure: 14.7 psi abs"),
        ("receiver_15_scfm", "pressure: 14.7 psi abs"),
    ],
)
def test_time_to_charge_a_receiver(name: str, ambient: str):
    f = figure(name)
    run = charge(f, ambient, f.inputs["volume"], f.inputs["start"], f.inputs["end"])
    (rise,) = [m.value for m in run.measures if m.name == "rise"]
    f.check(rise)
