"""The part of a tape that some values need: what events and samples look at depends on few of the elements."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from pneusim.engine.tape import BATCH, SLOT, Ints, Program


def part(program: Program, places: Iterable[int]) -> Ints:
    """Integers with which the kernel's ``observe`` evaluates only what the values at these places depend on.

    Other values are left as they are.
    """
    wanted = frozenset(places)
    known = program.parts.get(wanted)
    if known is None:
        known = program.parts[wanted] = _part(program, set(wanted))
    return known


def _part(program: Program, wanted: set[int]) -> Ints:
    kept: list[list[int]] = []
    for rank, source, field, value in reversed(_elements(program)):
        family = program.families[rank]
        if wanted.isdisjoint(range(value, value + len(family.outputs))):
            continue
        first = program.header("I_sources") + source
        wanted.update(program.integers[first : first + len(family.inputs)].tolist())
        kept.append([rank, 1, source, field, value])
    integers = np.concatenate([program.integers, np.array(kept[::-1], np.int64).ravel()])
    integers[SLOT["batches"]] = len(kept)
    integers[SLOT["I_batches"]] = len(program.integers)
    return integers


def _elements(program: Program) -> list[tuple[int, int, int, int]]:
    """Family and positions of every element, in order of evaluation."""
    first, count = program.header("I_batches"), program.header("batches")
    elements = []
    for rank, size, source, field, value in program.integers[first:][: BATCH * count].reshape(-1, BATCH).tolist():
        family = program.families[rank]
        for _ in range(size):
            elements.append((rank, source, field, value))
            source += len(family.inputs)
            field += len(family.fields)
            value += len(family.outputs)
    return elements
