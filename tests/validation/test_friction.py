"""Wall friction against measurements and worked examples, and the properties of air.

Sources of the figures: `shared/references/friction.yaml`, each with title, edition and page.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from pneusim.physics.constants import MU
from pneusim.physics.friction import churchill, static_density
from tests.engine.bench import Bench
from tests.engine.oracle import kernel_jacobian
from tests.reference_figures import figure, figures

CELLS = 16
FACTORS = [name for name, f in figures().items() if "reynolds" in f.inputs]


@pytest.mark.parametrize("name", FACTORS)
def test_friction_factor(name: str):
    f = figure(name)
    f.check(churchill(float(f["reynolds"]), f["relative_roughness"]))


def test_density_at_sea_level():
    f = figure("us76_density")
    f.check(static_density(0.0, f["pressure"], f["temperature"]))


def test_viscosity_is_that_of_room_temperature():
    figure("us76_viscosity").check(1e6 * MU)


def test_speed_of_sound_in_a_closed_line():
    """The quarter-wave frequency c/(4 L) sin(x)/x, x = pi/(4 N), of N cells; the modulus takes the damping off."""
    f = figure("us76_sound")
    bench = Bench(T_ambient=f["temperature"])
    source, _ = bench.source("source", 0.0)
    bench.line("line", source, bench.volume("far", 0.0), f["length"], f["bore"], cells=CELLS, film=0.0)
    values = np.linalg.eigvals(kernel_jacobian(bench.machine()).states)
    lowest = np.abs(values[values.imag > 1.0]).min() / (2.0 * math.pi)
    x = math.pi / (4.0 * CELLS)
    f.check(lowest * 4.0 * f["length"] * x / math.sin(x))
