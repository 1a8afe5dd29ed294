"""Lines that are filled from a constant source, against a second method of our own: verification, not validation.

The references (`shared/references/lines.yaml`) are from finite volumes with 400 cells; their sources say so.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.engine.bench import Bench, Trace
from tests.reference_figures import Figure, figure, figures

CASES = "abcdefghi"


def fill(f: Figure, cells: int | None = None, rtol: float = 1e-5) -> Trace:
    """Fill the line of a case; cells by the rule unless given. The far end is watched as ``end``."""
    bench = Bench()
    source, pressure = bench.source("source", 0.0 if f["ramp"] else f["supply"])
    end = bench.walled("end", f["volume"], f["wall"])
    bench.line("line", source, end, f["length"], f["bore"], roughness=f["roughness"], cells=cells)
    level = f["level"] * f["supply"] if f["level"] < 1.0 else f["level"]
    bench.passes("level", bench.watch["end"], level, 1.0)
    bench.passes("tenth", bench.watch["end"], 0.1 * f["supply"], 1.0)
    machine = bench.machine()
    actions = []
    if f["ramp"]:
        machine.move(pressure, 0.0, f["supply"] / f["ramp"])
        actions = [(f["ramp"], lambda: machine.move(pressure, f["supply"]))]
    return bench.run(1.3 * f.expected, machine, actions=actions, rtol=rtol)


@pytest.mark.parametrize("f", [pytest.param(f, id=n) for n, f in figures().items()
                               if n.startswith("line_") and n.endswith(("_t75", "_t60"))])  # fmt: skip
def test_time_at_the_far_end_with_cells_by_the_rule(f, record_property):
    run = fill(f)
    record_property("t10 [ms]", 1e3 * run.when("tenth"))
    f.check(run.when("level"))


def test_the_reference_has_all_nine_cases():
    assert {f"line_{case}_t75" for case in CASES} <= set(figures())


@pytest.mark.parametrize("case", "ceh")
def test_the_error_halves_when_the_cells_do(case):
    """First order in the cell length where the cells are the error (long lines), so a user can extrapolate."""
    f = figure(f"line_{case}_t75")
    t4, t8, t16, t32 = (fill(f, cells).when("level") for cells in (4, 8, 16, 32))
    assert 1.8 < (t8 - t4) / (t16 - t8) < 2.6
    assert 1.8 < (t16 - t8) / (t32 - t16) < 2.6
    assert 2.0 * t32 - t16 == pytest.approx(f.expected, rel=0.0025)


@pytest.mark.parametrize("case", "bf")
def test_the_model_is_the_limit_not_the_tolerance(case):
    f = figure(f"line_{case}_t75")
    times = [fill(f, rtol=rtol).when("level") for rtol in (1e-4, 1e-5, 1e-7)]
    assert times[0] == pytest.approx(times[2], abs=2e-4)
    assert times[1] == pytest.approx(times[2], abs=2e-5)


def test_pressure_at_the_far_end_rises_to_the_supply():
    f = figure("line_b_t75")
    run = fill(f)
    assert np.all(run["end"] > -1e3)
    assert run["end"].max() < 1.01 * f["supply"]
