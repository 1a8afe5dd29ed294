"""Two runs and two descriptions beside each other."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from pneusim.circuit.circuit import Ambient, Axle, Circuit, Component, Joint, Line, Port, Vehicle
from pneusim.circuit.scenario import Expectation, Scenario, Step
from pneusim.results import finish
from pneusim.results.comparison.aligned import offset
from pneusim.results.comparison.channels import channel_differences, furthest
from pneusim.results.comparison.comparison import Comparison
from pneusim.results.comparison.description import Change, description
from pneusim.results.comparison.measures import MeasureDifference, threshold_in_words
from pneusim.results.comparison.parting import NEVER_PART
from pneusim.results.comparison.report import files
from pneusim.results.comparison.runs import RunComparison
from pneusim.results.comparison.scenarios import Played, scenario_changes
from pneusim.results.run import Event, MeasureResult
from tests.results.synthetic import PARTS, TRIPS, run_of, separation


def measure(value, dimension="pressure", **others):
    return MeasureResult("m", value, dimension, **others)


def pair(a, b, **others):
    return MeasureDifference("m", measure(a, **others), measure(b, **others))


def run(*events, lasts=10.0, values=(0.0, 1e5), name="made_up", parts=()):
    times = np.array([0.0, lasts])
    made = run_of({"tank.pressure": (times, np.array(values), "pressure")}, list(parts), scenario=Scenario(name))
    return replace(made, events=tuple(events))


def step(time, text="the cock is opened", component="cock"):
    return Event(time, "set", component, text)


def trip(time, component="valve", kind="tripped"):
    return Event(time, kind, component, f"{component} {kind}", "trip")


# ---- measures


def test_a_difference_counts_above_one_per_cent_and_a_smallest_amount():
    assert not pair(500e3, 504e3).telling
    assert pair(500e3, 506e3).telling
    assert not pair(2e3, 2.9e3).telling
    assert not pair(0.1, 0.104, dimension="time").telling
    assert pair(0.1, 0.106, dimension="time").telling
    assert not pair(300.0, 300.4, dimension="temperature").telling


def test_with_error_bars_what_is_above_them_counts():
    assert pair(500e3, 501e3, error=400.0).telling
    assert not pair(500e3, 501e3, error=600.0).telling
    assert not pair(500e3, 500e3 + 5.0, error=0.0).telling
    assert pair(500e3, 500e3 + 15.0, error=0.0).telling


def test_difference_and_share():
    found = pair(400e3, 300e3)
    assert (found.difference, found.share) == (-100e3, -0.25)
    assert pair(0.0, 300e3).share is None
    assert pair(290.0, 300.0, dimension="temperature").share is None


def test_a_value_in_one_only_tells_something_none_in_both_does_not():
    assert pair(None, 1.0).telling
    assert pair(None, 1.0).difference is None
    assert not pair(None, None).telling
    alone = MeasureDifference("m", measure(1.0), None)
    assert (alone.common, alone.telling, alone.turned) == (False, False, False)


def test_a_limit_is_turned_when_one_meets_it_and_the_other_misses_it():
    met, missed, free = measure(1.0, limit="at most 2 s", met=True), measure(3.0, met=False), measure(3.0)
    assert MeasureDifference("m", met, missed).turned
    assert not MeasureDifference("m", missed, missed).turned
    assert not MeasureDifference("m", met, free).turned


def test_the_threshold_is_stated():
    told = threshold_in_words((pair(1.0, 2.0), pair(1.0, 2.0, dimension="time")))
    assert told == "by more than 1 % of the larger value and more than 1 kPa, 0.005 s"
    assert threshold_in_words((pair(1.0, 2.0, error=0.1),)).startswith("by more than their error bars together")


# ---- events


def test_events_are_paired_by_kind_component_and_number():
    a = run(step(1.0), trip(2.0), trip(5.0), trip(6.0, "other"))
    b = run(step(1.0), trip(2.001), trip(7.0))
    found = RunComparison(a, b).events
    assert [(p.a and p.a.time, p.b and p.b.time, p.parted) for p in found] == [
        (1.0, 1.0, False), (2.0, 2.001, False), (5.0, 7.0, True), (6.0, None, True),
    ]  # fmt: skip
    assert [p.difference for p in found] == [0.0, pytest.approx(0.001), 2.0, None]


def test_they_part_where_only_one_has_an_event():
    compared = RunComparison(run(step(1.0), trip(2.0)), run(step(1.0)))
    assert compared.parting() == ("They part at 2.00 s: in A valve tripped; in B not at all within 10.00 s.",)
    turned = RunComparison(compared.b, compared.a)
    assert turned.parting() == ("They part at 2.00 s: in B valve tripped; in A not at all within 10.00 s.",)


def test_they_part_where_another_step_is_done():
    compared = RunComparison(run(step(1.0)), run(step(1.0, "the cock is opened half")))
    assert compared.parting() == ("They part at 1.00 s: in A the cock is opened; in B the cock is opened half.",)


def test_the_first_step_that_both_take_counts_not_one_of_its_own():
    plain = run(step(1.0, "pedal down", "foot"))
    faulty = run(step(0.0, "the shuttle is stuck"), step(1.0, "pedal down", "foot"))
    assert offset(plain, faulty) == 0.0
    assert offset(plain, run(step(0.25, "a line breaks"))) == 0.75
    assert offset(plain, run()) is None


def test_first_steps_are_laid_on_the_same_time():
    compared = RunComparison(run(step(1.0), trip(2.0)), run(step(3.0), trip(4.0)))
    assert compared.by == -2.0
    assert compared.parting() == (NEVER_PART,)


def test_an_event_after_the_end_of_the_other_parts_nothing():
    assert RunComparison(run(step(1.0), trip(8.0)), run(step(1.0), lasts=5.0)).parting() == (NEVER_PART,)


def test_a_control_stays_where_it_was():
    a = separation()
    knob = a.channels["tractor.trailer_supply.knob"]
    kept = replace(knob, values=np.ones_like(knob.values))
    b = replace(a, events=a.events[:-1], channels={**a.channels, knob.name: kept})
    (told,) = RunComparison(a, b).parting()
    assert told.startswith(f"They part at {TRIPS:.2f} s: in A the trailer supply control tripped, because ")
    assert told.endswith("; in B it stayed in to the end.")
    assert "30 psi" in RunComparison(a, b).parting("us")[0]


def test_brakes_that_do_the_same_are_told_together():
    a = finish(separation())
    late = [e for e in a.events if e.category == "mechanics" and e.component.startswith("trailer") and e.time > PARTS]
    (kind,) = {e.kind for e in late} & {"spring_begins"}
    b = replace(a, events=tuple(replace(e, time=e.time + 0.5) if e.kind == kind else e for e in a.events))
    told = RunComparison(a, b).parting()
    assert "in A the springs of trailer axles 1 to 3 began to move; in B not before " in told[0]
    assert len(told) == 1


def test_a_run_does_not_differ_from_itself():
    a = finish(separation())
    compared = RunComparison(a, a)
    assert compared.parting() == (NEVER_PART,)
    assert not any(one.telling or one.turned for one in compared.measures)
    assert not any(one.difference for one in compared.channels)


# ---- channels


def test_the_largest_difference_of_a_channel_and_its_time():
    a = run(values=(0.0, 1e5))
    times = np.array([0.0, 4.0, 10.0])
    bent = replace(a.channels["tank.pressure"], times=times, values=np.array([0.0, 1e5, 1e5]))
    (found,) = channel_differences(a, replace(a, channels={bent.name: bent}))
    assert (found.time, found.a, found.b, found.difference) == (4.0, 40e3, 1e5, 60e3)
    assert furthest([found], "pressure") == [found]
    assert furthest([found], "force") == []


def test_channels_are_compared_while_both_last():
    a, b = run(values=(0.0, 1e5)), run(values=(0.0, 0.0), lasts=5.0)
    (found,) = channel_differences(a, b)
    assert (found.time, found.a, found.b) == (5.0, 50e3, 0.0)


# ---- description

TANK = Component("tank", "reservoir", {"volume": 0.02, "pressure": 8e5})
PIPE = Line("pipe", Port("tank", "21"), Port("relay", "1"), 3.0, 0.012)
BASE = Circuit(
    "Base", {"tank": TANK, "relay": Component("relay", "relay_valve")}, {"pipe": PIPE},
    joints=(Joint((Port("relay", "21"), Port("left", "11"))),),
    vehicles=(Vehicle(axles=(Axle(1, load=6e4),)),), variants={"small": {"tank.volume": 0.01}},
)  # fmt: skip


def changed(**others):
    return [(c.section, c.what, *c.in_words()) for c in description(BASE, replace(BASE, **others))]


def test_the_same_description():
    elsewhere = {"tank": replace(TANK, label="another title"), "relay": BASE.components["relay"]}
    assert changed(components=elsewhere, title="Another title") == []


def test_parts_added_gone_and_of_another_type():
    parts = {"relay": Component("relay", "two_port_relay_valve"), "more": Component("more", "check_valve")}
    assert changed(components=parts) == [
        ("parts", "tank", "reservoir", "-"), ("parts", "relay", "relay_valve", "two_port_relay_valve"),
        ("parts", "more", "-", "check_valve"),
    ]  # fmt: skip


def test_parameters_with_units_and_defaults():
    from pneusim.parts.registry import part

    crack = part("relay_valve").model_fields["crack"].default
    relay = Component("relay", "relay_valve", {"crack": crack})
    assert changed(components={"tank": TANK, "relay": relay}) == []
    relay = Component("relay", "relay_valve", {"crack": 2.0 * crack})
    words = (f"{1e-3 * crack:g} kPa", f"{2e-3 * crack:g} kPa")
    assert changed(components={"tank": TANK, "relay": relay}) == [("parameters", "relay.crack", *words)]
    smaller = replace(TANK, parameters={"volume": 0.02001, "pressure": 8e5})
    assert changed(components={**BASE.components, "tank": smaller}) == [
        ("parameters", "tank.volume", "20 L", "20.01 L")
    ]


def test_a_default_that_depends_on_the_size():
    plain, given = (Component("left", "brake_chamber", p) for p in ({"size": "30"}, {"size": "30", "stroke": 0.05}))
    a, b = (replace(BASE, components={"left": one}) for one in (plain, given))
    (stroke,) = description(a, b)
    assert stroke.what == "left.stroke"
    assert stroke.a > stroke.b == 0.05


def test_lines_joints_axles_surroundings_and_variants():
    assert changed(lines={"pipe": replace(PIPE, bore=0.01)}) == [("lines", "pipe.bore", "12 mm", "10 mm")]
    assert changed(lines={}) == [("lines", "pipe", "tank.21 to relay.1", "-")]
    assert changed(joints=()) == [("joints", "left.11 - relay.21", "joined", "-")]
    assert changed(vehicles=(Vehicle(axles=(Axle(1, load=7e4), Axle(2))),)) == [
        ("vehicles", "axle_1.load", "60 kN", "70 kN"), ("vehicles", "axle_2", "-", "there"),
    ]  # fmt: skip
    assert changed(ambient=Ambient(9e4)) == [("surroundings", "ambient.pressure", "101 kPa", "90 kPa")]
    assert changed(variants={"small": {"tank.volume": 0.005}, "none": {}}) == [
        ("variants", "none", "-", "there"), ("variants", "small.tank.volume", "10 L", "5 L"),
    ]  # fmt: skip


def test_a_part_that_is_not_known_here_is_compared_by_what_is_given():
    a, b = ({"odd": Component("odd", "of_another_package", {"gain": x})} for x in (1.0, 2.0))
    found = description(replace(BASE, components=a), replace(BASE, components=b))
    assert [(c.what, c.a, c.b) for c in found] == [("odd.gain", 1.0, 2.0)]


def test_scenarios_begin_steps_and_expectations():
    circuit = replace(BASE, components={**BASE.components, "park": Component("park", "park_control")})
    press = Step("set", at=1.0, target="park.lever", to=0.0)
    a = Scenario("s", lasts=5.0, begin={"park.lever": 1.0}, steps=(press, Step("break", at=2.0, target="pipe")))
    b = Scenario("s", "title", 6.0, {"park.lever": 0.0}, (replace(press, at=1.5),),
                 expectations=(Expectation("tank.lowest", low=6e5),))  # fmt: skip
    assert [(c.what, *c.in_words()) for c in scenario_changes(Played(circuit, a), Played(circuit, b))] == [
        ("s.lasts", "5 s", "6 s"),
        ("s.begin.park.lever", "released", "applied"),
        ("s.step_1", "1 s: set park.lever to applied", "1.5 s: set park.lever to applied"),
        ("s.step_2", "2 s: break pipe at 50 %", "-"),
        ("s.expect.tank.lowest", "-", "at least 600 kPa"),
    ]


# ---- the whole


def test_files_are_the_same_for_the_same_and_hold_si():
    a = finish(separation())
    b = replace(a, events=a.events[:2])
    made = Comparison("a", "b", (Change("parameters", "tank.volume", 0.02, 0.03, "volume"),), (RunComparison(a, b),))
    found = files(made)
    assert found == files(made)
    told = json.loads(found["comparison.json"])
    assert told["description"] == [{"section": "parameters", "what": "tank.volume", "a": 0.02, "b": 0.03, "unit": "m3"}]
    assert told["scenarios"][0]["parting"] == list(made.scenarios[0].parting())
    assert found["description.csv"].decode() == "section,what,a,b,unit\nparameters,tank.volume,0.02,0.03,m3\n"
    assert len(found["measures.csv"].splitlines()) == 1 + len(a.measures)


def test_a_scenario_by_name_and_plots_want_one():
    a = finish(separation())
    made = Comparison("a", "b", (), (RunComparison(a, a),))
    assert made["separation"].a is a
    with pytest.raises(KeyError, match="scenario 'gone' is not compared; compared: separation"):
        made["gone"]
    figure = made.plot("reservoirs")
    assert any("B: " in text.get_text() for text in figure.findobj(lambda o: hasattr(o, "get_text")))
    assert "They do not part" in made._repr_html_()
