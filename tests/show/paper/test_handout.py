"""The handout of a run: nothing of the solution on the sheet for the class, all of it behind, and nothing that runs."""

import base64
import hashlib
import re
import sys
from dataclasses import replace
from html import unescape

import pytest
from click.testing import CliRunner

import pneusim as ps
from pneusim.cli import main
from pneusim.errors import UsageError
from pneusim.reading import load_text
from pneusim.results.narrative import tell
from pneusim.results.run import CAUTION, failed
from tests.circuits import shipped

CIRCUIT = """
pneusim: 1
title: A brake <script>alert(1)</script>
about: A spring brake & its control.
components:
  tank: {type: reservoir, volume: 40 L, pressure: 8 bar, label: "tank </style>"}
  foot: {type: foot_valve}
  park: {type: park_control}
  left: {type: spring_brake_actuator, size: 30/30}
  cap_in: {type: plug}
  cap_out: {type: plug}
lines:
  feed: {from: tank.21, to: foot.11, bore: 9 mm, length: 2 m}
  rod:  {from: foot.21, to: left.11, bore: 9 mm, length: 2 m}
  hold: {from: tank.22, to: park.1, bore: 9 mm, length: 2 m}
  spring: {from: park.21, to: left.12, bore: 9 mm, length: 2 m}
joints:
  - [foot.12, cap_in.1]
  - [foot.22, cap_out.1]
scenarios:
  park:
    title: Parked <b>late</b>
    lasts: 6 s
    begin: {park.lever: released}
    steps:
      - {at: 0 s, note: it rains}
      - {at: 3.8 s, ask: "What comes & goes?"}
      - at: 0.9 s
        ask: {text: "What holds <it>?", choices: ["the <spring>", the air], answer: 1, explanation: It is "<strong>".}
      - {at: 1 s, set: park.lever, to: applied}
      - {at: 4 s, set: foot.travel, to: 60 %}
      - {at: 4.2 s, set: foot.travel, to: 70 %}
  rest:
    lasts: 1 s
"""


@pytest.fixture(scope="module")
def run():
    return ps.run(load_text(CIRCUIT), "park")


@pytest.fixture(scope="module")
def lesson():
    return shipped.run("lessons/compounding", "without_anti_compounding")


def sheets(document):
    """HTML of each side of paper by its kind."""
    found = re.findall(r"<section class='(\w+)(?: wide)?'>(.*?)</section>", document.body, re.DOTALL)
    assert [kind for kind, _ in found[:3]] == ["situation", "prediction", "solution"]
    return dict(found)


def text_of(html):
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", html)).split())


def cells(html):
    rows = re.findall(r"<tr>(.*?)</tr>", html, re.DOTALL)
    return [[text_of(cell) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)] for row in rows]


def test_the_class_gets_questions_and_no_answers(lesson):
    found = sheets(ps.handout(lesson))
    given = text_of(found["situation"]) + text_of(found["prediction"])
    questions = [step for step in lesson.scenario.steps if step.action == "ask"]
    assert len(questions) == 2
    for step in questions:
        assert step.text in given
        assert all(choice in given for choice in step.choices)
        assert step.explanation not in given
    assert found["prediction"].count("class='box'") == sum(len(step.choices) for step in questions)
    assert "class='right'" not in given
    assert {cell for row in cells(found["prediction"])[1:] for cell in row[1:]} == {""}
    for sentence in tell(lesson):
        assert sentence not in given


def test_the_situation_says_what_is_given_and_what_is_done(run):
    situation = text_of(sheets(ps.handout(run))["situation"])
    assert "A spring brake & its control. It rains." in situation
    assert "What is done: 1.00 s: park: lever goes to applied 4.00 s: foot: travel goes to 60 %" in situation
    assert "to 60 %; foot: travel goes to 70 %" in situation  # nearly the same time: one act


def test_the_solution_is_what_the_run_gave(lesson):
    document = ps.handout(lesson)
    solution = text_of(sheets(document)["solution"])
    for step in lesson.scenario.steps:
        if step.action == "ask":
            assert f"{step.text} {step.choices[step.answer]} {step.explanation}" in solution
    for sentence in tell(lesson):
        assert sentence in solution
    heads, *rows = cells(sheets(document)["solution"])
    assert heads[1:3] == ["before 1", "after 1 at 1 s"]
    assert heads[-1] == "after 6 at 20 s"
    held = dict((row[0], row[1:]) for row in rows)["tractor axles 2 and 3"]
    assert held[:2] == ["off", "off"]
    force = lesson["tractor.drive1_left.pushrod_force"]
    assert held[-2:] == [f"air and springs {force(13.999) / 1e3:.2g} kN", f"springs {force(20.0) / 1e3:.2g} kN"]
    assert dict((row[0], row[1:]) for row in rows)["primary reservoir"][0] == "830 kPa"


def test_a_question_without_choices_has_room_to_write_and_its_place_in_time(run):
    prediction = sheets(ps.handout(run))["prediction"]
    told = text_of(prediction)
    assert told.index("What holds <it>?") < told.index("What comes & goes?")
    assert "What comes & goes? because" in told
    assert prediction.count("class='line'") == 3


def test_names_from_the_file_are_text_and_nothing_runs(run):
    html = ps.handout(run).html
    assert "<script" not in html
    assert "<b>" not in html
    assert "<title>A brake &lt;script&gt;alert(1)&lt;/script&gt;: Parked &lt;b&gt;late&lt;/b&gt;</title>" in html
    assert not re.search(r"<[^>]* style=", html)
    (style,) = re.findall(r"<style>(.*?)</style>", html, re.DOTALL)
    policy = unescape(re.search(r'Content-Security-Policy" content="([^"]*)"', html)[1])
    assert policy.startswith("default-src 'none'")
    assert "script-src" not in policy
    assert f"style-src 'sha256-{base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()}'" in policy
    assert set(re.findall(r"https?://[^\"\s<]*", html)) <= {
        "http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink", "https://matplotlib.org/",
    }  # fmt: skip
    assert text_of(html).count(CAUTION) == 1


def test_curves_have_their_text_as_text_and_their_own_names(run):
    document = ps.handout(run)
    curves = re.findall(r"<section class='curves'>(.*?)</section>", document.body, re.DOTALL)
    assert len(curves) == 2
    assert all("time [s]" in text_of(part) for part in curves)
    ids = re.findall(r'\sid="([^"]*)"', document.body)
    assert len(ids) == len(set(ids))


def test_units(lesson):
    told = text_of(sheets(ps.handout(lesson, "us"))["solution"])
    assert "120 psi" in told
    assert "about 4000 lbf" in told  # a choice of 18 kN
    assert not re.search(r"\d (kPa|kN)\b", told)
    with pytest.raises(UsageError, match="unit system 'metric' is unknown"):
        ps.handout(lesson, "metric")


def test_a_scenario_that_does_nothing_has_a_handout(run):
    found = sheets(ps.handout(ps.run(run.circuit, "rest")))
    assert "Questions" not in text_of(found["prediction"])
    assert cells(found["solution"])[0][1:] == ["at the start", "at the end"]


def test_the_same_question_asked_twice_has_each_its_own_answer(lesson):
    first, second = (step for step in lesson.scenario.steps if step.action == "ask")
    again = replace(second, text=first.text, explanation="Once more.")
    steps = (again, *(step for step in lesson.scenario.steps if step is not second))  # out of their order
    events = tuple(replace(event, text=first.text) if event.kind == "ask" else event for event in lesson.events)
    twice = replace(lesson, scenario=replace(lesson.scenario, steps=steps), events=events)
    answers = text_of(sheets(ps.handout(twice))["solution"])
    assert answers.index(first.explanation) < answers.index("Once more.")


def test_it_says_that_it_is_a_handout(run, tmp_path):
    document = ps.handout(run)
    assert repr(document).startswith("<handout 'A brake ")
    with pytest.raises(UsageError, match=r"paper\.doc: a handout is written as \.html or \.pdf"):
        document.save(tmp_path / "paper.doc")


def test_many_acts_leave_room_for_the_table(run):
    events = [replace(event, time=0.6 * k) for k in range(9) for event in run.events if event.kind == "set"]
    document = ps.handout(replace(run, events=tuple(sorted(events, key=lambda event: event.time))))
    assert len(cells(sheets(document)["prediction"])[0]) == 9
    assert "<section class='prediction wide'>" in document.body


def test_a_failed_run_has_none(run):
    with pytest.raises(UsageError, match="wants a run that reached its end: It broke"):
        ps.handout(failed(run.circuit, run.scenario, "It broke.", "rodas4"))


@pytest.fixture
def call(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine.yaml").write_text(CIRCUIT)
    return lambda *args: CliRunner().invoke(main, ["handout", *args], catch_exceptions=False)


def test_the_command_writes_one_scenario_or_all(call, tmp_path):
    assert call("mine.yaml", "park", "-o", "paper.html").exit_code == 0
    assert "the <spring>" in text_of((tmp_path / "paper.html").read_text())
    result = call("mine.yaml")
    assert result.output.splitlines() == ["written to mine-park.html", "written to mine-rest.html"]


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (["mine.yaml", "prak"], "'park' is meant"),
        (["mine.yaml", "-o", "paper.html"], "has 2 scenarios, and -o names one paper"),
        (["mine.yaml", "park", "-o", "paper.doc"], "a handout is written as .html or .pdf"),
        (["lessons/separaton"], "'lessons/separation' is meant"),
        (["mine.yaml", "park", "--variant", "wide"], "has no variant 'wide'"),
    ],
)
def test_what_is_wrong_is_told_before_anything_runs(call, args, told, monkeypatch):
    monkeypatch.setattr("pneusim.simulate.run", None)
    result = call(*args)
    assert result.exit_code == 2
    assert told in result.output


def test_a_pdf_needs_its_package(run, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    with pytest.raises(UsageError, match=r"pip install 'pneusim\[pdf\]'"):
        ps.handout(run).save(tmp_path / "paper.pdf")


@pytest.mark.needs("weasyprint")
def test_a_lesson_is_five_sides_on_paper(lesson, tmp_path):
    import weasyprint

    document = ps.handout(lesson)
    assert document.save(tmp_path / "paper.pdf").read_bytes().startswith(b"%PDF-")
    pages = weasyprint.HTML(string=document.html).render().pages
    assert len(pages) == 5
    assert {(round(page.width), round(page.height)) for page in pages} == {(1123, 794)}  # A4 landscape
