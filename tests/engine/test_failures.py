"""A run that cannot go on says when, which state is at fault and what to do: no traceback, no clipped state."""

from __future__ import annotations

import math

import pytest

from pneusim.engine.machine import Machine
from pneusim.engine.methods import Rosenbrock
from pneusim.engine.segments import Loop
from pneusim.errors import RunFailed
from tests.engine.bench import ATMOSPHERE, METHODS, Bench, C


def draining() -> Bench:
    """A plenum that empties, and a tank that has nothing to do with it and rests."""
    b = Bench()
    b.volume("tank", 10e-3, 8e5, film=25.0)
    b.valve("leak", b.volume("relay.plenum", 1e-3, 8e5), ATMOSPHERE, C)
    return b


def go(machine: Machine, method) -> None:
    Loop(machine, method, lambda steps: None, lambda event: None).run(10.0)


def test_a_step_budget_names_the_state_that_asks_for_small_steps():
    machine = draining().machine()
    with pytest.raises(RunFailed) as failure:
        go(machine, Rosenbrock(machine, 1e-8, budget=60))
    text = str(failure.value)
    assert text.startswith(f"The integration used up its 60 steps at {machine.time:.6g} s")
    assert "relay.plenum." in text
    assert "Look at what happens there" in text
    assert 0.0 < machine.time < 10.0


def test_a_budget_counts_accepted_and_rejected_steps():
    machine = draining().machine()
    method = Rosenbrock(machine, 1e-8)
    go(machine, method)
    needed = method.accepted + method.rejected
    machine = draining().machine()
    go(machine, Rosenbrock(machine, 1e-8, budget=needed))
    machine = draining().machine()
    with pytest.raises(RunFailed, match=f"used up its {needed - 1} steps"):
        go(machine, Rosenbrock(machine, 1e-8, budget=needed - 1))


@pytest.mark.parametrize("engine", list(METHODS))
@pytest.mark.parametrize("sick", ["tank.mass", "relay.plenum.energy"])
def test_a_state_that_is_no_number_is_named(engine, sick):
    b = draining()
    machine = b.machine()
    names = [state.name for state in machine.program.states]
    machine.state[names.index(sick)] = math.nan
    with pytest.raises(RunFailed) as failure:
        go(machine, METHODS[engine](machine, 1e-4))
    assert sick in str(failure.value)
    assert "0 s" in str(failure.value)


@pytest.mark.parametrize("engine", list(METHODS))
def test_a_law_that_gives_no_number_is_named(engine):
    """A conductance that becomes nan on the way: the run stops there and names a state that it feeds."""
    b = draining()
    machine = b.machine()
    element = machine.tape.element_of(b.watch["leak"])
    method = METHODS[engine](machine, 1e-4)
    loop = Loop(machine, method, lambda steps: None, lambda event: None)
    loop.at(0.5, lambda: machine.set_field(element, "conductance", math.nan))
    with pytest.raises(RunFailed) as failure:
        loop.run(10.0)
    assert "at 0.5 s" in str(failure.value)
    assert "relay.plenum" in str(failure.value)


def test_the_inputs_of_that_time_are_told():
    b = draining()
    travel = b.a.tape.input("foot.travel", 0.4)
    machine = b.machine()
    machine.move(travel, 0.4, 0.1)
    with pytest.raises(RunFailed, match=r"Inputs at that time \(SI\): foot\.travel 0\.(5|6)\d+\."):
        go(machine, Rosenbrock(machine, 1e-8, budget=60))


def test_a_vessel_is_never_emptied_below_nothing():
    """A constant draw from a closed vessel ends the run with a named error, not with negative air."""
    b = Bench()
    vessel = b.volume("vessel", 1e-3, 2e5)
    draw = b.a.tape.setting("draw", 1e-3)
    b.a.nodes[vessel].flows.append((-1.0, draw, b.a.affine(0.0, (3e5, draw))))
    b.a.nodes[ATMOSPHERE].flows.append((1.0, draw, b.a.affine(0.0, (3e5, draw))))
    b.passes("low", b.watch["vessel"], -9e4, -1.0)
    machine = Machine.of(b.a)
    with pytest.raises(RunFailed, match=r"found no step small enough at [\d.]+ s.*vessel\.(mass|energy)"):
        b.run(60.0, machine)
    assert machine.get_state(b.a.nodes[vessel].mass) > 0.0
    assert machine.get_state(b.a.nodes[vessel].energy) > 0.0
