"""Every action does what its sentence says, and undoing it gives the start back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario, Step
from pneusim.errors import UsageError
from pneusim.reading import load, load_text
from pneusim.results.run import Run
from pneusim.simulate import run

RIG = """
pneusim: 1
title: Two tanks and a hose
components:
  full:  {type: reservoir, volume: 10 L, pressure: 8 bar}
  empty: {type: reservoir, volume: 10 L, pressure: 1 bar}
  cock:  {type: stop_valve}
lines:
  hose:  {from: full.21, to: cock.1, bore: 9 mm, length: 2 m}
  short: {from: cock.2, to: empty.11, bore: 9 mm, length: 2 m, model: lumped}
"""


def rig() -> Circuit:
    return load_text(RIG, "rig.yaml")


def played(circuit: Circuit, *steps: Step, lasts: float = 3.0) -> Run:
    done = run(circuit, Scenario("s", lasts=lasts, steps=steps, begin={"cock.position": 0.0}))
    assert done.closure.mass < 1e-12
    return done


def opened(at: float = 0.0) -> Step:
    return Step("set", at=at, target="cock.position", to=1.0)


@pytest.mark.parametrize("line", ["hose", "short"])
def test_a_blocked_line_passes_nothing_until_it_is_mended(line: str) -> None:
    block, mend = Step("block", at=0.5, target=line), Step("mend", at=1.5, target=line)
    done = played(rig(), block, opened(0.6), mend)
    gained = done["empty.pressure"]
    # The air between the middle of the hose and the cock still comes: 64 cm3 at 8 bar into 10 L.
    assert gained(1.45) == pytest.approx(gained(0.4), abs=5e3)
    assert gained(2.5) > gained(1.5) + 50e3
    assert any(event.kind == "mend" and "is mended" in event.text for event in done.events)


def test_a_leak_at_a_port_empties_the_tank_until_it_is_mended() -> None:
    done = played(rig(), Step("leak", at=0.5, target="full.21", to=5e-3), Step("mend", at=1.5, target="full.21"))
    kept = done["full.pressure"]
    assert kept(1.5) < kept(0.5) - 50e3
    # The air that is left warms up again behind a shut hole: the pressure never falls further.
    assert kept(3.0) >= kept(1.52)


def test_a_mended_fault_is_gone() -> None:
    done = played(rig(), Step("fault", at=0.5, target="full.lost", to=8e-3), Step("mend", at=1.0, target="full.lost"))
    assert done["full.pressure"](3.0) > done["full.pressure"](1.02) > 1e5


def test_a_step_at_the_start_moves_the_control_from_where_it_was() -> None:
    done = played(rig(), opened(0.0))
    cock = done["cock.position"]
    assert cock.values[0] == 0.0
    assert cock(0.0) == 1.0


def test_ramps_that_overlap_leave_the_last_one_in_charge() -> None:
    first = Step("set", at=0.5, target="cock.position", to=1.0, over=1.0)
    second = Step("set", at=1.0, target="cock.position", to=0.0, over=0.5)
    cock = played(rig(), first, second)["cock.position"]
    assert cock(1.0) == pytest.approx(0.5)
    assert cock(1.5) == pytest.approx(0.0, abs=1e-9)
    assert cock(2.5) == pytest.approx(0.0, abs=1e-9)


def test_a_line_has_one_place_for_breaks_and_leaks() -> None:
    steps = Step("break", at=0.5, target="hose", where=0.1), Step("leak", at=1.0, target="hose", to=1e-3, where=0.9)
    with pytest.raises(UsageError, match=r"hose breaks or leaks at 10 % and 90 %"):
        played(rig(), *steps)


def test_what_python_asks_wrongly_is_told_at_once() -> None:
    wrong = Step("set", at=0.5, target="cok.position"), Step("break", at=1.0, target="hoses")
    with pytest.raises(UsageError) as caught:
        played(rig(), *wrong, Step("block", target="hose"))
    assert str(caught.value).splitlines() == [
        "step 'set': there is no component 'cok'",
        "step 'break': there is no line 'hoses'",
        "step 'block' needs either at or when",
    ]


@pytest.fixture(scope="module")
def combination() -> Circuit:
    return load("circuits/tractor-semitrailer.yaml")


DRIVING = {"tractor.park.lever": 1.0, "tractor.trailer_supply.knob": 1.0, "tractor.engine_air.running": 0.0}
BOTH = ("supply_line", "control_line")


def driven(circuit: Circuit, *steps: Step, lasts: float = 4.0) -> Run:
    done = run(circuit, Scenario("s", lasts=lasts, steps=steps, begin=DRIVING))
    assert done.closure.mass < 1e-12
    return done


def test_coupling_again_undoes_a_parting_that_was_still_to_come(combination: Circuit) -> None:
    parted = Step("separate", at=0.5, targets=("control_line", "supply_line"), over=1.0)
    coupled = Step("couple", at=0.8, targets=("control_line", "supply_line"))
    supply = driven(combination, parted, coupled)["trailer.supply_head.pressure"]
    assert supply(3.9) == pytest.approx(supply(0.4), abs=20e3)


def test_mending_a_parted_coupling_couples_it(combination: Circuit) -> None:
    parted, mended = Step("separate", at=0.5, targets=("control_line",)), Step("mend", at=1.0, target="control_line")
    done = driven(combination, parted, mended, Step("set", at=1.5, target="tractor.foot.travel", to=0.5, over=0.1))
    assert done["trailer.axle1_left.service_pressure"](3.9) > 200e3


def test_lines_coupled_crosswise_apply_the_springs_and_coupling_one_leaves_the_other_open(combination: Circuit) -> None:
    cross = Step("cross", at=0.5, targets=BOTH)
    done = driven(combination, cross)
    # The trailer's control line is under supply pressure: its service brakes apply; its supply line empties.
    assert done["trailer.axle1_left.service_pressure"](3.9) > 400e3
    done = driven(combination, cross, Step("couple", at=1.5, targets=("supply_line",)))
    assert done["trailer.axle1_left.service_pressure"](3.9) < 30e3
    assert done["trailer.control_head.outer_pressure"](3.9) == pytest.approx(0.0, abs=5e3)


def test_hoses_that_stay_with_different_vehicles_cannot_be_crossed(combination: Circuit) -> None:
    lines = dict(combination.lines)
    lines["supply_line"] = replace(lines["supply_line"], stays_with="trailer")
    with pytest.raises(UsageError, match="stay with different vehicles"):
        driven(replace(combination, lines=lines), Step("cross", at=0.5, targets=BOTH))
