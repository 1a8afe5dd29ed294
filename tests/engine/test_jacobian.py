"""The compiled Jacobian against differences of the compiled right-hand side, and what its columns must sum to."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.engine.families import FAMILIES
from tests.engine.assemblies import CASES, scatter
from tests.engine.oracle import disagreement, kernel_jacobian

SEEDS = range(12)


def test_the_cases_use_every_family():
    used = {element.family.name for make in CASES.values() for element in make().machine.tape.elements}
    assert used == {family.name for family in FAMILIES}


@pytest.mark.parametrize("name", list(CASES))
def test_jacobian_is_the_derivative_of_the_rates(name):
    machine = CASES[name]().machine
    start = machine.state.copy()
    machine.time = 0.01
    for seed in SEEDS:
        machine.state[:] = start
        scatter(machine, np.random.default_rng(seed))
        worst, where = disagreement(machine)
        assert worst < 2e-5, f"seed {seed}: {where}"


@pytest.mark.parametrize("name", list(CASES))
def test_what_one_state_loses_another_gains(name):
    """Columns of the Jacobian, weighted with the scales, sum to nothing over masses and over energies."""
    machine = CASES[name]().machine
    scatter(machine, np.random.default_rng(7))
    jacobian, states = kernel_jacobian(machine), machine.program.states
    for kind in ("mass", "energy"):
        rows = [i for i, s in enumerate(states) if s.kind == kind]
        scale = machine.program.scale[rows]
        for derivative in (jacobian.states[rows].T, jacobian.time[rows][None, :]):
            weighted = derivative * scale
            assert np.all(np.abs(weighted.sum(axis=1)) <= 1e-14 * np.abs(weighted).sum(axis=1))


@pytest.mark.parametrize("name", list(CASES))
def test_jacobian_is_finite_at_rest_on_the_kinks(name):
    """At the start equal pressures, no flow and strokes on their stops put many laws exactly on a kink."""
    machine = CASES[name]().machine
    jacobian = kernel_jacobian(machine)
    assert np.isfinite(jacobian.states).all()
    assert np.isfinite(jacobian.time).all()


def test_the_rates_of_a_blocked_face_are_zero_and_those_of_its_neighbours_are_not():
    case = CASES["blocked line"]()
    scatter(case.machine, np.random.default_rng(3))
    jacobian, tape = kernel_jacobian(case.machine), case.machine.tape
    flows = [tape.state_of(w) for w in case.lines[0].flows]
    still = [not jacobian.states[i].any() for i in flows]
    assert still == [False, False, True, False]
