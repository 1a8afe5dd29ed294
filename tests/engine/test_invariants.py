"""Mass and energy of all nodes, the atmosphere among them, never change in sum: to round-off, at any tolerance."""

from __future__ import annotations

import pytest

from pneusim.engine.lines import add_leak, block_line, break_line, mend_line
from tests.engine.assemblies import CASES
from tests.engine.bench import ATMOSPHERE, Bench, C, closure

MASS_LIMIT, ENERGY_LIMIT = 1e-12, 1e-10


def assert_closed(machine) -> None:
    assert closure(machine, "mass") < MASS_LIMIT
    assert closure(machine, "energy") < ENERGY_LIMIT


@pytest.mark.parametrize("rtol", [1e-2, 1e-4, 1e-6])
@pytest.mark.parametrize("name", list(CASES))
def test_sums_are_kept(name, rtol):
    """Compressor, ideal source, leaks, pistons, walls, open ends and all kinds of lines are among the cases."""
    case = CASES[name]()
    before = case.machine.state.copy()
    case.bench.run(0.5, case.machine, rtol=rtol)
    assert abs(case.machine.state - before).max() > 0.1, "something must have happened"
    assert_closed(case.machine)


def test_breaking_mending_blocking_and_leaking_keep_the_sums():
    """What a break throws out of its cell, and what mending keeps there, is in the atmosphere's balance."""
    b = Bench()
    tank, end = b.volume("tank", 5e-3, 8e5, film=25.0), b.volume("end", 1e-3, 8e5, film=60.0)
    line = b.line("line", tank, end, 6.0, 9e-3, fault_at=0.3)
    hole = b.a.tape.setting("hole", 0.0)
    add_leak(b.a, line, hole)
    m = b.machine()
    opened = []

    def note(what):
        return lambda: opened.append((what, b.a.p_ambient, m.read(line.cells[line.fault_cell].p)))

    run = b.run(
        3.0,
        m,
        actions=[
            (0.1, lambda: break_line(m, b.a, line)),
            (0.2, note("broken")),
            (0.3, lambda: mend_line(m, line)),
            (0.5, note("mended")),
            (0.6, lambda: m.set(hole, 3e-3)),
            (0.8, lambda: block_line(m, line)),
            (1.0, lambda: m.set(hole, 0.0)),
            (1.1, lambda: mend_line(m, line)),
            (1.5, lambda: break_line(m, b.a, line)),
            (1.6, lambda: mend_line(m, line)),
            (2.0, lambda: break_line(m, b.a, line)),
        ],
    )
    assert_closed(m)
    assert [p == outside for _, outside, p in opened] == [True, False]
    assert run.at("tank", 0.1) > 1.05 * run.at("tank", 0.3), "the break lets air out"
    assert run.at("tank", 1.45) == pytest.approx(run.at("tank", 1.2), rel=0.01), "mended, the tank keeps its air"
    assert run.at("tank", 3.0) < 0.5 * run.at("tank", 1.9)


def test_two_circuits_that_share_only_the_atmosphere_are_one_sum():
    b = Bench()
    first, second = b.volume("first", 2e-3, 6e5), b.volume("second", 1e-3, 3e5, film=60.0)
    b.valve("one", first, ATMOSPHERE, 2 * C)
    b.valve("two", second, ATMOSPHERE, C)
    m = b.machine()
    b.run(5.0, m)
    assert_closed(m)
    assert m.get_state(b.a.mass_out) == pytest.approx(
        sum(s.start for s in m.program.states if s.kind == "mass")
        - sum(m.get_state(b.a.nodes[n].mass) for n in (first, second)),
        rel=1e-12,
    )


def test_heat_and_work_are_in_the_atmospheres_balance():
    """A closed vessel that cools gives exactly the atmosphere what it loses."""
    b = Bench()
    hot = b.volume("hot", 2e-3, 6e5, film=60.0)
    m = b.machine()
    m.set_state(b.a.nodes[hot].energy, 1.3 * m.get_state(b.a.nodes[hot].energy))
    before = m.get_state(b.a.nodes[hot].energy)
    b.run(20.0, m)
    lost = before - m.get_state(b.a.nodes[hot].energy)
    assert lost > 0.1 * before
    assert m.get_state(b.a.energy_out) == pytest.approx(lost, rel=1e-12)
    assert m.get_state(b.a.mass_out) == 0.0
