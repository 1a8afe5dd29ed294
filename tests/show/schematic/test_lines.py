"""What holds for every line of every drawing."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pneusim.circuit.circuit import Circuit, Component, Joint, Line, Port
from pneusim.errors import UsageError
from pneusim.show.schematic import layout as layouts
from pneusim.show.schematic.layout import lay_out
from pneusim.show.schematic.place import Box, Frame
from pneusim.show.schematic.ports import Pin
from pneusim.show.schematic.route import route
from pneusim.show.schematic.sheet import Net, sheet
from tests.circuits.shipped import circuit
from tests.show.schematic.drawn import NAMES, drawing, holds, layout


@pytest.mark.parametrize("name", NAMES)
def test_lines_of_shipped_circuits(name):
    holds(layout(name))


@st.composite
def circuits(draw):
    """Reservoirs and relay valves, joined at random; brakes at random axles."""
    count = draw(st.integers(2, 12))
    parts = {}
    for n in range(count):
        axle, side = draw(st.sampled_from([(None, None), (None, None), (1, "left"), (2, "right")]))
        kind = draw(st.sampled_from(["reservoir", "relay_valve", "tee"]))
        parts[f"p{n}"] = Component(f"p{n}", kind, axle=axle, side=side)
    ends = draw(st.lists(st.integers(0, count - 1), min_size=2, max_size=40))
    ports = [Port(f"p{n}", str(10 + index)) for index, n in enumerate(ends)]
    cut = draw(st.integers(0, len(ports) // 2))
    pairs = [(a, b) for a, b in zip(ports[::2], ports[1::2]) if a.component != b.component]
    lines = {f"l{n}": Line(f"l{n}", a, b, 1.0, 0.009) for n, (a, b) in enumerate(pairs[cut:])}
    rest = [port for pair in pairs[:cut] for port in pair]
    joints = tuple(Joint(tuple(rest[n : n + 4])) for n in range(0, len(rest) - 1, 4))
    return Circuit("random", parts, lines, joints)


@settings(max_examples=25, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(circuits())
def test_lines_of_random_circuits(made):
    holds(lay_out(sheet(made)))


def test_a_pin_behind_a_wall_is_told():
    walls = {"a": Box(5, 5, 4, 4), "b": Box(30, 5, 4, 4), "n": Box(4, 2, 12, 1), "s": Box(4, 11, 12, 1)}
    walls |= {"e": Box(12, 3, 1, 8), "w": Box(2, 2, 1, 10)}
    pins = {("a", "1"): Pin(9, 7, "E"), ("b", "1"): Pin(30, 7, "W")}
    net = Net("l-x", "x", (("a", "1"), ("b", "1")))
    found = route([net], pins, Frame(walls, 40, 20, (), {}))
    assert found.failed == (net,)
    del walls["e"]
    assert not route([net], pins, Frame(walls, 40, 20, (), {})).failed


def test_gaps_widen_until_every_line_finds_its_way(monkeypatch):
    monkeypatch.setattr(layouts, "GAPS", (0, 5))
    made = layouts.lay_out(sheet(circuit("semitrailer-3axle")))
    holds(made)


def test_a_line_that_finds_no_way_is_told(monkeypatch):
    monkeypatch.setattr(layouts, "GAPS", (0,))
    words = r"semitrailer-3axle.yaml:\d+:\d+: line '\w+' cannot be drawn: no way is left"
    with pytest.raises(UsageError, match=words) as told:
        layouts.lay_out(sheet(circuit("semitrailer-3axle")))
    assert " between " in str(told.value)
    assert "Fix: " in str(told.value)


def test_control_lines_are_dashed_up_to_the_valves():
    nets = {net.id: net for net in layout("tractor-semitrailer").sheet.nets}
    assert nets["l-control_line"].pilot
    assert nets["l-control_line"].hose
    assert nets["l-trailer.control_pipe"].pilot
    assert nets["l-tractor.control_pipe"].pilot, "behind the tractor protection valve"
    assert nets["l-tractor.rear_signal"].pilot, "ends at port 4"
    assert not nets["l-tractor.rear_feed"].pilot
    assert not nets["l-supply_line"].pilot
    assert not nets["l-tractor.front_pipe"].hose
    assert nets["l-tractor.front_hose_l"].hose


def test_joints_have_a_dot_where_branches_meet():
    made = layout("tractor-6x4")
    route = made.routes.found["j-dash_check.2"]
    assert len(route.branches) == 3
    every = (*made.routes.found.values(), *made.routes.signals.values())
    assert drawing("tractor-6x4").svg.count('class="dot"') == sum(len(route.dots) for route in every)
