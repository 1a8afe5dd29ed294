"""The part of a tape that some values need gives them as the whole does, and touches nothing else."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.engine.part import part
from pneusim.engine.tape import SLOT
from tests.engine.assemblies import CASES, scatter


def observe(machine, integers, floats):
    """Values after an evaluation, not-a-number where nothing was written."""
    values = np.full(machine.program.header("values"), np.nan)
    machine.kernel.observe(0.01, machine.state, integers, floats, values)
    return values


@pytest.mark.parametrize("name", list(CASES))
def test_every_value_alone_is_as_in_the_whole(name):
    machine = CASES[name]().machine
    scatter(machine, np.random.default_rng(3))
    whole = observe(machine, machine.program.integers, machine.floats)
    for place in range(len(machine.state), len(whole)):
        assert observe(machine, part(machine.program, [place]), machine.floats)[place] == whole[place]


@pytest.mark.parametrize("name", list(CASES))
def test_a_part_leaves_out_what_it_does_not_need(name):
    machine = CASES[name]().machine
    before = machine.program.integers.copy()
    base = len(machine.state) + len(machine.program.input_names) + len(machine.program.setting_names)
    nothing = part(machine.program, [0])
    assert nothing[SLOT["batches"]] == 0
    assert np.all(np.isnan(observe(machine, nothing, machine.floats)[base:]))
    counts = [np.isfinite(observe(machine, part(machine.program, [place]), machine.floats)).sum() for place in
              range(base, machine.program.header("values"))]  # fmt: skip
    assert min(counts) < max(counts)
    assert np.array_equal(machine.program.integers, before)


def test_programs_of_one_structure_share_their_parts():
    first, second = (CASES[name]().machine.program for name in 2 * [next(iter(CASES))])
    places = range(first.header("values"))
    assert first.floats is not second.floats
    assert part(first, places) is part(second, reversed(places))
    assert part(first, places) is not part(first, places[:-1])
