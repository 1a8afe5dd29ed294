"""Lines that break, against a second method of our own: outflow and venting; then torture, reversal, kinks, blocks."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pneusim.engine.lines import block_line, break_line, mend_line
from pneusim.physics.constants import RHO0
from pneusim.physics.plain import hole_conductance
from tests.engine.bench import ATMOSPHERE, PA, Bench, closure
from tests.reference_figures import figure, figures


def test_flow_out_of_a_break_in_the_middle_of_a_line():
    """Steady flow from the tank side of a line that is broken half way, with the cells that a break gets."""
    f = figure("line_break_flow")
    bench = Bench()
    source, _ = bench.source("source", f["supply"])
    far = bench.volume("far", 0.0)
    line = bench.line("line", source, far, 2.0 * f["length"], f["bore"], roughness=f["roughness"], fault_at=0.5)
    machine = bench.machine()
    break_line(machine, bench.a, line)
    run = bench.run(3.0, machine)
    f.check(run["line.in"][-1])
    f.check(machine.get_state(line.flows[line.fault_cell]))
    assert abs(run["line.out"][-1]) < 1e-6


@pytest.mark.parametrize("name", [name for name in figures() if name.startswith("line_break_venting")])
def test_venting_through_a_break_in_the_middle_of_a_line(name):
    """Two equal ends vent through the middle of a line of twice the length: eight cells on either side."""
    f = figure(name)
    bench = Bench()
    ends = [bench.walled(name, f["volume"], f["wall"], f["start"]) for name in ("left", "right")]
    line = bench.line("line", *ends, 2.0 * f["length"], f["bore"], roughness=f["roughness"], fault_at=0.5)
    for name in ("left", "right"):
        bench.passes(name, bench.watch[name], f["level"], -1.0)
    machine = bench.machine()
    break_line(machine, bench.a, line)
    run = bench.run(1.5 * f.expected, machine, rtol=1e-5)
    f.check(run.when("left"))
    assert run.when("right") == pytest.approx(run.when("left"), rel=1e-3)


@pytest.mark.parametrize("cells", [2, 8])
@pytest.mark.parametrize(
    ("bore", "length", "outside"), [(14e-3, 0.3, 1e5), (14e-3, 0.3, 1e3), (2e-3, 20.0, 1e5)]
)  # fmt: skip
def test_a_line_at_eleven_bar_vents_into_next_to_nothing(bore, length, outside, cells):
    """Full reversal and rarefaction: everything stays finite and every absolute pressure above nothing."""
    bench = Bench(p_ambient=outside)
    dead = bench.volume("dead", 0.0, 11e5 - outside)
    line = bench.line("line", dead, ATMOSPHERE, length, bore, cells=cells)
    for k, cell in enumerate(line.cells):
        bench.watch[f"p{k}"], bench.watch[f"T{k}"] = cell.p, cell.T
    bench.watch["p_end"] = bench.a.nodes[dead].p
    machine = bench.machine()
    run = bench.run(0.2 if bore > 0.01 else 5.0, machine)
    for name, values in run.values.items():
        assert np.isfinite(values).all(), name
        if name.startswith(("p", "T")):
            assert values.min() > 0.0, name
    assert run["line.in"].max() > 0.0
    assert run["p_end"][-1] == pytest.approx(outside, rel=0.1)
    assert closure(machine, "mass") < 1e-12
    assert closure(machine, "energy") < 1e-10


def test_flow_turns_cleanly():
    """A short wide line swings through: outflow, then air from outside back in."""
    bench = Bench()
    dead = bench.volume("dead", 0.0, 10e5)
    bench.line("line", dead, ATMOSPHERE, 0.3, 14e-3, cells=8)
    run = bench.run(0.05)
    assert run["line.out"].min() < -5e-3
    assert run["dead"].min() < -20e3
    assert run["dead"].min() > -PA


def kinked(share: float, vessel: bool) -> tuple[Bench, float]:
    """8 bar, 3 m of 9 mm bore, a kink of an area ratio, 3 m more, and 0.8 L or the open air; the kink's conductance."""
    bench = Bench()
    source, _ = bench.source("source", 8e5)
    left, right = bench.volume("left", 0.0), bench.volume("right", 0.0)
    end = bench.walled("end", 0.8e-3, 1.0) if vessel else ATMOSPHERE
    conductance = hole_conductance(math.sqrt(share) * 9e-3, 1.0)
    bench.line("before", source, left, 3.0, 9e-3)
    bench.line("after", right, end, 3.0, 9e-3)
    bench.valve("kink", left, right, conductance, 0.528)
    return bench, conductance


def test_a_kink_delays_the_more_the_narrower():
    times = []
    for share in (1.0, 0.7, 0.5, 0.35, 0.25, 0.15, 0.1):
        bench, _ = kinked(share, vessel=True)
        bench.passes("full", bench.watch["end"], 6e5, 1.0)
        times.append(bench.run(3.0).when("full"))
    assert np.all(np.diff(times) > 0.0)


def test_a_narrow_kink_is_an_orifice():
    """As the area ratio falls, what a kinked line passes becomes the choked flow of the kink alone."""
    shares, ratios = (0.5, 0.2, 0.05, 0.01), []
    for share in shares:
        bench, conductance = kinked(share, vessel=False)
        ratios.append(bench.run(3.0)["kink"][-1] / (conductance * (8e5 + PA) * RHO0))
    assert np.all(np.diff(ratios) > 0.0)
    assert ratios[0] < 0.7
    assert ratios[-1] == pytest.approx(1.0, abs=1e-3)


def test_a_blocked_line_is_two_closed_ends():
    """Half the line rings on either side and nothing passes."""
    bench = Bench()
    source, _ = bench.source("source", 8e5)
    far = bench.volume("far", 0.0)
    line = bench.line("line", source, far, 6.0, 9e-3)
    machine = bench.machine()
    block_line(machine, line)
    run = bench.run(3.0, machine)
    assert np.abs(run["far"]).max() < 1e-6
    assert machine.get_state(line.flows[3]) == 0.0
    assert machine.read(line.cells[1].p) == pytest.approx(8e5 + PA, rel=1e-3)
    assert machine.read(line.cells[4].p) == pytest.approx(PA, rel=1e-9)


def test_a_line_mended_while_it_streams_stays_sound():
    """The ends are joined at rest: at the speed of the streams the thin air between them would be below 0 K."""
    bench = Bench()
    source, _ = bench.source("source", 10e5)
    tank = bench.volume("tank", 10e-3, 0.0)
    line = bench.line("line", source, tank, 1.0, 13e-3, fault_at=0.5)
    for k, cell in enumerate(line.cells):
        bench.watch |= {f"T{k}": cell.T, f"p{k}": cell.p}
    machine = bench.machine()
    run = bench.run(1.0, machine, actions=[
        (0.1, lambda: break_line(machine, bench.a, line)),
        (0.5, lambda: mend_line(machine, line)),
    ])  # fmt: skip
    for k in range(len(line.cells)):
        assert run[f"T{k}"].min() > 100.0
        assert run[f"p{k}"].min() > 0.5 * PA
    assert run.at("tank", 1.0) > run.at("tank", 0.45), "it fills again"
    assert closure(machine, "mass") < 1e-12
    assert closure(machine, "energy") < 1e-10
