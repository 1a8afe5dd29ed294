"""Which step of the scenario an event is."""

from dataclasses import replace

from pneusim.circuit.scenario import Scenario, Step, Trigger
from pneusim.results.done import steps_done
from pneusim.results.run import Event
from tests.circuits.shipped import circuit
from tests.results.synthetic import run_of


def run(events, *steps):
    made = run_of({"a.pressure": ([0, 5], [0, 1], "pressure")}, [], events=tuple(events))
    return replace(made, circuit=circuit("one-axle"), scenario=Scenario("x", steps=steps))


def test_every_event_has_its_step_and_steps_not_come_to_have_none():
    press = Step("set", 1.0, target="foot.travel", to=1.0)
    lever = Step("set", 1.0, target="park.lever", to=1.0)
    torn = Step("break", 2.0, target="feed")
    events = [
        Event(1.0, "set", "park", "park control: lever goes to applied"),
        Event(1.0, "closed", "park", "the park control closed", "mode"),
        Event(1.0, "set", "foot", "foot valve: travel goes to 100 %"),
    ]
    assert steps_done(run(events, press, lever, torn)) == [(events[0], lever), (events[2], press)]


def test_what_is_done_at_a_time_comes_before_what_waits():
    waits = Step("ask", when=Trigger("a.pressure", 0.5, 1), text="Why?", explanation="waited")
    timed = Step("ask", 3.0, text="Why?", explanation="timed")
    events = [Event(2.5, "ask", "", "Why?"), Event(3.0, "ask", "", "Why?")]
    assert [step for _, step in steps_done(run(events, waits, timed))] == [waits, timed]
