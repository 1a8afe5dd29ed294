"""Friction of tyres and lengths of stops against `shared/references/tyres.yaml` and `stops.yaml`.

Peaks of car and truck tyres and the distances of UN R13 are from memory, to be read against the sources; the magic
formula's figures are closed forms of its published coefficients.
"""

from __future__ import annotations

import math

import pytest

from pneusim.circuit.surfaces import shipped_surfaces
from pneusim.physics.adhesion import burckhardt, magic
from pneusim.physics.stopping import stopping_distance
from pneusim.physics.surface_fit import peak
from tests.reference_figures import Figure, figure, figures


def named(prefix: str) -> list[str]:
    return [name for name in figures() if name.startswith(prefix)]


@pytest.mark.parametrize("name", named("burckhardt_"))
def test_peaks_of_car_tyres(name: str):
    f = figure(name)
    slip, friction = peak(burckhardt, (f["c1"], f["c2"], f["c3"], 0.0))
    f.check(friction)
    assert slip == pytest.approx(math.log(f["c1"] * f["c2"] / f["c3"]) / f["c2"], abs=1e-6)


def bakker(f: Figure) -> tuple[float, ...]:
    """Coefficients at a load: forces in N, slip from 0 to 1 where the paper has per cent."""
    F = f["load"] / 1e3
    D = f["D1"] * F**2 + f["D2"] * F
    slope = (f["K1"] * F**2 + f["K2"] * F) * math.exp(-f["K3"] * F)
    return 100.0 * slope / (f["C"] * D), f["C"], D, f["E1"] * F**2 + f["E2"] * F + f["E3"], 0.0


@pytest.mark.parametrize("name", named("magic_"))
def test_the_magic_formula_with_published_coefficients(name: str):
    f = figure(name)
    numbers = bakker(f)
    slip, force = peak(magic, numbers)
    f.check({"peak": force, "slip": slip, "locked": magic(1.0, 0.0, 0.0, *numbers)[0]}[name.rpartition("_")[2]])


@pytest.mark.parametrize("name", named("truck_tyre_"))
def test_shipped_surfaces_are_those_of_truck_tyres(name: str):
    f = figure(name)
    surface = shipped_surfaces()[f["surface"]]
    assert surface.coefficients is not None
    numbers = (*surface.coefficients, surface.fading)
    found = {"peak": peak(burckhardt, numbers, f["speed"])[1], "locked": burckhardt(1.0, 1.0, f["speed"], *numbers)[0]}
    f.check(found[name.rpartition("_")[2]])


@pytest.mark.parametrize("name", named("un13_n3_s"))
def test_distances_of_a_regulation_are_a_lag_and_a_deceleration(name: str):
    f = figure(name)
    f.check(stopping_distance(f["speed"], f["dead"], f["rise"], f["deceleration"]))
