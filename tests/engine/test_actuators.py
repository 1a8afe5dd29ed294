"""Air at work on pistons: what it gives off is p dV, with the area that also makes the force."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.physics.chamber import swept_volume
from pneusim.physics.constants import KAPPA
from tests.engine.bench import ATMOSPHERE, PA, ROD, SPRING_ROD, Bench, C

FRAME = {"friction_base": 0.0, "friction_share": 0.0}


def settings(b: Bench) -> tuple[int, int, int]:
    return b.a.tape.setting("free", 14e-3), b.a.tape.setting("force", 7600.0), b.a.tape.setting("rate", 45e3)


def test_air_that_pushes_a_rod_expands_without_heat_as_p_v_to_the_kappa():
    b = Bench()
    node = b.volume("chamber", 1e-3, 6e5)
    free, _, _ = settings(b)
    s, _ = b.a.chamber("brake", node, ROD, free)
    b.watch["s"] = s
    run = b.run(2.0, rtol=1e-7)
    volume = 1e-3 + np.array([swept_volume(x, ROD["area"], ROD["s_max"], ROD["decline"]) for x in run["s"]])
    invariant = (run["chamber"] + PA) * volume**KAPPA
    assert run["s"][-1] > 15e-3
    assert run["chamber.T"][-1] < 260.0, "it cools as it works"
    assert invariant == pytest.approx(invariant[0], rel=1e-4)


@pytest.mark.parametrize("pressure", [1e5, 3.9e5])
def test_a_spring_that_pushes_a_piston_compresses_the_hold_off_air(pressure):
    """Closed and adiabatic: the piston moves until the air holds it; pressure and volume keep p V^kappa."""
    b = Bench()
    service, hold = b.volume("service", 50e-3, 0.0), b.volume("hold", 1e-3, pressure)
    free, force, rate = settings(b)
    _, _, z = b.a.spring_brake("brake", service, hold, SPRING_ROD, free, force, rate)
    b.watch["z"] = z
    run = b.run(2.0, rtol=1e-7)
    area, full = SPRING_ROD["piston_area"], SPRING_ROD["piston_area"] * SPRING_ROD["z_max"]
    volume = 1e-3 + full - area * run["z"]
    invariant = (run["hold"] + PA) * volume**KAPPA
    if pressure == 1e5:
        assert run["z"][-1] > 10e-3
        assert run["hold.T"][-1] > 310.0, "it warms as work is done on it"
    assert invariant == pytest.approx(invariant[0], rel=1e-4)


def test_a_rod_that_the_spring_drives_sucks_the_service_side():
    b = Bench()
    service, hold = b.volume("service", 0.2e-3, 0.0), b.volume("hold", 0.3e-3, 0.0)
    free, force, rate = settings(b)
    s, push, _ = b.a.spring_brake("brake", service, hold, SPRING_ROD, free, force, rate)
    b.watch |= {"s": s, "push": push}
    b.valve("hold_open", hold, ATMOSPHERE, 20 * C)
    b.valve("breather", service, ATMOSPHERE, 2 * C)
    run = b.run(3.0)
    assert run["service"].min() < -5e3
    assert run["service"][-1] == pytest.approx(0.0, abs=200.0)
    assert run["push"][-1] > 4e3
    assert run["s"][-1] > 14e-3


def test_a_chamber_at_rest_balances_springs_and_pressure():
    """p A = preload + return rate x s + brake stiffness x (s - free stroke), friction left out."""
    b = Bench()
    source, _ = b.source("source", 4e5)
    node = b.volume("chamber", 0.2e-3, 0.0, film=60.0)
    free, _, _ = settings(b)
    s, push = b.a.chamber("brake", node, ROD | FRAME, free)
    b.watch |= {"s": s, "push": push}
    b.valve("feed", source, node, 5 * C)
    run = b.run(5.0)
    stroke = (4e5 * ROD["area"] - ROD["return_preload"] + ROD["brake_stiffness"] * 14e-3) / (
        ROD["return_rate"] + ROD["brake_stiffness"]
    )
    assert run["s"][-1] == pytest.approx(stroke, abs=5e-5)
    assert run["push"][-1] == pytest.approx(ROD["brake_stiffness"] * (stroke - 14e-3), rel=2e-3)
