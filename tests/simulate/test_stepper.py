"""A circuit operated step by step does what the same scenario does as a whole."""

import pytest

from pneusim.circuit.scenario import Step
from pneusim.errors import UsageError
from pneusim.reading import find_shipped, load
from pneusim.simulate import Stepper, run


@pytest.fixture(scope="module")
def axle():
    return load(find_shipped("one-axle"))


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
    with pytest.raises(UsageError, match="only go forward"):
        stepper.advance(0.0)
