"""Predict first: what comes after an open question cannot be seen, then it can."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.browser.player import Player
from tests.browser.runs import LESSONS, run

pytestmark = pytest.mark.needs("browser")

QUESTION = "The feed pipe of the axle will break. What do the brakes do?"
EXPLANATION = "The relay has no air to hold the chambers with."
AFTER_FIRST = ("the feed pipe breaks", "came off", "closed its contact", "spring of axle 1", "lever goes to applied")
"""Words of what happens at the first question or later."""
AFTER_SECOND = ("lever goes to applied", "pressed on", "90 %")


SEEN = """all => all.filter(one => {
    const visible = one.parentElement.checkVisibility({visibilityProperty: true});
    return visible && one.parentElement.getAttribute('visibility') !== 'hidden';
}).map(one => one.textContent)"""
"""Titles of what is drawn: a pointer that rests there shows them."""


def asked(player: Player) -> Player:
    """Played to the first question."""
    player.toggle("Stop at every event").uncheck()
    player.choice("Speed").select_option(label="4")
    player.button("Play").click()
    player.button("Reveal").wait_for()
    return player


def test_it_is_on_where_there_are_questions_and_can_be_switched_off(replayed: Callable[..., Player]) -> None:
    player = replayed("lesson")
    predict = player.page.locator("#predict")
    assert predict.is_checked()
    predict.uncheck()
    player.page.keyboard.press("End")
    assert player.button("Reveal").count() == 0
    assert any("the feed pipe breaks" in event for event in player.events())


def test_it_is_not_offered_without_questions(replayed: Callable[..., Player]) -> None:
    assert not replayed("brake").page.locator("#predict").is_visible()


def test_it_stops_and_asks(replayed: Callable[..., Player]) -> None:
    player = asked(replayed("lesson"))
    assert player.rest() == pytest.approx(2.0, abs=1e-3)
    text = player.text()
    assert QUESTION in text
    question = next(step for step in run("lesson").scenario.steps if step.choices)
    for choice in question.choices:
        assert player.page.get_by_role("radio", name=choice).is_visible()
    assert EXPLANATION not in text


def test_nothing_of_the_future_can_be_read_before(replayed: Callable[..., Player]) -> None:
    player = replayed("lesson")
    press = player.page.keyboard.press
    for go in (lambda: None, lambda: player.seek(1.0), lambda: press("End"), lambda: player.seek(9.0)):
        go()
        seen = player.text().split(QUESTION)
        assert [words for words in AFTER_FIRST if any(words in part for part in seen)] == []
        assert player.time <= 2.0
        titles = player.page.locator("#hosts title").evaluate_all(SEEN)
        assert len(titles) > 10
        assert [title for title in titles if "break" in title] == []
        assert player.page.locator("#hosts .mark:visible").count() == 0
    assert len(player.events()) == 2  # the pedal was pressed, the brakes began to apply


def test_that_a_run_fails_is_not_told_before_the_class_gets_there(replayed: Callable[..., Player]) -> None:
    player = replayed("failed lesson")
    message = run("failed lesson").message
    for _ in range(2):
        player.page.keyboard.press("End")
        assert message not in player.text()
        player.button("Reveal").click()
    assert message in player.text("#status")
    assert message in player.text("#outcome")


def test_curves_end_at_the_question(replayed: Callable[..., Player]) -> None:
    player = asked(replayed("lesson"))
    hidden = curve_ends(player)
    player.button("Reveal").click()
    assert hidden
    for early, late in zip(hidden, curve_ends(player), strict=True):
        assert early < late - 20.0


def curve_ends(player: Player) -> list[float]:
    """How far to the right each curve reaches [px]."""
    boxes = [curve.bounding_box() for curve in player.page.locator("#plots figure > svg .curve").all()]
    return [box["x"] + box["width"] for box in boxes if box is not None]


def test_what_is_set_at_the_very_time_of_a_question_is_not_told(replayed: Callable[..., Player]) -> None:
    """The second question stands at the time at which the park control is applied."""
    player = asked(replayed("lesson"))
    lever = player.page.locator("#table [data-channel='park.lever']")
    before = lever.inner_text()
    player.button("Reveal").click()
    player.button("Go on").click()
    player.button("Reveal").wait_for()
    assert player.rest() == pytest.approx(6.0, abs=1e-3)
    assert lever.inner_text() == before
    player.button("Reveal").click()
    assert lever.inner_text() != before


@pytest.mark.parametrize(("choice", "verdict"), [("they let go", "Right."), ("they stay applied", "Not so.")])
def test_revealed_it_tells_right_from_wrong_and_goes_on(
    choice: str, verdict: str, replayed: Callable[..., Player]
) -> None:
    player = asked(replayed("lesson"))
    player.page.get_by_role("radio", name=choice).check()
    assert EXPLANATION not in player.text()
    player.button("Reveal").click()
    told = player.text("#question")
    assert verdict in told
    assert EXPLANATION in told
    assert any("the feed pipe breaks" in event for event in player.events())
    assert [words for words in AFTER_SECOND if words in player.text()] == []  # there is a second question
    player.button("Go on").click()
    if not player.playing:
        player.button("Play").click()
    player.button("Reveal").wait_for()
    assert player.rest() == pytest.approx(6.0, abs=1e-3)
    player.button("Reveal").click()
    player.button("Go on").click()
    player.page.keyboard.press("End")
    assert player.time == pytest.approx(12.0, abs=1e-3)
    assert any("lever goes to applied" in event for event in player.events())
    story = player.text("#story")
    assert [words for words in AFTER_SECOND if words not in story] == []


@pytest.mark.parametrize("name", ["lesson", *LESSONS])
def test_a_presenter_remote_is_enough(name: str, replayed: Callable[..., Player]) -> None:
    """Page Down reveals what is asked and goes on, to the end, and nothing is told before its time."""
    player = replayed(name)
    asks = [step for step in run(name).scenario.steps if step.action == "ask"]
    page, revealed = player.page, 0
    for _ in range(100):
        asking = player.button("Reveal").count() > 0
        page.keyboard.press("PageDown")
        revealed += asking and player.button("Reveal").count() == 0
        if player.time >= run(name).span[1] - 1e-3:
            break
    assert revealed == len(asks)
    assert player.button("Reveal").count() == 0
    assert player.page.locator("#outcome").is_visible()


@pytest.mark.parametrize("key", ["PageDown", " "])
def test_one_press_too_many_reveals_nothing(key: str, replayed: Callable[..., Player]) -> None:
    player = replayed("lesson", fragment="t=2")
    assert "Once more reveals" not in player.text()
    player.page.keyboard.press(key)
    assert EXPLANATION not in player.text()
    assert player.button("Reveal").count() == 1
    assert "Once more reveals the answer." in player.text("#question")
    assert "once more reveals its answer" in player.text("#status")
    player.page.keyboard.press(key)
    assert EXPLANATION in player.text("#question")


def test_the_value_axis_does_not_tell_what_the_curve_will_reach(replayed: Callable[..., Player]) -> None:
    """Of the pedal on top of the springs the class has seen 13 kN, and 18 kN are one of the answers."""
    player = replayed("lessons/compounding", fragment="t=10.9")
    forces = player.page.locator("#plots figure", has_text="Pushrod forces").locator("svg text[text-anchor=end]")
    drawn = [float(text) for text in forces.all_text_contents()]
    assert max(drawn) == pytest.approx(12.0)
    assert player.button("Reveal").count() == 1


def test_on_a_phone_the_question_stands_right_below_the_picture(replayed: Callable[..., Player]) -> None:
    player = replayed("lesson", fragment="t=2", viewport={"width": 390, "height": 844})
    picture, question = (player.page.locator(place).bounding_box() for place in ("#hosts", "#question"))
    assert picture is not None
    assert question is not None
    assert 0 <= question["y"] - picture["y"] - picture["height"] < 20


def test_all_of_it_by_keys(replayed: Callable[..., Player]) -> None:
    player = replayed("lesson")
    press = player.page.keyboard.press
    for _ in range(10):
        if player.button("Reveal").count():
            break
        press("PageDown")
    player.page.get_by_role("radio").first.focus()
    press("ArrowDown")
    assert player.page.get_by_role("radio", name="they let go").is_checked()
    press("Tab")
    assert player.page.evaluate("document.activeElement.textContent") == "Reveal"
    press("Enter")
    assert "Right." in player.text("#question")
