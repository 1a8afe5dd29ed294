"""Closed forms for lints, air and compressor."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from pneusim.physics import plain
from pneusim.physics.air import choked_mass_flux, pressure_from_energy, temperature
from pneusim.physics.compressor import delivery
from pneusim.physics.constants import CP, CV, KAPPA, R
from pneusim.physics.flow import iso6358
from tests.physics.derivatives import assert_continuous

PA = 101325.0


def test_gas_constants_agree_with_each_other():
    assert pytest.approx(R, rel=1e-15) == CP - CV
    assert pytest.approx(KAPPA, rel=1e-15) == CP / CV


def test_state_of_a_volume_obeys_the_gas_law():
    mass, energy, volume = 0.013, 2500.0, 2.3e-3
    p, T = pressure_from_energy(energy, volume), temperature(mass, energy)
    assert p * volume == pytest.approx(mass * R * T, rel=1e-14)


def test_choked_flux_is_the_nozzle_formula():
    exponent = (KAPPA + 1.0) / (2.0 * (KAPPA - 1.0))
    exact = math.sqrt(KAPPA) * (2.0 / (KAPPA + 1.0)) ** exponent * 9e5 / math.sqrt(R * 300.0)
    assert choked_mass_flux(9e5, 300.0) == pytest.approx(exact, rel=3e-6)


def test_hole_conductance_passes_the_choked_flux_of_its_area():
    d, cd = 5e-3, 0.7
    q = iso6358(9e5, 310.0, 1e5, 293.0, plain.hole_conductance(d, cd), 0.528, 20.0)
    assert q == pytest.approx(cd * math.pi / 4 * d * d * choked_mass_flux(9e5, 310.0), rel=1e-12)


def test_trip_rule_is_where_two_choked_restrictions_balance():
    limit = plain.feed_ratio_limit(207e3, 827e3, PA)

    def surplus(p_gauge):
        feed = iso6358(827e3 + PA, 293.15, p_gauge + PA, 293.15, limit * 1e-8, 0.35, 20.0)
        return feed - iso6358(p_gauge + PA, 293.15, PA, 293.15, 1e-8, 0.35, 20.0)

    assert brentq(surplus, 120e3, 600e3) == pytest.approx(207e3, rel=1e-6)


def test_hold_off_lies_above_balance_by_the_friction():
    balance = plain.spring_balance_pressure(0.0, 193.5e-4, 7600.0, 45e3)
    assert plain.hold_off_pressure(193.5e-4, 7600.0, 150.0) - balance == pytest.approx(150.0 / 193.5e-4, rel=1e-12)
    assert plain.spring_balance_pressure(57e-3, 193.5e-4, 7600.0, 45e3) < balance


def test_compressor_at_unit_pressure_ratio_moves_its_displacement():
    q = delivery(PA, PA, 293.15, 0.36e-3, 20.0, 1.0, 0.045)
    assert q == pytest.approx(0.36e-3 * 20.0 * PA / (R * 293.15), rel=1e-12)


def test_compressor_delivers_less_the_higher_the_pressure_and_never_sucks_back():
    flows = [delivery(p, PA, 293.15, 0.36e-3, 20.0, 0.85, 0.045) for p in np.geomspace(PA, 1e8, 200)]
    assert (np.diff(flows) <= 0.0).all()
    assert flows[-1] == 0.0
    assert_continuous(lambda p: delivery(p, PA, 293.15, 0.36e-3, 20.0, 0.85, 0.3), [PA], [40.0 * PA])
