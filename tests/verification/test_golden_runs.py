"""Whole vehicles by two integration methods: Rodas4 as used, and scipy's Radau on the same equations.

The equations are shared, so this verifies the integration, events and restarts; it validates nothing.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from pneusim.simulate import run
from tests.verification.golden import BRAKES, difference, golden

CASES = [
    ("one-axle", "brake"),
    ("one-axle", "park"),
    ("one-axle", "line_break"),
    ("rigid-truck", "full_application"),
    ("rigid-truck", "park"),
    ("rigid-truck", "primary_line_breaks"),
    ("tractor-semitrailer", "supply_line_breaks"),
    ("tractor-semitrailer", "park_release"),
]


@pytest.mark.parametrize(("name", "scenario"), CASES)
def test_two_methods_agree(name, scenario):
    """Same events; brakes at the default tolerance, and all pressures at a sharper one, to 0.3 kPa (99.9 %).

    Dead-ended feed lines ring; at the default tolerance their phase is worth up to 1 kPa. What is told of pistons
    and rods hangs on forces that creep towards their last value: milliseconds at the default tolerance, less at a
    sharper one. What switches does so within 0.2 ms.
    """
    circuit = golden(name)
    assert circuit.scenarios[scenario].lasts <= 20.0
    radau = run(circuit, scenario, engine="radau", rtol=1e-5)
    ours, sharper = run(circuit, scenario), run(circuit, scenario, rtol=1e-5)
    assert ours.solver.steps > 100
    found = difference(ours, radau)
    creeping = {(e.component, e.kind) for e in ours.events if e.category == "mechanics"}
    assert max(time for (*key, _), time in found.events.items() if tuple(key) not in creeping) < 2e-4
    assert max(found.events.values()) < 10e-3
    assert found.share(0.999, BRAKES) < 300.0
    assert found.share(0.999) < 1200.0
    found = difference(sharper, radau)
    assert max(found.events.values()) < 1.5e-3
    assert found.share(0.999) < 300.0


@pytest.mark.parametrize(("name", "scenario"), [("one-axle", "brake"), ("rigid-truck", "primary_line_breaks")])
def test_a_sharper_tolerance_brings_a_run_nearer_to_its_limit(name, scenario):
    """Ladder of tolerances against 1e-7: each decade at least halves the root mean square of all differences."""
    circuit = golden(name)
    limit = run(circuit, scenario, rtol=1e-7)
    errors = [difference(run(circuit, scenario, rtol=10.0**-k), limit).rms for k in (3, 4, 5, 6)]
    assert errors[-1] < 10.0
    for looser, tighter in pairwise(errors):
        assert tighter < 0.5 * looser


def test_the_error_bar_of_a_measure_covers_what_a_sharper_run_finds():
    """Tolerance halving against the limit: the bar is of the size of the error, not a hundredth of it."""
    circuit = golden("one-axle")
    measured = run(circuit, "brake", error_bar=True).measures
    limit = {m.name: m.value for m in run(circuit, "brake", rtol=1e-7).measures}
    times = [m for m in measured if m.dimension == "time" and m.value is not None]
    assert len(times) > 3
    for measure in times:
        assert measure.error is not None
        assert abs(measure.value - limit[measure.name]) < 10.0 * measure.error + 2e-4, measure.name
