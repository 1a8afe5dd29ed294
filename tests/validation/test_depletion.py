"""A reservoir that fills and dumps a rigid chamber of 1/12 of its volume loses 1/13 of its gauge pressure each time.

Source: mass and energy balance of an ideal gas, closed form: p_n = p_0 (12/13)^n, isothermal and adiabatic alike, as
long as the chamber starts each time full of air at atmospheric pressure (`shared/references/tanks.yaml`).
"""

from __future__ import annotations

import pytest

from tests.engine.bench import ADIABATIC, ATMOSPHERE, ISOTHERMAL, Bench
from tests.reference_figures import figure

CYCLE, FILLED, SHUT = 8.0, 3.0, 3.5  # [s]
WIDE = 50e-8  # conductance of both valves [m3/(s Pa)]


@pytest.mark.parametrize("film", [ISOTHERMAL, ADIABATIC], ids=["isothermal", "adiabatic"])
def test_pressure_after_every_application(film: float):
    f = figure("depletion_12_to_1")
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
