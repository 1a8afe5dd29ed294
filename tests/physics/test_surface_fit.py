"""Shapes and points turned into coefficients: what is given comes back, and what cannot be is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pneusim.physics.adhesion import burckhardt, magic
from pneusim.physics.surface_fit import (
    burckhardt_of_shape,
    fit_burckhardt,
    fit_magic,
    magic_of_burckhardt,
    magic_of_shape,
    peak,
)

NO_FRICTION = [(0.1 * n, 0.0) for n in range(1, 8)]
SHAPES = [(0.82, 0.17, 0.53), (0.64, 0.131, 0.41), (0.19, 0.06, 0.13), (1.0, 0.40, 0.70), (1.0, 0.15, 0.95)]
COEFFICIENTS = [(1.2801, 23.99, 0.52), (0.857, 33.822, 0.347), (1.3713, 6.4565, 0.6691), (0.1946, 94.129, 0.0646)]


def value(law, numbers, slip):
    return law(slip, 0.0, 17.8, *numbers, 0.0)[0]


def told(law, numbers):
    """Peak slip, peak and locked friction of a law's curve."""
    return (*peak(law, (*numbers, 0.0)), value(law, numbers, 1.0))


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize(("law", "of_shape"), [(burckhardt, burckhardt_of_shape), (magic, magic_of_shape)])
def test_a_curve_has_the_shape_that_it_was_made_of(law, of_shape, shape):
    top, slip, locked = shape
    assert told(law, of_shape(*shape)) == pytest.approx((slip, top, locked), rel=1e-6)


@pytest.mark.parametrize(("shape", "slope"), [(SHAPES[0], 12.0), (SHAPES[2], 12.0), (SHAPES[4], 25.0)])
def test_a_magic_curve_rises_as_told(shape, slope):
    numbers = magic_of_shape(*shape, slope)
    assert told(magic, numbers) == pytest.approx((shape[1], shape[0], shape[2]), rel=1e-6)
    assert value(magic, numbers, 1e-6) / 1e-6 == pytest.approx(slope, rel=1e-3)


@pytest.mark.parametrize("numbers", COEFFICIENTS)
def test_the_coefficients_come_back_from_the_shape(numbers):
    slip, top, locked = told(burckhardt, numbers)
    assert burckhardt_of_shape(top, slip, locked) == pytest.approx(numbers, rel=1e-4)


@pytest.mark.parametrize("numbers", COEFFICIENTS)
def test_a_surface_of_one_law_keeps_peak_and_locked_friction_under_the_other(numbers):
    assert told(magic, magic_of_burckhardt(*numbers)) == pytest.approx(told(burckhardt, numbers), rel=1e-5)


@pytest.mark.parametrize("of_shape", [burckhardt_of_shape, magic_of_shape])
def test_a_curve_without_a_peak_saturates_at_the_slip_given(of_shape):
    law = burckhardt if of_shape is burckhardt_of_shape else magic
    numbers = of_shape(0.05, 0.03, 0.05)
    assert value(law, numbers, 0.03) == pytest.approx(0.0495, rel=1e-6)
    values = [value(law, numbers, s) for s in np.linspace(0.0, 1.0, 101)]
    assert (np.diff(values) >= 0.0).all()
    assert values[-1] == pytest.approx(0.05, rel=1e-3)


def test_ice_by_its_coefficients_saturates_under_both_laws():
    assert magic_of_burckhardt(0.05, 306.39, 0.0)[1:] == (1.0, 0.05, 0.0)


@pytest.mark.parametrize("shape", [(0.8, 0.0, 0.5), (0.8, 1.0, 0.5), (0.8, 0.2, 0.9), (0.8, 0.2, 0.0)])
@pytest.mark.parametrize("of_shape", [burckhardt_of_shape, magic_of_shape])
def test_what_is_no_curve_is_refused(of_shape, shape):
    with pytest.raises(ValueError, match="is no friction curve"):
        of_shape(*shape)


def test_what_the_law_cannot_do_is_refused():
    with pytest.raises(ValueError, match="no curve of this law falls"):
        burckhardt_of_shape(0.8, 0.7, 0.3)
    with pytest.raises(ValueError, match=r"no magic formula has its peak of 0.82 .* and rises at 60 from no slip"):
        magic_of_shape(0.82, 0.17, 0.53, 60.0)
    for fit, least in ((fit_burckhardt, 3), (fit_magic, 4)):
        with pytest.raises(ValueError, match=f"at least {least}"):
            fit([(0.0, 0.0), (0.1, 0.6), (0.9, 0.5)])


@pytest.mark.parametrize("numbers", [*COEFFICIENTS, (0.05, 306.39, 0.0)])
def test_burckhardts_points_give_his_coefficients_back(numbers):
    slips = (0.005, 0.02, 0.05, 0.1, 0.2, 0.4, 0.7, 1.0)
    found = fit_burckhardt([(s, value(burckhardt, numbers, s)) for s in slips])
    assert found == pytest.approx(numbers, rel=1e-4, abs=1e-6)


@pytest.mark.parametrize("numbers", [(10.0, 1.6, 0.8, 0.3), (14.0, 1.9, 0.6, -1.0), (30.0, 1.3, 0.3, 0.8)])
def test_magic_points_give_their_curve_back(numbers):
    slips = (0.005, 0.02, 0.05, 0.1, 0.2, 0.4, 0.7, 1.0)
    found = fit_magic([(s, value(magic, numbers, s)) for s in slips])
    for s in np.linspace(0.01, 1.0, 40):
        assert value(magic, found, s) == pytest.approx(value(magic, numbers, s), abs=1e-6)


@pytest.mark.parametrize(("law", "fit"), [(burckhardt, fit_burckhardt), (magic, fit_magic)])
def test_noise_moves_a_fit_by_no_more_than_itself(law, fit):
    numbers = (0.8, 28.0, 0.25) if law is burckhardt else (12.0, 1.6, 0.7, 0.4)
    rng = np.random.default_rng(5)
    points = [(float(s), value(law, numbers, s) + rng.normal(0.0, 0.01)) for s in np.linspace(0.02, 1.0, 50)]
    found = fit(points)
    assert told(law, found)[1] == pytest.approx(told(law, numbers)[1], abs=0.01)
    assert value(law, found, 1.0) == pytest.approx(value(law, numbers, 1.0), abs=0.01)


def test_the_peak_falls_with_speed_where_friction_fades():
    numbers = (0.6856, 33.822, 0.2776, 0.02)
    slow, fast = peak(burckhardt, numbers, 8.0), peak(burckhardt, numbers, 25.0)
    assert slow[1] > fast[1]
    assert slow[0] > fast[0]
    assert fast[1] == pytest.approx(burckhardt(fast[0], 0.0, 25.0, *numbers)[0], rel=1e-12)


def test_the_closed_form_of_the_peak():
    c1, c2, c3 = COEFFICIENTS[1]
    assert peak(burckhardt, (c1, c2, c3, 0.0))[0] == pytest.approx(math.log(c1 * c2 / c3) / c2, abs=1e-6)


@pytest.mark.parametrize("fit", [fit_burckhardt, fit_magic])
def test_points_without_friction_are_no_curve(fit):
    with pytest.raises(ValueError, match="none of the points has any friction"):
        fit(NO_FRICTION)
