"""Friction factor, wall film, static density, sonic end pressure."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from pneusim.physics.air import choked_mass_flux
from pneusim.physics.constants import CP, KAPPA, MU, PRANDTL, R
from pneusim.physics.friction import (
    churchill,
    churchill_gradient,
    colburn_film,
    film_of_number,
    film_of_number_slope,
    friction_number,
    friction_number_gradient,
    sonic_end_pressure,
    static_density,
    static_density_gradient,
)
from tests.physics.derivatives import assert_continuous, central


def colebrook(reynolds, roughness):
    def residual(f):
        return 1.0 / math.sqrt(f) + 2.0 * math.log10(roughness / 3.7 + 2.51 / (reynolds * math.sqrt(f)))

    return brentq(residual, 1e-3, 0.2)


@pytest.mark.parametrize("roughness", [0.0, 1e-4, 1e-3, 1e-2])
@pytest.mark.parametrize("reynolds", [1e4, 5e4, 2e5, 1e6])
def test_turbulent_factor_agrees_with_colebrook(reynolds, roughness):
    # Churchill 1977 was fitted to the same data; he states agreement within the scatter of 2-3 %
    assert churchill(reynolds, roughness) == pytest.approx(colebrook(reynolds, roughness), rel=0.035)


@pytest.mark.parametrize("reynolds", [0.1, 10.0, 499.0, 500.0, 1500.0])
def test_laminar_factor_is_64_over_reynolds(reynolds):
    assert churchill(reynolds, 1e-3) == pytest.approx(64.0 / reynolds, rel=1e-6)


def test_laminar_branch_joins_the_full_formula_without_a_step():
    edge = 500.0
    below, above = churchill(np.nextafter(edge, 0.0), 1e-3), churchill(edge, 1e-3)
    assert above == pytest.approx(below, rel=1e-13)
    slopes = churchill_gradient(np.nextafter(edge, 0.0), 1e-3)[1], churchill_gradient(edge, 1e-3)[1]
    assert slopes[1] == pytest.approx(slopes[0], rel=1e-12)


def test_factor_follows_the_published_formula():
    reynolds, roughness = 3100.0, 2e-3
    a = (2.457 * math.log(1.0 / ((7.0 / reynolds) ** 0.9 + 0.27 * roughness))) ** 16
    b = (37530.0 / reynolds) ** 16
    published = 8.0 * ((8.0 / reynolds) ** 12 + (a + b) ** -1.5) ** (1.0 / 12.0)
    assert churchill(reynolds, roughness) == pytest.approx(published, rel=1e-12)


@pytest.mark.parametrize("roughness", [0.0, 1.7e-4, 5e-3])
def test_churchill_gradient(roughness):
    for reynolds in np.geomspace(1.0, 1e7, 301):
        if abs(reynolds - 500.0) < 0.1:
            continue
        f, slope = churchill_gradient(reynolds, roughness)
        numeric = central(lambda x: churchill(x, roughness), np.array([reynolds]), [reynolds])[0, 0] / reynolds
        assert f == churchill(reynolds, roughness)
        assert slope == pytest.approx(numeric, rel=1e-5, abs=1e-7 * f / reynolds)


def test_friction_number_is_finite_at_rest_and_rises():
    numbers = [friction_number(x, 1e-4, 0.0) for x in np.linspace(0.0, 2e5, 4001)]
    assert numbers[0] == 64.0
    assert (np.diff(numbers) >= -1e-12).all()


@pytest.mark.parametrize("fixed", [0.0, 0.02])
def test_friction_number_gradient(fixed):
    for reynolds in (0.0, 3.0, 800.0, 2400.0, 5e4):
        number, slope = friction_number_gradient(reynolds, 1e-4, fixed)
        assert number == friction_number(reynolds, 1e-4, fixed)
        if reynolds > 0.0:
            numeric = central(lambda x: friction_number(x, 1e-4, fixed), np.array([reynolds]), [reynolds])[0, 0]
            assert slope * reynolds == pytest.approx(numeric, rel=1e-5, abs=1e-7)


def test_film_is_the_analogy_above_its_floor():
    flux, f, bore = 400.0, 0.019, 9e-3
    stanton_form = f / 8.0 * flux * CP * PRANDTL ** (-2.0 / 3.0)
    assert colburn_film(flux, f, bore) == pytest.approx(stanton_form, rel=1e-12)
    assert colburn_film(-flux, f, bore) == colburn_film(flux, f, bore)


def test_film_does_not_fall_below_the_laminar_nusselt_number():
    conductivity = MU * CP / PRANDTL
    assert colburn_film(0.0, 0.02, 9e-3) == pytest.approx(3.66 * conductivity / 9e-3, rel=1e-12)


def test_film_is_continuous_and_its_slope_right_on_both_sides():
    assert_continuous(lambda n: film_of_number(n, 9e-3), [0.0], [300.0])
    for number in (5.0, 60.0, 2000.0):
        numeric = central(lambda n: film_of_number(n, 9e-3), np.array([number]), [number])[0, 0] / number
        assert film_of_number_slope(number, 9e-3) == pytest.approx(numeric, rel=1e-6, abs=1e-12)


def test_static_density_satisfies_energy_and_gas_law():
    rng = np.random.default_rng(3)
    for _ in range(200):
        p, T_total = rng.uniform(5e4, 12e5), rng.uniform(230.0, 400.0)
        flux = rng.uniform(-1.0, 1.0) * choked_mass_flux(p, T_total) * 1.8
        rho = static_density(flux, p, T_total)
        T = T_total - 0.5 * (flux / rho) ** 2 / CP
        assert p == pytest.approx(rho * R * T, rel=1e-12)


def test_static_density_at_rest_is_the_gas_law():
    assert static_density(0.0, 4e5, 300.0) == pytest.approx(4e5 / (R * 300.0), rel=1e-15)


def test_static_density_gradient():
    rng = np.random.default_rng(4)
    for _ in range(300):
        x = np.array([rng.uniform(-3000.0, 3000.0), rng.uniform(5e4, 12e5), rng.uniform(230.0, 400.0)])
        scales = np.array([1000.0, x[1], x[2]])
        values = static_density_gradient(*x)
        assert values[0] == pytest.approx(static_density(*x), rel=1e-14)
        assert np.array(values[1:]) * scales == pytest.approx(
            central(static_density, x, scales)[0], rel=1e-7, abs=1e-8 * values[0]
        )


def test_a_stream_at_the_sonic_end_pressure_moves_at_mach_one():
    for flux in (-900.0, 50.0, 2000.0):
        p = sonic_end_pressure(flux, 300.0)
        rho = static_density(flux, p, 300.0)
        assert (flux / rho) ** 2 == pytest.approx(KAPPA * p / rho, rel=1e-12)


def test_sonic_pressure_of_an_ideal_nozzle_is_its_critical_ratio():
    p = sonic_end_pressure(choked_mass_flux(9e5, 293.15), 293.15)
    assert p / 9e5 == pytest.approx((2.0 / (KAPPA + 1.0)) ** (KAPPA / (KAPPA - 1.0)), rel=1e-5)
