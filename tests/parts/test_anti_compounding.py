"""Service braking on parked springs: without protection the forces add, with it they do not."""

from __future__ import annotations

from functools import cache

import pytest

from pneusim.reading import load_text
from pneusim.simulate import run

AXLE = """\
pneusim: 1
title: A parked axle is braked fully
components:
  tank:    {{type: reservoir, volume: 60 L, pressure: 827 kPa}}
  park:    {{type: park_control}}
  pedal:   {{type: supply, pressure: 0 bar}}
  service: {{type: relay_valve}}
{components}
  left:    {{type: spring_brake_actuator, size: 30/30}}
  right:   {{like: left}}
lines:
  feed:       {{from: tank.1, to: service.1, bore: 12 mm, length: 2 m}}
  signal:     {{from: pedal.1, to: service.4, bore: 6 mm, length: 5 m}}
  dash:       {{from: tank.2, to: park.1, bore: 9 mm, length: 3 m}}
  spring_feed: {{from: tank.3, to: springs.1, bore: 12 mm, length: 2 m}}
  rod_l:      {{from: service.21, to: left.11, bore: 9 mm, length: 1 m}}
  rod_r:      {{like: rod_l, from: service.22, to: right.11}}
  spring_l:   {{from: springs.21, to: left.12, bore: 9 mm, length: 1 m}}
  spring_r:   {{like: spring_l, from: springs.22, to: right.12}}
{lines}
scenarios:
  brake_while_parked:
    lasts: 8 s
    begin: {{park.lever: applied}}
    steps:
      - {{at: 1 s, set: pedal.pressure, to: 12 bar, over: 0.1 s}}
      - {{at: 5 s, set: pedal.pressure, to: 0 bar, over: 0.1 s}}
"""
RELAY = "crack: 10 kPa, conductance: 8 dm3/(s bar), exhaust_conductance: 20 dm3/(s bar)"
WAYS = {
    "compounded": (
        f"  springs: {{type: relay_valve, {RELAY}}}",
        "  pilot:      {from: park.21, to: springs.4, bore: 6 mm, length: 4 m}",
    ),
    "double check valve": (
        f"  springs: {{type: relay_valve, {RELAY}}}\n  shuttle: {{type: double_check_valve}}",
        "  pilot:      {from: park.21, to: shuttle.11, bore: 6 mm, length: 4 m}\n"
        "  guard:      {from: service.23, to: shuttle.12, bore: 6 mm, length: 1 m}\n"
        "  guarded:    {from: shuttle.2, to: springs.4, bore: 6 mm, length: 0.3 m}",
    ),
    "two control ports": (
        f"  springs: {{type: two_port_relay_valve, {RELAY}}}",
        "  pilot:      {from: park.21, to: springs.41, bore: 6 mm, length: 4 m}\n"
        "  guard:      {from: service.23, to: springs.42, bore: 6 mm, length: 1 m}",
    ),
}


@cache
def forces(way: str) -> tuple[float, float, float]:
    """Pushrod force [N] parked, braked as well, and parked again."""
    components, lines = WAYS[way]
    force = run(load_text(AXLE.format(components=components, lines=lines)), "brake_while_parked")["left.pushrod_force"]
    return force(0.9), force(4.9), force(8.0)


@pytest.mark.parametrize("way", [way for way in WAYS if way != "compounded"])
def test_the_springs_are_lifted_while_the_service_brake_is_applied(way):
    parked, both, again = forces(way)
    assert both < 0.75 * forces("compounded")[1]
    assert both > parked  # and the brake is not weaker than the springs were
    assert again == pytest.approx(parked, rel=0.25)  # they hold again, the friction of the brake helping


def test_without_protection_the_forces_add():
    parked, both, _ = forces("compounded")
    alone = forces("two control ports")[1]
    assert both == pytest.approx(alone + parked, rel=0.15)
