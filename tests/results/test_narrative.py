"""The sentences are held word by word: they are what people read."""

import re

import numpy as np
import pytest

from pneusim.circuit.circuit import Component, Vehicle
from pneusim.circuit.scenario import Expectation, Scenario
from pneusim.parts.registry import part, part_types
from pneusim.results import finish
from pneusim.results.begins import as_it_is
from pneusim.results.narrative import sentences, tell
from pneusim.results.restate import restate
from pneusim.results.run import Event
from pneusim.results.words import listed, numbered, places
from tests.results.synthetic import run_of, separation


@pytest.fixture(scope="module")
def run():
    return finish(separation())


def test_cause_and_effect_of_a_separation(run):
    assert (
        "5.31 s: the trailer supply control tripped, because its delivery fell through 207 kPa; the "
        "springs of trailer "
        "axles 1 to 3 began to move at 5.33 s, pressed on their brakes at 5.36 s and had 90 % of their "
        "final force "
        "(6.39 kN) at 6.28 s." in run.narrative
    )


def test_braking_and_release(run):
    assert run.narrative[0] == (
        "1.00 s: the foot valve is pressed to 100 % within 0.2 s; the brakes of tractor axles 1 and 2 and "
        "trailer axles "
        "1 to 3 began to apply between 1.02 s and 1.18 s; the brakes of tractor axles 1 and 2 had 75 % of "
        "the pressure "
        "held (624 kPa to 632 kPa) between 1.12 s and 1.14 s; the brakes of trailer axles 1 to 3 had 75 % "
        "of the "
        "pressure held (616 kPa to 632 kPa) between 1.32 s and 1.36 s."
    )
    assert run.narrative[1].startswith("3.00 s: the foot valve is released within 0.2 s; the brakes of tractor axles")


def test_outcome(run):
    assert run.narrative[-5:] == (
        "At the end (12.00 s) the springs hold the brakes of trailer axles 1 to 3 with 6.39 kN at the "
        "pushrod; the "
        "brakes of tractor axles 1 and 2 are off.",
        "The trailer is held by its springs.",
        "Pressure left in the reservoirs: Primary 781 kPa of 827 kPa (94 %); Secondary 802 kPa of 827 kPa "
        "(97 %); "
        "trailer tank 760 kPa of 820 kPa (93 %).",
        "No warning came on.",
        "Both expectations are met.",
    )


def test_the_same_story_in_psi(run):
    told = "\n".join(tell(run, "us"))
    assert "because its delivery fell through 30 psi" in told
    assert "(1438 lbf)" in told
    assert "Primary 113 psi of 120 psi" in told
    assert "kPa" not in told
    assert "kN" not in told


def test_mechanical_events_stand_among_the_others(run):
    times = [event.time for event in run.events]
    assert times == sorted(times)
    event = next(event for event in run.events if event.kind == "spring_begins")
    assert event.text == "the spring of trailer axle 1 left began to move"
    assert event.category == "mechanics"


def one_actuator(times, travel, service, spring_pressure, force=None, **others):
    force = 5e5 * np.maximum(0.0, np.asarray(travel) - 0.014) if force is None else force
    stroke = np.maximum(travel, 0.014 * (np.asarray(service) > 0))
    return run_of(
        {
            "left.service_pressure": (times, service, "pressure"),
            "left.spring_pressure": (times, spring_pressure, "pressure"),
            "left.pushrod_force": (times, force, "force"),
            "left.stroke": (times, stroke, "length"),
            "left.spring_travel": (times, travel, "length"),
        },
        [Component("left", "spring_brake_actuator", axle=1, side="left")],
        **others,
    )


@pytest.mark.parametrize(
    ("travel", "service", "spring_pressure", "force", "words"),
    [
        (0.025, 0.0, 0.0, None, "the springs hold the brakes of axle 1 with 5.5 kN at the pushrod."),
        (0.017, 0.0, 200e3, None, "the springs, partly held off, drag on the brakes of axle 1 with 1.5 kN"),
        (0.030, 500e3, 0.0, None, "service air and springs together apply the brakes of axle 1 with 8 kN"),
        (0.0, 500e3, 800e3, 9e3, "service air applies the brakes of axle 1 with 9 kN"),
        (0.0, 0.0, 800e3, None, "the brakes of axle 1 are off."),
    ],
)
def test_what_applies_a_brake_at_the_end(travel, service, spring_pressure, force, words):
    times = np.array([0.0, 10.0])
    both = np.ones(2)
    force = None if force is None else force * both
    run = finish(one_actuator(times, travel * both, service * both, spring_pressure * both, force))
    assert words in run.narrative[0]
    assert ("The vehicle is held by its springs." in run.narrative) == (words.startswith("the springs hold"))


def test_brakes_that_a_foot_valve_leaves_without_air_are_told():
    times = np.array([0.0, 1.0, 1.2, 10.0])
    run = run_of(
        {
            "foot.travel": (times, [0, 0, 1, 1], "fraction"),
            **{f"{name}.service_pressure": (times, [0, 0, p, p], "pressure") for name, p in (("a", 0), ("b", 6e5))},
            **{f"{name}.pushrod_force": (times, [0, 0, 0, 0], "force") for name in ("a", "b")},
            **{f"{name}.stroke": (times, [0, 0, 0, 0], "length") for name in ("a", "b")},
        },
        [Component("foot", "foot_valve"), *(Component(n, "brake_chamber", axle=k) for k, n in enumerate("ab", 1))],
        events=(Event(1.0, "set", "foot", "foot: travel goes to 100 %"),),
    )
    assert (
        finish(run)
        .narrative[0]
        .startswith(
            "1.00 s: foot: travel goes to 100 %; the brake of axle 1 got no air at 1.00 s; the brake of axle 2 had 75 %"
        )
    )


def test_what_happens_much_later_begins_its_own_sentence():
    times = np.linspace(0.0, 100.0, 1001)
    travel = np.interp(times, [0, 50, 70], [0, 0, 0.020])
    quiet = np.zeros_like(times)
    leak = Event(1.0, "leak", "feed", "feed leaks through a hole of 1 mm")
    run = finish(one_actuator(times, travel, quiet, 800e3 - 20e6 * travel, events=(leak,)))
    assert run.narrative[:3] == (
        "1.00 s: feed leaks through a hole of 1 mm.",
        "52.00 s: the spring of axle 1 began to move.",
        "64.00 s: the spring of axle 1 pressed on its brake.",
    )


def test_modes_are_told_beside_their_causes_and_settling_is_not_told():
    times = np.array([0.0, 20.0])
    events = (
        Event(0.0, "charged", "park", "park can hold", "mode"),
        Event(5.0, "set", "engine", "the engine starts"),
        Event(6.0, "cut_in", "governor", "governor loaded the compressor", "mode"),
    )
    run = finish(run_of({"tank.pressure": (times, times, "pressure")}, [], events=events))
    assert run.narrative == ("5.00 s: the engine starts; governor loaded the compressor at 6.00 s.",)


def test_a_control_that_is_out_and_cannot_hold_is_not_told():
    times = np.array([0.0, 20.0])
    events = (
        Event(5.0, "set", "supply", "supply: knob goes to out"),
        Event(5.3, "vented", "supply", "supply can no longer hold", "mode"),
    )
    run = finish(run_of({"tank.pressure": (times, times, "pressure")}, [], events=events))
    assert run.narrative == ("5.00 s: supply: knob goes to out.",)


def test_warnings_from_the_start_and_warnings_nearly_together():
    times = np.array([0.0, 20.0])
    text = "closed its contact, because the pressure fell through 414 kPa"
    low = [Event(t, "closed", name, f"{name} {text}", "warning")
           for t, name in ((0.0, "one"), (0.0, "two"), (7.0, "one"), (7.02, "two"), (9.0, "one"))]  # fmt: skip
    run = finish(run_of({"tank.pressure": (times, times, "pressure")}, [], events=tuple(low)))
    assert run.narrative == (
        "At the start one is closed: the pressure is below 414 kPa; two is closed: the pressure is below 414 kPa.",
        f"7.00 s: one {text}; two {text}.",
        f"9.00 s: one {text}.",
    )


def test_what_is_done_at_the_start_is_told_before_what_is_so():
    times = np.array([0.0, 20.0])
    low = Event(0.0, "closed", "low", "low closed its contact, because the pressure fell through 414 kPa", "warning")
    note = Event(0.0, "note", "", "the vehicle has stood for months, all reservoirs are empty")
    run = finish(run_of({"tank.pressure": (times, times, "pressure")}, [], events=(low, note)))
    assert run.narrative == (
        "0.00 s: the vehicle has stood for months, all reservoirs are empty; "
        "low is closed: the pressure is below 414 kPa.",
    )
    assert [event.kind for event in run.events] == ["note", "closed"]


def test_every_trip_and_warning_of_a_part_has_words_for_the_start():
    """What fell through a level did not fall where settling found it below."""
    fallen = [(kind, event) for kind in part_types() for event in part(kind).events
              if event.category in ("trip", "warning") and "fell through" in event.sentence]  # fmt: skip
    assert len(fallen) >= 4
    for kind, spec in fallen:
        event = Event(0.0, spec.name, "x", spec.sentence.format(title="the valve", level="330 kPa"), spec.category)
        assert as_it_is(event).text.endswith(" is below 330 kPa"), kind


def test_reservoirs_that_start_or_end_empty():
    times = np.array([0.0, 20.0])
    channels = {"new.pressure": (times, [-1.5e-11, 8e5], "pressure"), "torn.pressure": (times, [8e5, 2e-6], "pressure")}
    run = finish(run_of(channels, [Component("new", "reservoir"), Component("torn", "reservoir")]))
    assert run.narrative == ("Pressure left in the reservoirs: new 800 kPa from empty; torn 0 kPa of 800 kPa (0 %).",)


def test_a_brake_begins_to_apply_where_it_last_rested():
    """A bounce through 1 N after the release is no application."""
    times = np.array([0.0, 1.0, 1.1, 2.0, 2.1, 2.11, 2.2, 5.0, 5.1, 9.0])
    force = np.array([0.0, 0.0, 9e3, 9e3, 0.5, 1.5, 0.0, 0.0, 9e3, 9e3])
    quiet = np.zeros_like(times)
    run = finish(one_actuator(times, quiet, quiet, quiet, force))
    told = [(e.kind, round(e.time, 2)) for e in run.events if e.category == "mechanics"]
    assert told == [("brake_applies", 1.0), ("brake_releases", 2.1), ("brake_applies", 5.0)]


def test_a_step_done_many_times_is_told_in_short():
    times = np.array([0.0, 60.0])
    events = [Event(3.0 * k, "set", "foot", f"foot: travel goes to {100 * (k % 2)} %") for k in range(1, 17)]
    run = finish(run_of({"tank.pressure": (times, times, "pressure")}, [], events=tuple(events)))
    assert run.narrative == (
        "3.00 s: foot: travel goes to 100 %.",
        "6.00 s: foot: travel goes to 0 %.",
        "9.00 s: foot: travel goes to 100 %.",
        "12.00 s: foot: travel goes to 0 %.",
        "15.00 s to 42.00 s: the same 5 times more.",
        "45.00 s: foot: travel goes to 100 %.",
        "48.00 s: foot: travel goes to 0 %.",
    )


def test_questions_stay_out_and_what_happens_at_once_is_told_together():
    times = np.array([0.0, 20.0])
    events = (
        Event(2.0, "ask", "", "Which springs apply?"),
        Event(2.0, "break", "feed", "feed breaks"),
        Event(2.0, "note", "", "this is the worst case"),
    )
    run = finish(run_of({"tank.pressure": (times, times, "pressure")}, [], events=events))
    assert run.narrative == ("2.00 s: feed breaks and this is the worst case.",)


def test_a_missed_limit_is_told_with_enough_digits():
    times = np.array([0.0, 20.0])
    scenario = Scenario("s", expectations=(Expectation("tank.lowest", low=450e3),))
    run = run_of(
        {"tank.pressure": (times, [449.9e3, 500e3], "pressure")},
        [Component("tank", "reservoir")],
        scenario=scenario,
    )
    assert finish(run).narrative[-1] == (
        "Not met: tank: lowest pressure is expected to be at least 450 kPa, but is 449.9 kPa."
    )


def test_places():
    axles = [(u, a, s) for u in ("tractor", "trailer") for a in (1, 2, 3) for s in ("left", "right")]
    parts = [Component(f"{u}.b{a}{s}", "brake_chamber", unit=u, axle=a, side=s) for u, a, s in axles]
    parts.append(Component("tractor.lone", "brake_chamber", unit="tractor"))
    run = run_of({}, parts, vehicles=(Vehicle("tractor"), Vehicle("trailer")))
    names = [part.name for part in parts]
    assert places(run, names[:6]) == "tractor axles 1 to 3"
    assert places(run, names[4:8]) == "tractor axle 3 and trailer axle 1"
    assert places(run, [names[0], names[7]]) == "tractor axle 1 left and trailer axle 1 right"
    assert places(run, [*names[:2], names[2]]) == "tractor axle 1 and tractor axle 2 left"
    assert places(run, ["tractor.lone"]) == "tractor lone"


def test_small_words():
    assert listed([]) == ""
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert numbered("axle", [1, 2]) == "axles 1 and 2"
    assert numbered("axle", [1, 3, 4]) == "axles 1, 3 and 4"


def test_ways_and_decelerations_are_restated():
    """49 CFR 393.52: 40 ft and 14 ft/s2."""
    assert restate("at most 12.2 m and at least 4.27 m/s2", "us") == "at most 40 ft and at least 14 ft/s2"
    assert restate("from 45 to 15 km/h, 5 m/s", "us") == "from 28 mph to 9.32 mph, 5 m/s"


def test_restated_text_keeps_what_is_no_quantity():
    text = "axle 2 kept 827 kPa, 20 N m and 2 kN, 50 mm at 5.31 s, 0.5 kPa/s"
    assert restate(text, "si") == text
    assert restate(text, "us") == "axle 2 kept 120 psi, 20 N m and 450 lbf, 1.97 in at 5.31 s, 0.5 kPa/s"


def test_what_is_told_roughly_stays_rough_in_other_units():
    text = "about 5 kN, about 13 kN; about 380 kPa, about 414 kPa, some 0.5 kN, 13 kN, about 3 m"
    said = "about 1100 lbf, about 2900 lbf; about 55 psi, about 60 psi, some 110 lbf, 2923 lbf, about 9.8 ft"
    assert restate(text, "us") == said
    assert restate(text, "si") == text


def test_sentences_carry_the_times_that_they_cover_and_the_outcome_none(run):
    said = sentences(run)
    assert tuple(sentence.text for sentence in said) == run.narrative
    causes = [sentence for sentence in said if sentence.since is not None]
    assert said[len(causes):] == said[-5:]
    assert [sentence.since for sentence in causes] == sorted(sentence.since for sentence in causes)
    tripped = next(sentence for sentence in causes if "tripped" in sentence.text)
    assert tripped.since == pytest.approx(5.31)
    assert tripped.until == pytest.approx(6.28, abs=5e-3)
    assert all(sentence.so_far[-1] == (sentence.until, sentence.text) for sentence in causes)


def test_a_sentence_is_told_as_far_as_it_has_come(run):
    """Each moment that it names has come by then, and the next thing it tells has not."""
    for sentence in sentences(run)[:-5]:
        for time, text in sentence.so_far:
            assert max(float(number) for number in re.findall(r"([\d.]+) s\b", text)) <= time + 0.005
        assert [time for time, _ in sentence.so_far] == sorted({time for time, _ in sentence.so_far})
