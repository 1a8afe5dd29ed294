"""How many cells a line gets, where its volume goes, and what its faults leave as they were."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pneusim.engine.lines import (
    CELLS_BESIDE_FAULT,
    LineSpec,
    block_line,
    break_line,
    cell_lengths,
    mend_line,
)
from pneusim.physics.plain import tube_conductance
from tests.engine.assemblies import lines as lines_of
from tests.engine.bench import ATMOSPHERE, Bench


def spec(length: float, **more) -> LineSpec:
    return LineSpec("line", length, 9e-3, 1.5e-6, **more)


@pytest.mark.parametrize(
    ("length", "cells"),
    [(0.3, 2), (1.0, 2), (2.0, 2), (2.01, 3), (3.0, 3), (13.0, 13), (31.5, 32), (40.0, 32)],
)
def test_one_cell_a_metre_at_least_two_at_most_thirty_two(length, cells):
    lengths, fault = cell_lengths(spec(length))
    assert lengths == pytest.approx([length / cells] * cells)
    assert fault == -1


def test_a_number_of_cells_that_is_asked_for_is_given():
    assert len(cell_lengths(spec(3.0, cells=7))[0]) == 7


@pytest.mark.parametrize("where", [0.0, 0.1, 0.5, 0.9, 1.0])
@pytest.mark.parametrize("length", [0.4, 6.0, 20.0])
def test_a_fault_has_a_node_in_its_place_and_enough_cells_on_either_side(length, where):
    """Clipped to one bore from the ends."""
    lengths, fault = cell_lengths(spec(length, fault_at=where))
    before, after = lengths[: fault + 1], lengths[fault + 1 :]
    place = min(max(where * length, 9e-3), length - 9e-3)
    assert sum(lengths) == pytest.approx(length)
    assert sum(before) == pytest.approx(place)
    for part in (before, after):
        assert len(part) >= CELLS_BESIDE_FAULT
        assert max(part) <= 1.0 + 1e-9


@pytest.mark.parametrize("more", [{}, {"fault_at": 0.3}, {"cells": 1}, {"lumped": True}])
def test_the_volume_of_a_line_is_all_there(more):
    """Half a cell at either end belongs to the nodes there: air of the same pressure fills line and ends."""
    b = Bench()
    start, end = b.volume("start", 1e-3, 4e5), b.volume("end", 2e-3, 4e5)
    b.line("line", start, end, 5.0, 9e-3, **more)
    m = b.machine()
    volume = 3e-3 + math.pi / 4.0 * 9e-3**2 * 5.0
    assert m.total("mass") == pytest.approx((b.p_ambient + 4e5) * volume / (287.05 * 293.15), rel=1e-12)
    assert m.total("energy") == pytest.approx((b.p_ambient + 4e5) * volume / 0.4, rel=1e-12)


def test_a_lumped_line_is_a_tube_between_two_halves():
    b = Bench()
    source, _ = b.source("source", 7e5)
    end = b.volume("end", 1e-3)
    b.line("line", source, end, 5.0, 9e-3, lumped=True)
    m = b.machine()
    conductance, _ = tube_conductance(9e-3, 5.0)
    assert m.read(b.watch["line.in"]) == pytest.approx(conductance * (7e5 + b.p_ambient) * 1.185, rel=1e-9)


@pytest.mark.parametrize("lumped", [True, False])
def test_a_blocked_line_passes_nothing_until_it_is_mended(lumped):
    b = Bench()
    start, end = b.volume("start", 1e-3, 6e5), b.volume("end", 1e-3, 0.0)
    line = b.line("line", start, end, 3.0, 9e-3, lumped=lumped)
    m = b.machine()
    run = b.run(4.0, m, actions=[
        (0.0, lambda: block_line(m, line)),
        (2.0, lambda: mend_line(m, line)),
    ])  # fmt: skip
    assert run.at("start", 2.0) - run.at("end", 2.0) > 4.5e5
    assert run.at("start", 4.0) == pytest.approx(run.at("end", 4.0), rel=0.01)


def test_mending_gives_every_number_back():
    b = Bench()
    line = b.line("line", b.volume("start", 1e-3, 6e5), b.volume("end", 1e-3, 6e5), 3.0, 9e-3, fault_at=0.5)
    m = b.machine()
    before = m.floats.copy()
    break_line(m, b.a, line)
    assert not np.array_equal(m.floats, before)
    block_line(m, line)
    mend_line(m, line)
    assert np.array_equal(m.floats, before)


def test_a_break_takes_exactly_its_cell_of_air_and_leaves_ambient_air():
    b = Bench()
    line = b.line("line", b.volume("start", 1e-3, 6e5), b.volume("end", 1e-3, 6e5), 3.0, 9e-3, fault_at=0.5)
    m = b.machine()
    cell = line.cells[line.fault_cell]
    air = {"mass": 1.0 / (287.05 * 293.15), "energy": 2.5}
    before = {kind: m.total(kind) for kind in air}
    break_line(m, b.a, line)
    for kind, state, out in (("mass", cell.mass, b.a.mass_out), ("energy", cell.energy, b.a.energy_out)):
        assert m.get_state(state) == pytest.approx(b.p_ambient * cell.volume * air[kind], rel=1e-12)
        assert m.get_state(out) == pytest.approx(6e5 * cell.volume * air[kind], rel=1e-9)
        assert m.total(kind) == pytest.approx(before[kind], rel=1e-14)


def test_a_broken_line_is_no_hole_in_its_tank():
    """The resistance of 6 m in front of the break leaves less than half of what a hole of the bore would pass."""
    b = Bench()
    source, _ = b.source("source", 8e5)
    line = b.line("line", source, b.volume("end", 0.0), 12.0, 9e-3, fault_at=0.5)
    m = b.machine()
    break_line(m, b.a, line)
    flow = b.run(2.0, m)["line.in"][-1]
    assert 0.045 < flow < 0.06 < 0.135 / 2.0


def test_a_line_can_end_in_the_open_air():
    b = Bench()
    b.line("line", b.volume("tank", 1e-3, 6e5), ATMOSPHERE, 1.0, 9e-3)
    run = b.run(3.0)
    assert run["tank"][-1] == pytest.approx(0.0, abs=100.0)


@pytest.mark.parametrize("cells", [2, 3, 5])
def test_every_half_of_a_wall_heats_one_inner_node(cells):
    """Two halves a face, none of them on an end node: what a chamber at an end holds feels no wall of the line."""
    b = Bench()
    hot, far = b.volume("hot", 1e-3, 4e5), b.volume("far", 1e-3, 4e5)
    b.line("line", hot, far, 2.0, 9e-3, cells=cells)
    elements = [e for e in b.a.tape.elements if e.family.name == "line_heat"]
    halves = np.array([e.fields[:2] for e in elements])
    assert halves.sum() == 2 * cells
    assert halves[0, 0] == halves[-1, 1] == 2.0
    assert halves.ravel()[1:-1].tolist() == [1.0] * (2 * cells - 4)


def test_beside_a_break_a_node_takes_the_open_half_too():
    case = lines_of("break")
    machine = case.machine
    fields = {e.name: machine.floats[machine.program.field_slot[i] :][:2].tolist() for i, e in
              enumerate(machine.tape.elements) if e.family.name == "line_heat"}  # fmt: skip
    broken = case.lines[0]
    name, k = broken.spec.name, broken.fault_cell + 1
    assert fields[f"{name}.heat_{k - 1}"] == [1.0, 2.0]
    assert fields[f"{name}.heat_{k + 1}"] == [2.0, 1.0]
