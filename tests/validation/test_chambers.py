"""Forces of brake chambers and spring brakes, run as circuits.

Sources of the figures: `shared/references/chambers.yaml`, each with title, edition and page.
"""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.results.run import Run
from tests.reference_figures import Figure, figure, figures
from tests.validation.circuits import told

IDEAL = "return_pressure: 0 kPa, return_rate: 0 N/mm, friction_pressure: 0 kPa, friction_share: 0 %"
TOUCH = 1.0  # force that counts as touching [N]


@pytest.mark.parametrize("size", [9, 12, 16, 20, 24, 30, 36])
def test_force_at_100_psi(size: int):
    f = figure(f"chamber_{size}_force_100_psi")
    run = told(f"""
components:
  source: {{type: supply}}
  brake:  {{type: brake_chamber, size: {size}, free_stroke: 10 mm, {IDEAL}}}
lines:
  rod: {{from: source.1, to: brake.11, bore: 9 mm, length: 1 m}}
scenarios:
  check:
    lasts: 3 s
    steps:
      - {{at: 0.1 s, set: source.pressure, to: {f.inputs["pressure"]}}}
""")
    f.check(run["brake.pushrod_force"](3.0))


def test_stroke_at_80_psi():
    """Slack of 3/4 in and 420 N/mm beyond it; the rod goes no farther than the air pushes it."""
    f = figure("chamber_30_elastic_stroke")
    given = f.inputs
    run = told(f"""
components:
  source: {{type: supply}}
  brake:  {{type: brake_chamber, size: 30, free_stroke: {given["free_stroke"]}, brake_stiffness: {given["stiffness"]}}}
lines:
  rod: {{from: source.1, to: brake.11, bore: 9 mm, length: 1 m}}
scenarios:
  check:
    lasts: 4 s
    steps:
      - {{at: 0.1 s, set: source.pressure, to: {given["pressure"]}}}
""")
    f.check(run["brake.stroke"](4.0))


def letting_off(f: Figure) -> Run:
    """The hold-off pressure falls slowly from 100 psi to nothing."""
    given = f.inputs
    return told(f"""
components:
  service: {{type: supply}}
  hold:    {{type: supply, pressure: 100 psi}}
  brake:   {{type: spring_brake_actuator, size: 30/30, spring_area: {given["area"]}, spring_force: {given["spring"]},
            spring_rate: {given["rate"]}, spring_friction: 0 N, free_stroke: {given["stroke"]},
            brake_stiffness: 100 kN/mm, {IDEAL}}}
lines:
  rod:    {{from: service.1, to: brake.11, bore: 9 mm, length: 1 m}}
  spring: {{from: hold.1, to: brake.12, bore: 9 mm, length: 1 m}}
scenarios:
  check:
    lasts: 120 s
    steps:
      - {{at: 0 s, set: hold.pressure, to: 0 psi, over: 100 s}}
""")


@pytest.mark.parametrize("stroke", ["066", "143", "200"])
def test_spring_brake_that_loses_its_air(stroke: str):
    """It begins to press where air and spring balance, and drags long before the air is gone."""
    balance = figure(f"spring_brake_balance_{stroke}")
    run = letting_off(balance)
    pressure, force = run["brake.spring_pressure"], run["brake.pushrod_force"]
    balance.check(pressure(force.times[np.argmax(force.values > TOUCH)]))
    drags = [f for name, f in figures().items() if name.startswith(f"spring_brake_drag_{stroke}")]
    assert len(drags) == 2
    for f in drags:
        time = float(np.interp(-f["pressure"], -pressure.values, pressure.times))
        f.check(force(time) / force(120.0))


def test_spring_and_service_force_compound():
    """A stiff brake with little slack, so that the spring keeps its force."""
    f = figure("spring_brake_compounded")
    given = f.inputs
    run = told(f"""
components:
  service: {{type: supply}}
  hold:    {{type: supply, pressure: 100 psi}}
  brake:   {{type: spring_brake_actuator, size: 30/30, spring_area: {given["area"]}, spring_force: {given["spring"]},
            spring_rate: 0 N/mm, spring_friction: 0 N, free_stroke: 14 mm,
            brake_stiffness: 1500 N/mm, {IDEAL}}}
lines:
  rod:    {{from: service.1, to: brake.11, bore: 9 mm, length: 1 m}}
  spring: {{from: hold.1, to: brake.12, bore: 9 mm, length: 1 m}}
scenarios:
  check:
    lasts: 6 s
    steps:
      - {{at: 0.1 s, set: hold.pressure, to: 0 psi}}
      - {{at: 3 s, set: service.pressure, to: {given["pressure"]}}}
""")
    f.check(run["brake.pushrod_force"](6.0))
