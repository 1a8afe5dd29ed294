"""Derivatives of the families of wheels and units against differences of their laws, away from the kinks."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pneusim.engine.families import (
    AIR_DRAG,
    BURCKHARDT,
    CREEP,
    GRIP,
    MAGIC,
    PULL,
    SKID,
    SUPPORT,
    TREAD,
    WHEEL_BRAKE,
)
from pneusim.engine.kernel import law_of
from tests.physics.derivatives import central, crosses

SPEED, SLIP = (-25.0, 25.0), (-1.4, 1.4)

# Family: range of each input, values of the fields, and kinks as functions of inputs and fields that vanish there.
CASES = {
    BURCKHARDT.name: (
        BURCKHARDT,
        (SLIP, SLIP, SPEED),
        (0.69, 33.8, 0.28, 0.02),
        (
            lambda x, f: x[0],
            lambda x, f: abs(x[0]) - 1.0,
            lambda x, f: x[1],
            lambda x, f: abs(x[1]) - math.log(f[0] * f[1] / f[2]) / f[1],
            lambda x, f: x[2],
        ),
    ),
    TREAD.name: (TREAD, (SPEED, SPEED, SLIP), (0.001, 0.06), (lambda x, f: x[0], lambda x, f: abs(x[0]) - 2.0)),
    CREEP.name: (CREEP, (SPEED, SPEED, SLIP, (0.0, 1.0)), (0.3, 0.02), (lambda x, f: x[0],)),
    GRIP.name: (GRIP, ((-1e4, 8e4), (-1.0, 1.0)), (0.08, 3e4), (lambda x, f: x[0],)),
    WHEEL_BRAKE.name: (
        WHEEL_BRAKE,
        ((-3e4, 3e4), (-2.0, 2.0), (0.0, 2e4), (-1e4, 5e4)),
        (0.5, 13.0, 2e-3, 0.007),
        (
            lambda x, f: x[3],
            lambda x, f: abs(-f[0] * x[0] + f[1] * x[1] / (f[0] * f[2])) - x[2] - f[3] * max(x[3], 0.0) * f[0],
        ),
    ),
    AIR_DRAG.name: (AIR_DRAG, (SPEED,), (3.6,), (lambda x, f: x[0],)),
    PULL.name: (PULL, ((-2e5, 2e5), (5e3, 5e4), (-6.0, 6.0), (0.0, 1.0)), (), ()),
    SKID.name: (
        SKID,
        ((-1e5, 1e5), (-0.01, 0.01), (-1e4, 2e5), (0.0, 1.0), (5e3, 5e4)),
        (0.4, 2e-3),
        (
            lambda x, f: x[2],
            lambda x, f: abs(x[0] + x[4] * x[1] / f[1]) - f[0] * max(x[2], 0.0),
        ),
    ),
    SUPPORT.name: (
        SUPPORT,
        ((-30.0, 30.0), (-1e5, 1e5), (-1e5, 1e5), (0.0, 1.5e5)),
        (1.57e5, 1.6e4, 5e3, 0.0, 5.0, 3.2, 1.2, 1.1, 0.9, 4.4),
        (lambda x, f: SUPPORT.law(*x, *f)[0], lambda x, f: SUPPORT.law(*x, *f)[1]),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_gradient_is_the_derivative_of_the_law(name):
    family, ranges, fields, kinks = CASES[name]
    assert [len(family.inputs), len(family.fields)] == [len(ranges), len(fields)]
    scales = np.array(list(family.inputs.values()))
    rng, checked = np.random.default_rng(11), 0
    for _ in range(400):
        x = np.array([rng.uniform(*span) for span in ranges])
        if crosses(x, scales, [lambda y, kink=kink: kink(y, fields) for kink in kinks]):
            continue
        expected = central(lambda *y: family.law(*y, *fields), x, scales)
        returned = np.array(family.gradient(*x, *fields))
        outputs, partials = returned[: len(family.outputs)], list(returned[len(family.outputs) :])
        assert outputs == pytest.approx(np.atleast_1d(family.law(*x, *fields)), rel=1e-14)
        size = np.abs(expected).max(axis=1) + 1e-9
        for row, output in enumerate(family.outputs):
            depends = family.inputs_of(output)
            for i in range(len(scales)):
                found = partials.pop(0) * scales[i] if i in depends else 0.0
                assert found == pytest.approx(expected[row, i], abs=1e-5 * size[row]), (output, i, x)
        assert not partials
        checked += 1
    assert checked > 100


def test_gradients_meet_both_sides_of_every_kink():
    """The random points above are worth something only if they reach what slides and what sticks."""
    for name, output in ((WHEEL_BRAKE.name, 0), (SKID.name, 0), (SUPPORT.name, 0)):
        family, ranges, fields, _ = CASES[name]
        rng = np.random.default_rng(11)
        slopes = {
            family.gradient(*[rng.uniform(*span) for span in ranges], *fields)[len(family.outputs) + output] == 0.0
            for _ in range(400)
        }
        assert slopes == {True, False}, name


def test_the_magic_formula_leaves_its_derivatives_to_the_kernel():
    """Its difference inside the element agrees with a central one of longer steps."""
    assert MAGIC.gradient is None
    fields, scales = (14.0, 1.6, 0.8, 0.5, 0.02), np.array(list(MAGIC.inputs.values()))
    law = law_of("magic")
    for x in ([0.05, 0.03, 12.0], [-0.4, 0.1, 5.0]):
        forward = np.array([
            (np.array(law(*(np.array(x) + 1e-8 * scales * (np.arange(3) == i)), *fields)) - np.array(law(*x, *fields)))
            / 1e-8 for i in range(3)
        ]).T  # fmt: skip
        assert forward == pytest.approx(central(lambda *y: law(*y, *fields), np.array(x), scales), abs=1e-5)
