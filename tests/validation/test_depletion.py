"""A reservoir that fills and dumps chambers of 1/12 of its volume loses 1/13 of its pressure each time.

Source: mass and energy balance of an ideal gas, closed form (`shared/references/tanks.yaml`): of its gauge pressure if
the chamber is rigid, isothermal and adiabatic alike; of its absolute pressure if the chamber begins without air.
"""

from __future__ import annotations

import pytest

from tests.engine.bench import ADIABATIC, ATMOSPHERE, ISOTHERMAL, Bench
from tests.reference_figures import figure, figures
from tests.validation.circuits import block, told

CYCLE, FILLED, SHUT = 8.0, 3.0, 3.5  # [s]
WIDE = 50e-8  # conductance of both valves [m3/(s Pa)]


@pytest.mark.parametrize("name", ["depletion_12_to_1", "depletion_8_to_1"])
@pytest.mark.parametrize("film", [ISOTHERMAL, ADIABATIC], ids=["isothermal", "adiabatic"])
def test_pressure_after_every_application(film: float, name: str):
    f = figure(name)
    applications, ratio = int(f["applications"]), f["reservoir"] / (f["reservoir"] + f["chamber"])
    bench = Bench()
    tank = bench.volume("tank", f["reservoir"], f["start"], film)
    chamber = bench.volume("chamber", f["chamber"], 0.0, film)
    feed = bench.valve("feed", tank, chamber, WIDE, opening=0.0)
    dump = bench.valve("dump", chamber, ATMOSPHERE, WIDE, opening=0.0)
    machine = bench.machine()
    actions = []
    for n in range(applications):
        actions += [
            (n * CYCLE, lambda: machine.set(feed, 1.0)),
            (n * CYCLE + FILLED, lambda: machine.set(feed, 0.0)),
            (n * CYCLE + SHUT, lambda: machine.set(dump, 1.0)),
            (n * CYCLE + CYCLE - 0.1, lambda: machine.set(dump, 0.0)),
        ]
    run = bench.run(applications * CYCLE, machine, actions=actions)
    left = [run.at("tank", (n + 1) * CYCLE - 0.05) for n in range(applications)]
    assert left == pytest.approx([f["start"] * ratio ** (n + 1) for n in range(applications)], abs=10.0)
    f.check(left[-1])


@pytest.mark.parametrize("ratio", [12, 8])
def test_applications_of_a_chamber_that_holds_no_air_when_released(ratio: int):
    """A brake chamber with almost no space at stroke 0 and a stiff brake at 50 mm; two cocks let air in and out."""
    swept, cycle = 193.548e-4 * 50e-3 * 1e3, 20  # [L], [s]
    turns = ((0, "feed", "open"), (14, "feed", "shut"), (15, "dump", "open"), (19, "dump", "shut"))
    steps = [
        f"{{at: {n * cycle + after} s, set: {cock}.position, to: {position}}}"
        for n in range(8)
        for after, cock, position in turns
    ]
    run = told(f"""
heat: 10000 W/(m2 K)
components:
  tank:  {{type: reservoir, volume: {ratio * swept} L, pressure: 100 psi}}
  feed:  {{type: stop_valve}}
  dump:  {{type: stop_valve}}
  brake: {{type: brake_chamber, size: 30, free_stroke: 50 mm, brake_stiffness: 100 kN/mm, area_decline: 0 %,
          pre_fill: 1 cm3, return_pressure: 5 kPa, return_rate: 0 N/mm, friction_pressure: 1 kPa, friction_share: 0 %}}
  air:   {{type: atmosphere}}
joints:
  - [tank.1, feed.1]
  - [feed.2, brake.11, dump.1]
  - [dump.2, air.1]
scenarios:
  check:
    lasts: {8 * cycle} s
    begin: {{feed.position: shut, dump.position: shut}}
    steps:
{block(steps)}
""")
    held = [f for name, f in figures().items() if name.startswith(f"depletion_empty_{ratio}_")]
    assert len(held) == 3
    for f in held:
        f.check(run["tank.pressure"](f["applications"] * cycle - 0.1))
