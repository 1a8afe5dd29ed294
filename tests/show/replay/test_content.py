"""What a page says: the run's own numbers and sentences, nothing else, and all of them at the right times."""

import json
import re
from dataclasses import replace

import numpy as np
import pytest

import pneusim
from pneusim.circuit.scenario import Scenario
from pneusim.errors import UsageError
from pneusim.parts.registry import part, part_types
from pneusim.quantities import DIMENSIONS
from pneusim.reading import load, load_text
from pneusim.results.run import failed
from pneusim.results.store import store
from pneusim.results.stored import read_result
from pneusim.show.figures import curves
from pneusim.show.figures.limits import limits
from pneusim.show.replay.content import document
from pneusim.show.replay.states import states, subject
from pneusim.show.schematic.picture import draw
from tests.circuits import shipped
from tests.show.replay.test_pack import unpacked

KEYS = {
    "name", "title", "status", "message", "span", "shift", "drawing", "samples",
    "actors", "marks", "events", "narrative", "plots", "table", "measures", "questions", "sources", "extrapolated",
    "closure",
}  # fmt: skip

TANKS = """\
pneusim: 1
title: Two tanks
components:
  full:  {type: reservoir, volume: 10 L, pressure: 8 bar}
  empty: {type: reservoir, volume: 5 L}
  low:   {type: pressure_switch, closes_below: 7 bar}
lines:
  between: {from: full.21, to: empty.11, bore: 6 mm, length: 2 m}
joints:
  - [full.22, low.1]
scenarios:
  lesson:
    lasts: 4 s
    steps:
      - at: 1 s
        ask:
          text: Which tank empties below 5 bar?
          choices: [the full one, "none, it stays above 1 bar"]
          answer: 2
          explanation: Both lose it together.
      - {at: 1 s, break: between}
      - {at: 2 s, ask: What did you see?}
      - {at: 2 s, mend: between}
    measure:
      - {name: half, reach: full.pressure, falls_to: 4 bar}
      - {name: never, reach: full.pressure, falls_to: -0.5 bar}
    expect:
      - {measure: half, at_most: 0.001 s}
      - {measure: full.lowest, at_most: 5 bar}
"""


@pytest.fixture(scope="module")
def run():
    return pneusim.run(load("one-axle"), "line_break")


@pytest.fixture(scope="module")
def lesson():
    return pneusim.run(load_text(TANKS), "lesson")


@pytest.fixture(scope="module")
def told(run):
    content, _ = document(run)
    return content["runs"][0]


def test_the_document_is_json_and_has_its_keys(run):
    content, drawings = document(run)
    assert set(content) == {
        "title", "caution", "limits_of_model", "units", "beside", "palette", "quantities", "pressure_top", "runs",
    }  # fmt: skip
    assert set(content["runs"][0]) == KEYS
    assert json.loads(json.dumps(content, allow_nan=False)) == content
    assert (content["title"], content["beside"]) == (f"{run.circuit.title}: {run.scenario.title}", "")
    assert len(drawings) == 1
    assert set(content["quantities"]) == {c.dimension for c in run.channels.values()} | {"time"}


def test_the_same_run_gives_the_same_document_also_from_its_files(run, tmp_path):
    content = document(run)
    assert document(run) == content
    assert document(read_result(store(run, tmp_path))) == content


def test_every_channel_is_told_once_in_the_table_and_has_samples(run, told):
    cells = [cell["channel"] for row in told["table"] for cell in row["cells"]]
    assert sorted(cells) == sorted(run.channels) == told["samples"]["channels"]
    rows = {row["component"]: row for row in told["table"]}
    assert set(rows) == {name.rpartition(".")[0] for name in run.channels}
    assert (rows["tank"]["kind"], rows["tank"]["element"], rows["tank"]["unit"]) == ("air reservoir", "c-tank", None)
    assert (rows["feed"]["kind"], rows["feed"]["element"]) == ("line", "l-feed")
    assert (rows["axle_1"]["title"], rows["axle_1"]["kind"], rows["axle_1"]["element"]) == ("axle 1", "vehicle", "")
    for row in told["table"]:
        for cell in row["cells"]:
            if "states" not in cell:
                assert f"{row['title']}: {cell['words']}" == run[cell["channel"]].label


def test_shares_are_told_in_words_and_what_they_are_of_without_a_key_to_numbers(told):
    cells = {cell["channel"]: cell for row in told["table"] for cell in row["cells"]}
    assert cells["park.lever"] == {
        "channel": "park.lever", "words": "position of the lever", "states": [[0.0, "applied"], [1.0, "released"]],
        "between": "released",
    }  # fmt: skip
    assert cells["foot.exhaust_opening"]["states"] == [[0.0, "shut"], [1.0, "open"]]
    assert "states" not in cells["tank.pressure"]


@pytest.mark.parametrize("name", part_types())
def test_shares_of_every_part_have_words(name):
    """What runs from 0 to 1 is told by its ends; where neither is known the number stands, and no key to it is left."""
    for spec in part(name).channels:
        found = states(part(name), spec)
        if found:
            assert not re.search(r"\d =|whether|how far", subject(spec)), spec
        elif spec.dimension == "fraction":
            assert "=" not in spec.words, spec


def test_elements_of_the_table_stand_in_the_drawing(run, told):
    svg = draw(run.circuit).svg
    elements = [row["element"] for row in told["table"] if row["kind"] != "vehicle"]
    assert [element for element in elements if f'id="{element}"' not in svg] == []


def test_samples_are_the_run_within_what_is_told(run, told):
    times, values = unpacked(told["samples"])
    for name in ("tank.pressure", "left.service_pressure", "left.spring_pressure"):
        own = run[name]
        seen = np.array([_at(times, values[name], time) for time in own.times])
        once = np.concatenate([[True], np.diff(own.times) > 0.0]) & np.concatenate([np.diff(own.times) > 0.0, [True]])
        assert np.abs(seen - own.values)[once].max() < 1500.0  # a bin of 1 ms, where a line breaks
        assert np.median(np.abs(seen - own.values)[once]) <= 51.0


def _at(times, values, time):
    i = np.searchsorted(times, time, side="right")
    if i in (0, len(times)):
        return values[min(i, len(times) - 1)]
    return values[i - 1] + (time - times[i - 1]) / (times[i] - times[i - 1]) * (values[i] - values[i - 1])


def test_events_stand_at_samples(run, told):
    times, _ = unpacked(told["samples"])
    located = [event for event in told["events"] if event["category"] != "mechanics"]
    inside = [event for event in located if event["told"]]
    assert len(inside) >= 2
    assert [event for event in inside if event["time"] not in times] == []
    assert [event["text"] for event in located] == [e.text for e in run.events if e.category != "mechanics"]
    assert told["span"] == [times[0], times[-1]]


def test_what_several_brakes_did_together_is_one_event(run, told):
    found = [event for event in told["events"] if event["category"] == "mechanics"]
    apart = [event for event in run.events if event.category == "mechanics"]
    assert 1 < len(found) < len(apart)
    assert all(event["told"] for event in found)
    assert all(min(abs(one["time"] - event.time) for event in apart) < 1e-6 for one in found)
    assert any(event["text"].startswith("the brakes of axle 1") for event in found)
    assert [event["time"] for event in told["events"]] == sorted(event["time"] for event in told["events"])


def test_what_settling_did_is_not_listed(told):
    listed = {event["kind"] for event in told["events"] if event["told"]}
    assert "break" in listed
    hidden = [event for event in told["events"] if not event["told"]]
    assert {event["category"] for event in hidden} == {"mode"}
    assert {event["time"] for event in hidden if event["category"] == "mode"} == {0.0}


def test_the_story_has_the_run_s_sentences_and_their_times(run, told):
    assert tuple(sentence["text"] for sentence in told["narrative"]) == run.narrative
    broke = next(sentence for sentence in told["narrative"] if "breaks" in sentence["text"])
    assert broke["time"] == pytest.approx(5.0)
    assert broke["until"] >= broke["time"]
    last = told["narrative"][-1]
    assert (last["time"], last["until"]) == (None, None)


def test_plots_have_the_curves_of_the_figures_with_their_colours_and_limits(run, told):
    titles = [plot["title"] for plot in told["plots"]]
    assert titles == ["Reservoirs", "Controls and couplings", "Brake chambers", "Pushrod forces"]
    found = curves.of_chambers(run)
    plot = told["plots"][2]
    assert [curve["label"] for curve in plot["curves"]] == [curve.label for curve in found]
    looks = [(curve["colour"], curve["dash"], curve["hollow"]) for curve in plot["curves"]]
    assert looks == [(curve.colour, curve.dash, curve.hollow) for curve in found]
    assert plot["dimension"] == "pressure"
    finders = (curves.of_reservoirs, curves.of_controls, curves.of_chambers, curves.of_forces)
    for plot, find in zip(told["plots"], finders):
        assert {curve["channel"] for curve in plot["curves"]} <= set(run.channels)
        assert [limit["label"] for limit in plot["limits"]] == [limit.words for limit in limits(run, find(run))[0]]


def test_limits_are_drawn_where_something_acts_or_is_expected(lesson):
    content, _ = document(lesson)
    (plot,) = content["runs"][0]["plots"]
    levels = {limit["label"]: limit["value"] for limit in plot["limits"]}
    assert levels["low closes its contact below 700 kPa"] == 7e5
    assert levels["lowest pressure, at most 500 kPa: full"] == 5e5


def test_measures_are_those_of_the_run_judged_first_then_asked(lesson):
    measures = document(lesson)[0]["runs"][0]["measures"]
    assert {m["name"] for m in measures} == {m.name for m in lesson.measures}
    assert [m["name"] for m in measures if m["asked"]] == ["half", "full.lowest", "never"]
    assert [m["asked"] for m in measures] == sorted((m["asked"] for m in measures), reverse=True)
    half, lowest, never = measures[:3]
    assert (half["met"], half["limit"]) == (False, "at most 0.001 s")
    assert half["value"].endswith(" s")
    assert (lowest["met"], lowest["limit"]) == (True, "at most 500 kPa")
    assert (never["value"], never["met"]) == ("-", None)
    assert never["reason"].startswith("full.pressure never reached -50 kPa")


def test_a_numerical_error_is_told(lesson):
    first, *others = lesson.measures
    finer = replace(lesson, measures=(replace(first, value=0.25, error=1e-3), *others))
    measures = document(finer)[0]["runs"][0]["measures"]
    assert measures[0]["value"] == "0.25 s ± 0.001 s"


def test_questions_have_their_choices_answer_and_time(lesson):
    questions = document(lesson)[0]["runs"][0]["questions"]
    assert questions == [
        {
            "time": 1.0, "text": "Which tank empties below 5 bar?",
            "choices": ["the full one", "none, it stays above 1 bar"], "answer": 1,
            "explanation": "Both lose it together.",
        },
        {"time": 2.0, "text": "What did you see?", "choices": [], "answer": None, "explanation": ""},
    ]  # fmt: skip
    events = document(lesson)[0]["runs"][0]["events"]
    assert [event["told"] for event in events if event["kind"] == "ask"] == [False, False]


def test_the_same_question_asked_twice_has_each_its_own_answer(lesson):
    first, _, second, _ = lesson.scenario.steps
    again = replace(second, text=first.text, choices=("yes", "no"), answer=0)
    steps = tuple(again if step is second else step for step in lesson.scenario.steps)
    events = tuple(replace(e, text=first.text) if e.kind == "ask" else e for e in lesson.events)
    twice = replace(lesson, scenario=replace(lesson.scenario, steps=steps), events=events)
    questions = document(twice)[0]["runs"][0]["questions"]
    assert [(q["time"], q["answer"]) for q in questions] == [(1.0, 1), (2.0, 0)]


def test_us_units_are_in_every_sentence_and_number_but_the_samples_stay(lesson):
    si, us = (document(lesson, units=units)[0] for units in ("si", "us"))
    assert us["quantities"]["pressure"] == {
        "symbol": "psi", "factor": DIMENSIONS["pressure"].units["psi"], "offset": 0.0, "digits": 1,
    }  # fmt: skip
    assert si["quantities"]["pressure"] == {"symbol": "kPa", "factor": 1000.0, "offset": 0.0, "digits": 0}
    one, other = si["runs"][0], us["runs"][0]
    assert one["samples"]["values"] == other["samples"]["values"]
    for key in ("narrative", "measures", "events", "plots", "questions"):
        words = json.dumps(other[key])
        assert " kPa" not in words
        assert " bar" not in words
    assert "psi" in json.dumps(other["narrative"])
    assert other["questions"][0]["text"] == "Which tank empties below 72.5 psi?"
    assert us["pressure_top"] / DIMENSIONS["pressure"].units["psi"] == pytest.approx(120.0)


def test_an_unknown_unit_system_is_told(lesson):
    with pytest.raises(UsageError, match=r"^unit system 'uk' is unknown \(allowed: si, us\)$"):
        pneusim.replay(lesson, units="uk")


def test_a_variant_is_named(lesson):
    content, _ = document(lesson, replace(lesson, variant="small"))
    assert [one["title"] for one in content["runs"]] == ["lesson", "lesson, variant small"]
    assert content["title"] == "Two tanks: lesson / lesson, variant small"


def test_a_failed_run_says_that_it_failed_and_where_it_stops(lesson):
    cut = {n: replace(c, times=c.times[:40], values=c.values[:40]) for n, c in lesson.channels.items()}
    stopped = replace(lesson, channels=cut, status="failed", message="The step size ran out.")
    told = document(stopped)[0]["runs"][0]
    end = cut["full.pressure"].times[-1]
    assert told["status"] == "failed"
    assert told["message"] == f"The run failed and stops at {end:.2f} s of 4.00 s: The step size ran out."
    assert told["span"][1] == pytest.approx(end, abs=1e-6)


def test_a_channel_that_ran_out_of_numbers_is_left_out(lesson):
    broken = lesson["between.pressure_in"]
    values = broken.values.copy()
    values[-1] = np.inf
    channels = {**lesson.channels, broken.name: replace(broken, values=values)}
    content, _ = document(replace(lesson, channels=channels))
    assert broken.name not in content["runs"][0]["samples"]["channels"]
    assert "full.pressure" in content["runs"][0]["samples"]["channels"]
    assert content["pressure_top"] == 8e5


def test_without_channels_there_is_nothing_to_replay(lesson):
    nothing = failed(lesson.circuit, lesson.scenario, "The circuit did not come to rest.", "rodas4")
    with pytest.raises(UsageError, match=r"^there is nothing to replay: The circuit did not come to rest\.$"):
        document(nothing)


def test_two_runs_of_one_circuit_share_drawing_and_scale_and_begin_together(run):
    other = pneusim.run(run.circuit, "brake")
    content, drawings = document(run, other)
    first, second = content["runs"]
    assert len(drawings) == 1
    assert (first["name"], second["name"]) == ("A", "B")
    assert (first["drawing"], second["drawing"]) == (0, 0)
    begins = [next(e["time"] for e in one["events"] if e["category"] == "step") for one in (first, second)]
    assert first["shift"] == 0.0
    assert second["shift"] == begins[0] - begins[1]
    assert content["beside"].endswith("; times of B are moved by +0.50 s, so that the first step of both coincides.")
    assert content["title"] == f"{run.circuit.title}: {run.scenario.title} / {other.scenario.title}"
    alone = [document(one)[0]["pressure_top"] for one in (run, other)]
    assert content["pressure_top"] == max(alone)


def test_two_circuits_have_a_drawing_each(run, lesson):
    content, drawings = document(run, lesson)
    assert [one["drawing"] for one in content["runs"]] == [0, 1]
    assert len(set(drawings)) == 2
    assert content["title"].endswith("/ Two tanks: lesson")


def test_a_run_in_which_nothing_is_done_is_not_moved(lesson):
    still = replace(lesson, events=(), scenario=Scenario("still"))
    content, _ = document(lesson, still)
    assert content["runs"][1]["shift"] == 0.0
    assert content["beside"].endswith("times of both count from their own start.")


def test_a_fault_that_is_mended_has_an_end(lesson):
    (mark,) = document(lesson)[0]["runs"][0]["marks"]
    assert (mark["time"], mark["until"], mark["kind"], mark["element"]) == (1.0, 2.0, "broken", "l-between")




def test_curves_of_two_runs_never_share_a_dash_and_each_run_keeps_its_own_apart() -> None:
    one = shipped.run("one-axle", "brake")
    (alone,) = document(one)[0]["runs"]
    first, second = document(one, one)[0]["runs"]
    dashes = [{curve["dash"] for plot in run["plots"] for curve in plot["curves"]} for run in (first, second)]
    assert not dashes[0] & dashes[1]
    for run in (first, second):
        pairs = [
            (lone["dash"], both["dash"])
            for plots in zip(alone["plots"], run["plots"], strict=True)
            for lone, both in zip(*(plot["curves"] for plot in plots), strict=True)
        ]
        assert len({lone for lone, _ in pairs}) == len(set(pairs)) == len({both for _, both in pairs}) == 2


def test_runs_that_begin_together_are_not_told_to_be_moved() -> None:
    one = shipped.run("one-axle", "brake")
    assert "moved" not in document(one, one)[0]["beside"]
    assert "the first step of both coincides" in document(one, one)[0]["beside"]
