"""The hybrid loop: known times, state events, modes, and what is kept on both sides of an instant."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pneusim.engine.assembly import EventSpec
from pneusim.engine.methods import Rosenbrock
from pneusim.engine.segments import CHATTER_COUNT, Loop
from pneusim.errors import RunFailed
from pneusim.physics.constants import RHO0, T0, R
from tests.engine.bench import ATMOSPHERE, ISOTHERMAL, Bench, C

TANK = 10e-3  # [m3]
TAU = TANK / (C * RHO0 * R * T0)  # of a tank behind 1 dm3/(s bar): 10 s


def emptying(names: tuple[str, ...] = ("tank",), volume: float = TANK) -> Bench:
    """Isothermal tanks at 8 bar abs that empty through 1 dm3/(s bar) each: choked, p = p1 exp(-t/tau)."""
    b = Bench(p_ambient=1e5)
    for name in names:
        b.valve(f"{name}.valve", b.volume(name, volume, 7e5, film=ISOTHERMAL), ATMOSPHERE, C)
    return b


@pytest.mark.parametrize("engine", ["rodas4", "radau"])
def test_an_event_is_found_at_its_time(engine):
    b = emptying(volume=0.01 * TANK)
    b.passes("half", b.watch["tank"], 3e5, -1.0)
    assert b.run(0.1, engine=engine).when("half") == pytest.approx(0.01 * TAU * math.log(2.0), abs=1e-5)


@pytest.mark.parametrize("engine", ["rodas4", "radau"])
def test_the_level_stands_at_the_event(engine):
    """However large the error of the run: the event lies where the run itself passes the level."""
    b = emptying()
    b.passes("half", b.watch["tank"], 3e5, -1.0)
    run = b.run(10.0, engine=engine, rtol=1e-2)
    assert run.when("half") in run.times
    assert run.at("tank", run.when("half")) == pytest.approx(3e5, abs=0.01)


def test_a_level_that_holds_at_the_start_fires_at_once():
    b = emptying()
    b.passes("already", b.watch["tank"], 7e5, -1.0)
    b.passes("long ago", b.watch["tank"], 7.5e5, -1.0)
    b.passes("never", b.watch["tank"], 7.5e5, 1.0)
    assert sorted(b.run(1.0).events) == [("already", 0.0), ("long ago", 0.0)]


def test_events_at_one_instant_all_fire():
    b = emptying(("left", "right"))
    b.passes("left", b.watch["left"], 3e5, -1.0)
    b.passes("right", b.watch["right"], 3e5, -1.0)
    run = b.run(10.0)
    assert run.when("left") == run.when("right") == pytest.approx(TAU * math.log(2.0), rel=1e-4)


def test_a_mode_wakes_events_that_hold_at_the_same_instant():
    b = emptying()
    first, second = b.a.tape.setting("first", 0.0), b.a.tape.setting("second", 0.0)
    tank = b.watch["tank"]
    b.a.event(("x", "third"), tank, 4e5, -1.0, {second: 1.0})
    b.a.event(("x", "second"), tank, 5e5, -1.0, {first: 1.0, second: 0.0}, {second: 1.0})
    b.a.event(("x", "first"), tank, 3e5, -1.0, {first: 0.0}, {first: 1.0})
    run = b.run(10.0)
    assert [name for name, _ in run.events] == ["first", "second", "third"]
    assert len({time for _, time in run.events}) == 1


def test_modes_with_hysteresis_take_turns():
    b = Bench()
    source, _ = b.source("source", 9e5)
    tank = b.volume("tank", 1e-3, 5e5, film=ISOTHERMAL)
    filling = b.a.tape.setting("filling", 1.0)
    b.a.restriction("fill", source, tank, C, 0.3, filling)
    b.valve("draw", tank, ATMOSPHERE, 0.3 * C)
    b.a.event(("governor", "out"), b.watch["tank"], 8e5, 1.0, {filling: 1.0}, {filling: 0.0})
    b.a.event(("governor", "in"), b.watch["tank"], 7e5, -1.0, {filling: 0.0}, {filling: 1.0})
    run = b.run(10.0)
    names = [name for name, _ in run.events]
    assert len(names) > 5
    assert names == ["out", "in"] * (len(names) // 2) + ["out"] * (len(names) % 2)
    after = run.times > run.events[0][1]
    assert run["tank"][after].max() <= 8e5 + 1.0
    assert run["tank"][after].min() >= 7e5 - 1.0


def test_an_event_at_a_known_time_fires_there_and_once():
    """An input reaches the level exactly where its ramp ends."""
    b = emptying()
    travel = b.a.tape.input("travel", 0.0)
    b.passes("reached", travel, 0.6, 1.0)
    m = b.machine()
    run = b.run(1.0, m, actions=[
        (0.1, lambda: m.move(travel, 0.0, 3.0)),
        (0.3, lambda: m.move(travel, 0.6)),
    ])  # fmt: skip
    assert run.when("reached") == pytest.approx(0.3, abs=1e-12)


def test_known_times_end_segments_exactly():
    b = emptying()
    travel = b.a.tape.input("travel", 0.0)
    b.watch["travel"] = travel
    m = b.machine()
    times = (0.1, 0.37, 1.0 / 3.0 + 0.5)
    run = b.run(2.0, m, actions=[(t, lambda: m.move(travel, m.input(travel), 1.0)) for t in times])
    assert set(times) <= set(run.times)
    assert run.times[-1] == 2.0
    assert run["travel"][-1] == pytest.approx(2.0 - 0.1, rel=1e-12)


def test_actions_due_at_the_end_are_done():
    b = emptying()
    m = b.machine()
    done: list[float] = []
    b.run(1.0, m, actions=[(1.0, lambda: done.append(m.time))])
    assert done == [1.0]


def test_actions_of_one_time_keep_their_order():
    b = emptying()
    done: list[int] = []
    b.run(1.0, actions=[(0.5, lambda k=k: done.append(k)) for k in range(5)])
    assert done == [0, 1, 2, 3, 4]


def test_both_limits_of_a_jump_are_kept():
    b = emptying()
    m = b.machine()
    valve = b.a.tape.settings.index(("tank.valve.opening", 1.0))
    slot = m.program.setting_slot(valve)
    run = b.run(1.0, m, actions=[(0.5, lambda: m.floats.__setitem__(slot, 0.25))])
    before, after = np.flatnonzero(run.times == 0.5)
    flow = run["tank.valve"]
    assert flow[after] == pytest.approx(0.25 * flow[before], rel=1e-12)
    assert run["tank"][after] == run["tank"][before]


def test_where_nothing_jumps_there_is_one_sample():
    run = emptying().run(1.0, actions=[(0.5, lambda: None)])
    assert np.count_nonzero(run.times == 0.5) == 1
    assert np.all(np.diff(run.times) > 0.0)


def test_a_trigger_acts_once():
    b = emptying()
    b.a.tape.setting("spare", 0.0)
    m = b.machine()
    loop = Loop(m, Rosenbrock(m), lambda steps: None, lambda event: None)
    fired: list[float] = []
    level = EventSpec(("tank", "when"), b.watch["tank"], 5e5, -1.0)
    loop.when(level, lambda: fired.append(m.time))
    loop.run(5.0)
    loop.run(9.0)
    assert fired == [pytest.approx(TAU * math.log(8.0 / 6.0), rel=1e-4)]


def test_what_a_trigger_schedules_for_now_is_done_now():
    b = emptying()
    m = b.machine()
    loop = Loop(m, Rosenbrock(m), lambda steps: None, lambda event: None)
    done: list[float] = []
    loop.when(
        EventSpec(("tank", "when"), b.watch["tank"], 5e5, -1.0),
        lambda: loop.at(m.time, lambda: done.append(m.time)),
    )
    loop.run(5.0)
    assert done == [pytest.approx(TAU * math.log(8.0 / 6.0), rel=1e-4)]


def test_hunting_is_an_error_that_names_who_hunts():
    """A switch without hysteresis, whose own action undoes what it saw."""
    b = Bench()
    source, _ = b.source("source", 8e5)
    plenum = b.volume("plenum", 1e-6)
    opened = b.a.tape.setting("opened", 1.0)
    b.a.restriction("fill", source, plenum, 10 * C, 0.3, opened)
    b.valve("draw", plenum, ATMOSPHERE, 10 * C)
    level = b.watch["plenum"]
    b.a.event(("trailer.relay", "shut"), level, 3e5, 1.0, {opened: 1.0}, {opened: 0.0})
    b.a.event(("trailer.relay", "opened"), level, 3e5 - 1.0, -1.0, {opened: 0.0}, {opened: 1.0})
    with pytest.raises(RunFailed) as failure:
        b.run(1.0)
    text = str(failure.value)
    assert text.startswith("trailer.relay switched (")
    assert f"{CHATTER_COUNT} times in 1 ms at " in text
    assert "hysteresis" in text


def test_modes_that_never_agree_are_an_error_too():
    """Two events that undo each other in the same instant."""
    b = emptying()
    mode = b.a.tape.setting("mode", 0.0)
    for name, value in (("up", 0.0), ("down", 1.0)):
        b.a.event(("control", name), b.watch["tank"], 3e5, -1.0, {mode: value}, {mode: 1.0 - value})
    with pytest.raises(RunFailed, match=r"^control switched \((up|down)\) 200 times in 1 ms at 6\.9"):
        b.run(10.0)


def test_progress_is_told_up_to_the_end():
    b = emptying()
    m = b.machine()
    told: list[float] = []
    Loop(m, Rosenbrock(m), lambda steps: None, lambda event: None, told.append).run(3.0)
    assert told == sorted(told)
    assert told[-1] == 3.0
