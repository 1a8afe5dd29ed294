"""Sound in lines: when a pressure change arrives, how fast a closed line swings, and how stiff that is."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pneusim.physics.constants import KAPPA, R
from tests.engine.bench import ROOM, Bench, Trace
from tests.engine.oracle import kernel_jacobian

SOUND = math.sqrt(KAPPA * R * ROOM)
LENGTH, BORE, STEP = 13.0, 9e-3, 1e4


def ramp_into_a_closed_line(cells: int | None, seconds: float) -> Trace:
    """0.1 bar more over some time at one end of a closed line, watched at the other."""
    bench = Bench()
    source, pressure = bench.source("source", 0.0)
    far = bench.volume("far", 0.0)
    bench.line("line", source, far, LENGTH, BORE, cells=cells)
    bench.passes("half", bench.watch["far"], 0.5 * STEP, 1.0)
    machine = bench.machine()
    machine.move(pressure, 0.0, STEP / seconds)
    return bench.run(0.1, machine, rtol=1e-6, actions=[(seconds, lambda: machine.move(pressure, STEP))])


@pytest.mark.parametrize("cells", [None, 32])
def test_a_small_change_arrives_with_the_sound_and_not_before(cells):
    """Half height at 55.5 ms: from a fine grid of a second method of our own (verification)."""
    run = ramp_into_a_closed_line(cells, 50e-3)
    assert run.at("far", 0.9 * LENGTH / SOUND) < 0.01 * STEP
    assert run.when("half") == pytest.approx(55.5e-3, rel=0.015)


@pytest.mark.parametrize(("ramp", "half"), [(20e-3, 44.7e-3), (100e-3, 71.9e-3)])
def test_other_ramps_arrive_in_time_too(ramp, half):
    run = ramp_into_a_closed_line(32, ramp)
    assert run.at("far", 0.9 * LENGTH / SOUND) < 0.005 * STEP
    assert run.when("half") == pytest.approx(half, rel=0.015)


def test_less_arrives_early_the_more_cells_there_are():
    early = [ramp_into_a_closed_line(cells, 50e-3).at("far", 0.9 * LENGTH / SOUND) for cells in (8, 16, 32)]
    assert early[0] > 1.5 * early[1] > 2.0 * early[2] > 0.0


def swinging(cells: int) -> np.ndarray:
    """Eigenvalues of a line at rest, open to a constant pressure at one end and closed at the other [1/s]."""
    bench = Bench()
    source, _ = bench.source("source", 0.0)
    bench.line("line", source, bench.volume("far", 0.0), 10.0, BORE, cells=cells, film=0.0)
    return np.linalg.eigvals(kernel_jacobian(bench.machine()).states)


@pytest.mark.parametrize(("cells", "printed"), [(2, None), (4, 0.9936), (8, 0.9984), (32, None)])
def test_quarter_wave_frequency_of_a_closed_line(cells, printed):
    """c/(4 L) times sin(x)/x, x = pi/(4 N): the dispersion of a staggered grid, closed form.

    The modulus of an eigenvalue is the frequency without the (laminar) damping.
    """
    values = swinging(cells)
    lowest = np.abs(values[values.imag > 1.0]).min() / (2.0 * math.pi)
    x = math.pi / (4.0 * cells)
    ratio = lowest / (SOUND / 40.0)
    assert ratio == pytest.approx(math.sin(x) / x, rel=1e-5)
    if printed:
        assert ratio == pytest.approx(printed, abs=2e-4)


@pytest.mark.parametrize("cells", [4, 16])
def test_a_line_at_rest_is_as_stiff_as_its_sound_and_stable(cells):
    """Largest eigenvalue 2 c/dx; friction alone would be a thousand times stiffer."""
    values = swinging(cells)
    assert np.abs(values).max() == pytest.approx(2.0 * SOUND * cells / 10.0, rel=0.05)
    assert values.real.max() < 1e-6
