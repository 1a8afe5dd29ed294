"""What is damaged is shown from when it happens until it is mended, where it is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pneusim.circuit.scenario import Scenario, Step, Trigger
from pneusim.parts.registry import part
from pneusim.results.run import Closure, Event, Run, SolverReport
from pneusim.show.replay.scene import marks
from tests.circuits.shipped import circuit, run
from tests.show.schematic.drawn import layout

NAME = "tractor-semitrailer"


def played(*steps: tuple[float, Step], words: str = "") -> list[dict]:
    """Marks of a run that only tells its steps, each with the time at which it is done."""
    events = []
    for time, step in steps:
        target = step.targets[0] if step.targets else step.target
        component = target.rsplit(".", 1)[0] if step.action == "fault" else target
        events.append(Event(time, step.action, component, words or f"{step.action} {target}"))
    report = SolverReport("none", 0, 0, 0, 0, 1.0)
    scenario = Scenario("x", steps=tuple(step for _, step in steps))
    return marks(Run(circuit(NAME), scenario, {}, tuple(events), Closure(0.0, 0.0), report), layout(NAME))


def spans(made: list[dict], kind: str) -> list[tuple]:
    return [(mark["element"], mark["time"], mark["until"]) for mark in made if mark["kind"] == kind]


def test_a_break_is_at_its_place_on_the_line():
    made = marks(run(NAME, "primary_line_breaks"), layout(NAME))
    (mark,) = made
    assert mark["kind"] == "broken"
    assert mark["element"] == "l-tractor.rear_feed"
    assert (mark["time"], mark["until"]) == (1.0, None)
    net = next(net for net in layout(NAME).sheet.nets if net.id == mark["element"])
    xs = [12 * x for branch in layout(NAME).routes.found[net.id].branches for x, _ in branch]
    assert min(xs) <= mark["at"][0] <= max(xs)
    assert "breaks" in mark["text"]


def test_a_trailer_that_separates_leaves_when_its_last_coupling_has_parted():
    made = marks(run(NAME, "trailer_separates"), layout(NAME))
    assert spans(made, "parted") == [("l-supply_line", 1.0, None), ("l-control_line", 1.05, None)]
    (apart,) = [mark for mark in made if mark["kind"] == "apart"]
    assert (apart["time"], apart["until"], apart["units"]) == (1.05, None, ["trailer"])
    assert apart["by"][0] > 0
    assert {mark.get("keeper") for mark in made if mark["kind"] == "parted"} == {"tractor"}
    assert {mark.get("keeps") for mark in made if mark["kind"] == "parted"} == {"start"}


def test_of_a_road_train_only_what_is_behind_leaves():
    made = marks(run("road-train", "last_unit_separates"), layout("road-train"))
    (apart,) = [mark for mark in made if mark["kind"] == "apart"]
    assert apart["units"] == ["last"]
    assert {mark["keeper"] for mark in made if mark["kind"] == "parted"} == {"last"}
    assert {mark["keeps"] for mark in made if mark["kind"] == "parted"} == {"end"}


def test_one_hose_alone_parts_without_the_trailer():
    made = played((1.0, Step("separate", 1.0, targets=("control_line",))))
    assert spans(made, "parted") == [("l-control_line", 1.0, None)]
    assert not spans(made, "apart")


def test_coupling_ends_what_separating_began():
    both = ("supply_line", "control_line")
    made = played((1.0, Step("separate", 1.0, targets=both, over=0.2)), (3.0, Step("couple", 3.0, targets=both)))
    assert spans(made, "parted") == [("l-supply_line", 1.0, 3.0), ("l-control_line", 1.2, 3.0)]
    assert [(mark["time"], mark["until"]) for mark in made if mark["kind"] == "apart"] == [(1.2, 3.0)]


def test_mended_is_gone():
    made = played(
        (1.0, Step("break", 1.0, target="tractor.rear_feed", where=0.25)),
        (1.5, Step("leak", 1.5, target="trailer.supply_pipe", to=0.003)),
        (2.0, Step("block", 2.0, target="tractor.dash_primary")),
        (3.0, Step("mend", 3.0, target="tractor.rear_feed")),
        (4.0, Step("leak", 4.0, target="trailer.supply_pipe", to=0.0)),
        (5.0, Step("mend", 5.0, target="tractor.dash_primary")),
    )
    assert spans(made, "broken") == [("l-tractor.rear_feed", 1.0, 3.0)]
    assert spans(made, "leaking") == [("l-trailer.supply_pipe", 1.5, 4.0)]
    assert spans(made, "blocked") == [("l-tractor.dash_primary", 2.0, 5.0)]


def test_a_port_leaks_beside_its_part():
    (mark,) = played((1.0, Step("leak", 1.0, target="tractor.wet.21", to=0.003)))
    assert mark["element"] == "c-tractor.wet"
    box, pin = layout(NAME).frame.boxes["tractor.wet"], layout(NAME).pins["tractor.wet", "21"]
    assert mark["at"] != [12 * pin.x, 12 * pin.y]
    assert abs(mark["at"][0] - 12 * box.centre[0]) <= 12 * box.w


def test_a_fault_is_known_by_its_words():
    target = "trailer.front_relay.stuck_open"
    words = "trailer front relay valve: its inlet is stuck open"
    said = next(spec.words for spec in part("relay_valve").faults if spec.name == "stuck_open")
    step = Step("fault", None, Trigger("x", 1.0, 1), target=target, to=1.0)
    (mark,) = played((2.5, step), words=f"{words}: {said}")
    assert (mark["kind"], mark["element"], mark["time"]) == ("fault", "c-trailer.front_relay", 2.5)
    assert not played((2.5, step), words="something else")


def test_a_step_that_was_not_come_to_is_not_shown():
    whole = run(NAME, "trailer_separates")
    cut = replace(whole, events=tuple(event for event in whole.events if event.time < 1.0))
    assert marks(cut, layout(NAME)) == []


@pytest.mark.parametrize("ends", ["couple", "separate"])
def test_crossed_hoses_know_each_other_and_are_freed_together(ends):
    both = ("supply_line", "control_line")
    made = played((1.0, Step("cross", 1.0, targets=both)), (2.0, Step(ends, 2.0, targets=both[:1])))
    crossed = [mark for mark in made if mark["kind"] == "crossed"]
    assert {(mark["element"], mark["partner"]) for mark in crossed} == {
        ("l-supply_line", "l-control_line"), ("l-control_line", "l-supply_line"),
    }  # fmt: skip
    assert {(mark["time"], mark["until"]) for mark in crossed} == {(1.0, 2.0)}
    left = {element for element, _, until in spans(made, "parted") if until is None}
    assert left == ({"l-control_line"} if ends == "couple" else {"l-supply_line", "l-control_line"})
