"""The tape: order of evaluation, what it refuses, and how numbers are patched and captured while a circuit runs."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.engine import layout
from pneusim.engine.families import AFFINE, FAMILIES, RESTRICTION
from pneusim.engine.tape import Tape
from tests.engine.bench import ATMOSPHERE, Bench, C


def test_signals_are_evaluated_after_what_they_read_whatever_the_order_of_their_making():
    b = Bench()
    late = b.a.tape.promise()
    (y,) = b.a.tape.element(AFFINE, (late, late), (1.0, 2.0, 0.0), "late reader")
    b.a.tape.keep(late, b.a.affine(3.0, (1.0, b.a.one)))
    assert b.machine().read(y) == 1.0 + 2.0 * 4.0


def test_signals_that_wait_for_each_other_are_named():
    b = Bench()
    hen = b.a.tape.promise()
    (egg,) = b.a.tape.element(AFFINE, (hen, hen), (0.0, 1.0, 0.0), "egg")
    b.a.tape.keep(hen, b.a.tape.element(AFFINE, (egg, egg), (0.0, 1.0, 0.0), "hen")[0])
    with pytest.raises(ValueError, match=r"signals that wait for each other: .*(hen|egg)"):
        b.machine()


def test_a_promise_that_nobody_kept_is_an_error():
    b = Bench()
    b.a.affine(0.0, (1.0, b.a.tape.promise()))
    with pytest.raises(ValueError, match="was promised and never made"):
        b.machine()


def test_an_element_takes_what_its_family_takes():
    tape = Tape(FAMILIES)
    x = tape.setting("x", 1.0)
    with pytest.raises(ValueError, match="short: family restriction takes 5 inputs and 3 fields, not 2 and 1"):
        tape.element(RESTRICTION, (x, x), (1.0,), "short")


def test_only_settings_inputs_and_states_can_be_put():
    b = Bench()
    tank = b.volume("tank", 1e-3)
    setting, value = b.a.tape.setting("setting", 1.0), b.a.tape.input("input", 2.0)
    m = b.machine()
    for wrong, put in (
        (value, lambda v: m.set(v, 1.0)),
        (setting, lambda v: m.move(v, 1.0)),
        (setting, m.input),
        (setting, m.get_state),
        (b.watch["tank"], m.get_state),
    ):
        with pytest.raises(ValueError, match=r"is no (setting|input|state)"):
            put(wrong)
    m.set_state(b.a.nodes[tank].mass, 0.5)
    assert m.get_state(b.a.nodes[tank].mass) == pytest.approx(0.5, rel=1e-15)


@pytest.mark.parametrize("terms", range(6))
def test_a_sum_has_any_number_of_terms(terms):
    b = Bench()
    values = [b.a.tape.setting(f"x{k}", 10.0**k) for k in range(terms)]
    y = b.a.affine(0.5, *[(k + 1.0, x) for k, x in enumerate(values)])
    assert b.machine().read(y) == pytest.approx(0.5 + sum((k + 1.0) * 10.0**k for k in range(terms)), rel=1e-15)


@pytest.mark.parametrize("x", [-1.0, 0.0, 0.03, 0.06, 0.5, 0.85, 0.9, 1.0, 2.0])
def test_a_table_is_linear_between_its_points_and_constant_outside(x):
    points = [(0.0, -40.0), (0.06, 0.0), (0.85, 620.0), (1.0, 1300.0)]
    b = Bench()
    y = b.a.table(b.a.tape.setting("x", x), points)
    assert b.machine().read(y) == pytest.approx(np.interp(x, *zip(*points, strict=True)), rel=1e-13, abs=1e-12)


def test_an_input_is_a_line_through_where_it_was_moved():
    b = Bench()
    value = b.a.tape.input("travel", 0.25)
    m = b.machine()
    assert m.input(value) == m.read(value) == 0.25
    m.time = 2.0
    m.move(value, 0.5, 0.1)
    m.time = 5.0
    assert m.input(value) == m.read(value) == pytest.approx(0.8, rel=1e-15)


def test_a_fault_that_freezes_keeps_what_was_when_it_came():
    b = Bench()
    value = b.a.tape.input("travel", 0.0)
    stuck = b.a.tape.setting("stuck", 0.0)
    y = b.a.frozen("valve", value, stuck)
    m = b.machine()
    m.move(value, 0.3)
    m.set(stuck, 1.0)
    m.move(value, 0.9)
    assert m.read(y) == 0.3
    m.set(stuck, 1.0)  # told again, it still holds the first
    assert m.read(y) == 0.3
    m.set(stuck, 0.0)
    assert m.read(y) == 0.9
    m.set(stuck, 1.0)
    m.move(value, 0.1)
    assert m.read(y) == 0.9


def test_machines_of_one_program_do_not_share_their_numbers():
    b = Bench()
    b.valve("valve", b.volume("tank", 1e-3, 5e5), ATMOSPHERE, C)
    one, other = b.machine(), b.machine()
    b.run(1.0, one)
    assert other.read(b.watch["tank"]) == pytest.approx(5e5)
    assert one.read(b.watch["tank"]) < 4e5


def test_what_was_worked_out_for_one_tape_serves_one_of_the_same_structure_with_its_own_numbers(monkeypatch):
    def machine(litres):
        b = Bench()
        b.volume("tank", litres * 1e-3)
        return b.machine()

    machine(1.0)
    known = len(layout._LAID_OUT)
    taken = machine(2.0).program
    assert len(layout._LAID_OUT) == known
    monkeypatch.setattr(layout, "_LAID_OUT", type(layout._LAID_OUT)())
    fresh = machine(2.0).program
    assert np.array_equal(taken.integers, fresh.integers)
    assert np.array_equal(taken.floats, fresh.floats)
    assert not np.array_equal(taken.floats, machine(1.0).program.floats)
