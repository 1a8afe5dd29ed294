"""The consistent start: what is held, what is off, what must come to rest, and what is said if it does not."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.engine.machine import Machine
from pneusim.engine.methods import Rosenbrock
from pneusim.engine.settle import REST, RTOL, settle
from pneusim.errors import RunFailed
from tests.engine.bench import ATMOSPHERE, ISOTHERMAL, PA, ROD, SPRING_ROD, Bench, C, closure

NEAR = 100.0  # Pa


def settled(b: Bench) -> tuple[Machine, list[str]]:
    machine, told = b.machine(), []
    settle(machine, b.a, Rosenbrock(machine, RTOL), lambda event: told.append(event.key[1]))
    return machine, told


def test_what_a_reservoir_feeds_is_charged_and_the_reservoir_keeps_all_its_air():
    b = Bench()
    tank = b.volume("tank", 20e-3, 8e5, film=25.0, storage=True)
    far = b.volume("far", 2e-3, film=ISOTHERMAL)
    b.line("hose", tank, far, 3.0, 9e-3)
    machine, _ = settled(b)
    start = {s.name: s.start for s in machine.program.states}
    for state in (b.a.nodes[tank].mass, b.a.nodes[tank].energy):
        name = machine.program.states[machine.tape.state_of(state)].name
        assert machine.get_state(state) == pytest.approx(start[name], rel=1e-14)
    assert machine.read(b.watch["far"]) == pytest.approx(8e5, abs=NEAR)
    assert machine.time == 0.0


def test_at_rest_the_rates_are_small_and_the_balance_starts_at_nothing():
    b = Bench()
    tank = b.volume("tank", 20e-3, 8e5, film=25.0, storage=True)
    chamber = b.volume("chamber", 0.3e-3, film=ISOTHERMAL)
    b.a.chamber("left", chamber, ROD, b.a.tape.setting("free", 14e-3))
    b.valve("feed", tank, chamber, 2 * C)
    machine, _ = settled(b)
    free = [s.name.startswith(("chamber", "left")) for s in machine.program.states]
    resting = np.flatnonzero(free)
    assert len(resting) == 3
    assert np.abs(machine.rates()[resting]).max() < REST
    assert machine.get_state(b.a.mass_out) == machine.get_state(b.a.energy_out) == 0.0
    before = {kind: machine.total(kind) for kind in ("mass", "energy")}
    b.run(1.0, machine)
    for kind, total in before.items():
        assert machine.total(kind) == pytest.approx(total, rel=1e-12)
    assert machine.read(b.watch["chamber"]) == pytest.approx(8e5, abs=NEAR), "nothing moves when all is let go"


def test_flow_between_held_reservoirs_goes_on_and_is_no_unrest():
    b = Bench()
    high = b.volume("high", 20e-3, 8e5, film=25.0, storage=True)
    low = b.volume("low", 20e-3, 2e5, film=25.0, storage=True)
    b.valve("between", high, low, C)
    machine, _ = settled(b)
    assert machine.read(b.watch["between"]) > 5e-3
    assert machine.read(b.watch["high"]) == pytest.approx(8e5)
    assert machine.read(b.watch["low"]) == pytest.approx(2e5)
    run = b.run(60.0, machine)
    assert run["high"][-1] == pytest.approx(run["low"][-1], abs=50.0), "held no longer"


def test_the_compressor_rests_while_settling():
    b = Bench()
    tank = b.volume("tank", 1e-3, 3e5, film=25.0)
    flow = b.a.compressor("pump", tank, b.a.tape.setting("speed", 30.0), b.a.tape.setting("loaded", 1.0), 3.6e-4,
                          0.85, 0.045, 313.0)  # fmt: skip
    machine, _ = settled(b)
    assert machine.read(b.watch["tank"]) == pytest.approx(3e5, abs=1.0)
    assert machine.read(flow) > 1e-3, "and runs from the start on"


@pytest.mark.parametrize(("pressure", "applied"), [(6.0e5, False), (4.2e5, False), (3.0e5, True), (0.0, True)])
def test_springs_begin_held_off_above_their_balance_else_applied(pressure, applied):
    """Balance at 7600 N / 193.5 cm2 = 393 kPa, friction 8 kPa: held off from 401 kPa, moving below 363 kPa."""
    b = Bench()
    tank = b.volume("tank", 20e-3, pressure, film=25.0, storage=True)
    spring, service = b.volume("spring", 0.3e-3, film=60.0), b.volume("service", 0.2e-3, film=60.0)
    setting = b.a.tape.setting
    s, force, z = b.a.spring_brake("left", service, spring, SPRING_ROD, setting("free", 14e-3),
                                   setting("force", 7600.0), setting("rate", 45e3))  # fmt: skip
    b.valve("hold", tank, spring, 3 * C)
    b.valve("exhaust", service, ATMOSPHERE, 10 * C)
    machine, _ = settled(b)
    assert machine.read(b.watch["spring"]) == pytest.approx(pressure, abs=NEAR)
    assert (machine.read(force) > 200.0) is applied
    assert (machine.read(z) > 10e-3) is applied
    if not applied:
        assert abs(machine.read(z)) < 2.1e-3, "the stop gives way by 0.5 mm per kN"
        assert abs(machine.read(s)) < 1e-3


def test_a_control_does_not_trip_while_its_pressure_still_builds_up():
    """The level is missed at first and met at rest: no event; a level missed at rest is one, at the start."""
    b = Bench()
    tank = b.volume("tank", 20e-3, 6e5, film=25.0, storage=True)
    line = b.volume("line", 1e-3, film=ISOTHERMAL)
    b.valve("feed", tank, line, C)
    held, out = b.a.tape.setting("held", 1.0), b.a.tape.setting("out", 1.0)
    b.a.event(("control", "tripped"), b.watch["line"], 2e5, -1.0, {held: 1.0}, {held: 0.0})
    b.a.event(("other", "low"), b.watch["line"], 7e5, -1.0, {out: 1.0}, {out: 0.0})
    machine, told = settled(b)
    assert told == ["low"]
    assert (machine.setting(held), machine.setting(out)) == (1.0, 0.0)


def test_what_never_rests_is_named():
    """A large vessel behind a pinhole takes minutes: no reservoir holds it and it is not at rest in time."""
    b = Bench()
    tank = b.volume("tank", 20e-3, 8e5, film=25.0, storage=True)
    big = b.volume("big", 50e-3, film=25.0)
    b.valve("pinhole", tank, big, 0.03 * C)
    with pytest.raises(RunFailed) as failure:
        settled(b)
    text = str(failure.value)
    assert text.startswith("The circuit did not come to rest in 180 s before the start: big.energy still moves.")
    assert "It fills very slowly, or something flows that no reservoir holds" in text
    assert "a narrow way into a large volume, an open port, a leak from the beginning, or a control that hunts" in text


def test_an_open_branch_between_held_reservoir_and_atmosphere_rests_in_its_flow():
    """Steady flow is rest; only what changes is unrest."""
    b = Bench()
    tank = b.volume("tank", 20e-3, 8e5, film=25.0, storage=True)
    middle = b.volume("middle", 1e-3, film=25.0)
    b.valve("in", tank, middle, C)
    b.valve("out", middle, ATMOSPHERE, C)
    machine, _ = settled(b)
    assert machine.read(b.watch["in"]) == pytest.approx(machine.read(b.watch["out"]), rel=1e-3)
    assert PA < machine.read(b.a.nodes[middle].p) < 8e5
    assert closure(machine, "mass") < 0.1


def test_what_was_warmed_by_charging_has_cooled():
    """Held at its pressure, a vessel that cools draws air in: with that the run would begin, and the tank fall."""
    b = Bench()
    tank = b.volume("tank", 20e-3, 8e5, film=25.0, storage=True)
    far = b.volume("far", 2e-3, film=60.0)
    b.line("hose", tank, far, 3.0, 9e-3)
    machine, _ = settled(b)
    assert machine.read(b.watch["far.T"]) == pytest.approx(293.15, abs=0.3)
    assert machine.read(b.watch["far"]) == pytest.approx(8e5, abs=NEAR)
    run = b.run(10.0, machine)
    assert np.ptp(run["tank"]) < 2.0 * NEAR
