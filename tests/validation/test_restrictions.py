"""Two restrictions in series, with the small space between them that every circuit has, run until the flow is steady.

Sources of the figures: `shared/references/restrictions.yaml`.
"""

from __future__ import annotations

import pytest

from pneusim.physics.constants import RHO0, T0
from tests.engine.bench import ATMOSPHERE, ISOTHERMAL, Bench
from tests.reference_figures import figure, figures

SUPPLY = 8e5  # [Pa absolute]
VACUUM = 1e3  # stands for a ratio of 0 [Pa absolute]


@pytest.mark.parametrize("name", [name for name in figures() if name.startswith("series_")])
def test_flow_of_two_in_series(name: str):
    f = figure(name)
    bench = Bench(max(f["ratio"] * SUPPLY, VACUUM), T0)
    source, _ = bench.source("source", SUPPLY - bench.p_ambient)
    middle = bench.volume("middle", 5e-6, 0.0, ISOTHERMAL)
    bench.valve("first", source, middle, f["first"], f["first_b"])
    bench.valve("second", middle, ATMOSPHERE, f["second"], f["second_b"])
    run = bench.run(0.5)
    assert run["first"][-1] == pytest.approx(run["second"][-1], rel=1e-6)
    f.check(run["second"][-1] / (SUPPLY * RHO0))
