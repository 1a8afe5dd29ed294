"""A circuit operated step by step does what the same scenario does as a whole."""

import math
from dataclasses import replace

import pytest

from pneusim.circuit.scenario import Scenario, Step, Trigger
from pneusim.errors import UsageError
from pneusim.reading import find_shipped, load, load_text
from pneusim.simulate import Stepper, run

RIG = """
pneusim: 1
components:
  source: {type: supply, pressure: 2 bar}
  cock:   {type: stop_valve}
  vessel: {type: reservoir, volume: 5 L, pressure: 1 bar}
  park:   {type: park_control}
  spring: {type: test_volume, volume: 0.1 L}
lines:
  pipe: {from: source.1, to: cock.1, bore: 6 mm, length: 2 m}
  thin: {from: cock.2, to: vessel.1, bore: 2 mm, length: 20 m}
  stub: {from: vessel.2, to: park.1, bore: 8 mm, length: 10 mm}
joints:
  - [park.2, spring.1]
"""


@pytest.fixture(scope="module")
def axle():
    return load(find_shipped("one-axle"))


@pytest.fixture(scope="module")
def rig():
    return load_text(RIG)


@pytest.fixture(scope="module")
def combination():
    return load(find_shipped("tractor-semitrailer"))


def test_it_does_what_the_scenario_does(axle):
    whole = run(axle, "line_break")
    scenario = axle.scenarios["line_break"]
    stepper = Stepper(axle, scenario.begin, prepared=tuple(s for s in scenario.steps if s.action == "break"))
    for step in sorted((s for s in scenario.steps if s.at is not None), key=lambda s: s.at):
        if step.at > stepper.time:
            stepper.advance(step.at - stepper.time)
        stepper.do(step)
    stepper.advance(6.0 - stepper.time)
    for name in ("tank.pressure", "left.service_pressure", "left.spring_pressure"):
        assert stepper.value(name) == pytest.approx(whole.channels[name](6.0), abs=100.0), name
    told = stepper.run()
    assert told.status == "ok"
    assert told.scenario.lasts == 6.0
    assert [event.kind for event in told.events] == [event.kind for event in whole.events if event.time <= 6.0]


def test_it_rests(axle):
    stepper = Stepper(axle, {"park.lever": 1.0, "foot.travel": 0.0})
    stepper.set("foot.travel", 0.5, over=0.1)
    assert not stepper.rest(("left.service_pressure",), 100.0, at_most=0.2)
    assert stepper.rest(("left.service_pressure",), 1e3, at_most=5.0)
    assert stepper.state()["left.service_pressure"] == stepper.value("left.service_pressure") > 200e3


def test_what_it_cannot_do_is_said(axle):
    stepper = Stepper(axle)
    with pytest.raises(UsageError, match="no channel"):
        stepper.value("tank.presure")
    with pytest.raises(UsageError, match="not prepared for the step 'break' of feed"):
        stepper.do(Step("break", target="feed"))
    with pytest.raises(UsageError, match="there is no component 'foto'"):
        stepper.set("foto.travel", 1.0)
    for seconds in (0.0, math.nan, math.inf):
        with pytest.raises(UsageError, match="only go forward"):
            stepper.advance(seconds)


@pytest.mark.parametrize("at_most", [0.101, 0.3, 0.35, 0.95, 13.5])
def test_it_is_not_at_rest_because_the_last_look_was_short(rig, at_most):
    """The vessel fills at 10 to 17 kPa/s all the while."""
    stepper = Stepper(rig)
    stepper.set("source.pressure", 8e5)
    stepper.advance(0.3)
    assert not stepper.rest(("vessel.pressure",), 8e3, at_most)
    assert stepper.time == pytest.approx(0.3 + at_most, rel=1e-12)
    assert stepper.rest(("vessel.pressure",), 40e3, 0.05)


@pytest.mark.parametrize("at_most", [0.0, 1e-15, math.inf, math.nan])
def test_rest_wants_a_time(rig, at_most):
    with pytest.raises(UsageError, match="rest can be waited for"):
        Stepper(rig).rest(("vessel.pressure",), 1e3, at_most)


@pytest.mark.parametrize("step", [
    Step("break", target="thin", where=0.25), Step("leak", target="thin", where=0.25, to=1e-3),
    Step("leak", target="vessel.2", to=2e-3),
])  # fmt: skip
def test_what_was_prepared_does_what_the_scenario_does(rig, step):
    whole = run(rig, Scenario("s", lasts=3.0, steps=(replace(step, at=1.0),)))
    stepper = Stepper(rig, prepared=(step,))
    stepper.advance(1.0)
    stepper.do(step)
    stepper.advance(2.0)
    assert stepper.value("vessel.pressure") == pytest.approx(whole["vessel.pressure"](3.0), abs=1.0)
    untouched = Stepper(rig)
    untouched.advance(3.0)
    assert stepper.value("vessel.pressure") < untouched.value("vessel.pressure") - 500.0


@pytest.mark.parametrize("action", ["break", "leak"])
def test_it_does_not_do_in_one_place_what_was_prepared_in_another(rig, action):
    stepper = Stepper(rig, prepared=(Step(action, target="thin", where=0.5, to=1e-3),))
    with pytest.raises(UsageError, match=r"thin was prepared for the step .* at 50 % of its length, not at 90 %"):
        stepper.do(Step(action, target="thin", where=0.9, to=1e-3))


def test_couplings_are_crossed_as_prepared(combination):
    names = tuple(combination.couplings)
    cross = Step("cross", targets=names)
    stepper = Stepper(combination, combination.scenarios["trailer_separates"].begin, prepared=(cross,))
    stepper.do(replace(cross, targets=names[::-1]))
    stepper.advance(0.5)
    assert [event.kind for event in stepper.run().events].count("cross") == 1
    with pytest.raises(UsageError, match="not prepared for the step 'cross'"):
        Stepper(combination).do(cross)
    with pytest.raises(UsageError, match="needs two different couplings"):
        stepper.do(Step("cross", targets=(names[0], names[0])))


def test_a_fault_has_its_own_size(rig):
    pressures = []
    for lost in (None, 1e-3):
        stepper = Stepper(rig)
        stepper.fault("vessel.lost", lost)
        stepper.advance(1.0)
        pressures.append(stepper.value("vessel.pressure"))
    assert pressures[0] < pressures[1] < 100e3


def test_an_input_may_be_told_in_words(rig):
    stepper = Stepper(rig, {"cock.position": "shut", "park.lever": "released"})
    assert stepper.value("cock.position") == 0.0
    stepper.set("cock.position", "open")
    assert stepper.value("cock.position") == 1.0


def test_a_run_may_be_asked_for_twice_and_gone_on_with(rig):
    stepper = Stepper(rig)
    stepper.set("source.pressure", 5e5)
    stepper.advance(1.0)
    first, second = stepper.run(), stepper.run()
    assert first["vessel.pressure"].values.tobytes() == second["vessel.pressure"].values.tobytes()
    stepper.set("source.pressure", 3e5)
    stepper.advance(1.0)
    third = stepper.run()
    assert (first.scenario.lasts, third.scenario.lasts) == (1.0, 2.0)
    assert (len(first.scenario.steps), len(third.scenario.steps)) == (1, 2)
    assert third["vessel.pressure"](0.8) == first["vessel.pressure"](0.8)
    assert third.closure.mass < 1e-12


WRONG = [
    (Step("set", target="source.pressure", to=math.nan), "nan kPa is out of range"),
    (Step("set", target="source.pressure", to=math.inf), "inf kPa is out of range"),
    (Step("set", target="source.pressure", to=-2e5), "-200 kPa is out of range .allowed: -90 kPa to 5000 kPa"),
    (Step("set", target="source.pressure", to=1e5, over=-1.0), "over: -1 s is out of range"),
    (Step("set", target="cock.position", to=3.0), "300 % is out of range"),
    (Step("set", target="cock.position", to="ajar"), "'ajar' is no number .allowed: open = 1, shut = 0"),
    (Step("set", target="park.lever", to=0.5), "0.5 is none of its positions"),
    (Step("fault", target="vessel.lost", to=-1.0), "-1000 mm is out of range"),
    (Step("fault", target="cock.stuck", to=0.5), "0.5 is neither 0 nor 1"),
    (Step("dance", target="thin"), "step 'dance' is unknown"),
    (Step("break", target="thin", where=1.5), "where: 150 % is out of range"),
    (Step("break", target="stub"), "shorter than 3 of its bores"),
    (Step("leak", target="thin", to=3e-3), "hole: 3 mm is out of range"),
    (Step("leak", target="nowhere", to=1e-3), "no line or port 'nowhere'"),
    (Step("leak", target="cock.9", to=1e-3), "has no port '9'"),
    (Step("mend", target="thick"), "no line or port 'thick'"),
    (Step("separate"), "needs couplings"),
]


@pytest.mark.parametrize(("step", "words"), WRONG)
def test_a_step_out_of_range_is_refused_alike_by_hand_and_in_a_scenario(rig, step, words):
    with pytest.raises(UsageError, match=words):
        Stepper(rig).do(step)
    with pytest.raises(UsageError, match=words):
        run(rig, Scenario("s", lasts=1.0, steps=(replace(step, at=0.0),)))


@pytest.mark.parametrize(("scenario", "words"), [
    (Scenario("s", lasts=math.inf), "lasts: inf s is out of range"),
    (Scenario("s", steps=(Step("note", at=-1.0),)), "at: -1 s is out of range"),
    (Scenario("s", steps=(Step("note", when=Trigger("vessel.presure", 1e5, 1)),)), "no channel 'vessel.presure'"),
    (Scenario("s", steps=(Step("note", when=Trigger("vessel.pressure", math.nan, 1)),)), "nan is no level"),
    (Scenario("s", begin={"source.pressure": math.nan}), "begin: source.pressure: nan kPa is out of range"),
    (Scenario("s", begin={"cock.position": "ajar"}), "begin: cock.position: 'ajar' is no number"),
    (Scenario("s", begin={"park.lever": 0.5}), "begin: park.lever: 0.5 is none of its positions"),
])  # fmt: skip
def test_a_scenario_out_of_range_is_refused(rig, scenario, words):
    with pytest.raises(UsageError, match=words):
        run(rig, scenario)


def test_a_tolerance_out_of_range_is_refused(rig):
    with pytest.raises(UsageError, match=r"tolerance 1 is out of range .allowed: 1e-10 to 0.01"):
        Stepper(rig, rtol=1.0)
