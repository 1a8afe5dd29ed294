"""Names and texts of a file are shown as they stand; nothing in them runs, loads or changes the page."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

import pytest

from tests.browser.player import Player
from tests.browser.runs import run

pytestmark = pytest.mark.needs("browser")

ALLOWED = {"script": 2}  # what runs, and the data


def everything(player: Player) -> str:
    """Walk through the whole page, so that every text stands in it once; returns all text and all titles met."""
    met = []
    for time in (0.5, 1.5, 2.5, 3.0, 3.5, 5.0):
        player.seek(time)
        met.append(player.text())
        if player.button("Reveal").count():
            player.button("Reveal").click()
            met.append(player.text())
    met += player.page.locator("title").all_text_contents()
    return "\n".join(met)


def literal(text: str) -> str:
    """A text without what a browser does to white space."""
    return " ".join(text.split())


def test_texts_are_shown_as_they_stand(replayed: Callable[..., Player]) -> None:
    shown = run("hostile")
    met = literal(everything(replayed("hostile")))
    question = next(step for step in shown.scenario.steps if step.action == "ask")
    note = next(step for step in shown.scenario.steps if step.action == "note")
    texts = [shown.circuit.title, shown.scenario.title, note.text]
    texts += [question.text, *question.choices, question.explanation]
    texts += [part.title for part in shown.circuit.components.values() if part.label]
    texts += [line.label for line in shown.circuit.lines.values() if line.label]
    assert len(texts) > 12
    assert [text for text in texts if literal(text) not in met] == []


def test_nothing_comes_of_them(replayed: Callable[..., Player]) -> None:
    player = replayed("hostile")
    everything(player)
    page = player.page
    counts = Counter(page.evaluate("[...document.querySelectorAll('*')].map(one => one.localName)"))
    for name in ("img", "iframe", "object", "embed", "audio", "video", "form", "base"):
        assert counts[name] == 0, name
    assert counts["script"] == ALLOWED["script"]
    names = page.evaluate("[...document.querySelectorAll('*')].flatMap(one => one.getAttributeNames())")
    assert [name for name in names if name.startswith("on")] == []
    assert page.evaluate("[...document.querySelectorAll('style')].length") <= 1
    assert page.locator("#hosts svg").count() == 1


def test_long_names_and_other_scripts_do_not_push_the_page_sideways(replayed: Callable[..., Player]) -> None:
    for width in (1920, 390):
        player = replayed("hostile", viewport={"width": width, "height": 844})
        everything(player)
        assert player.page.evaluate("document.documentElement.scrollWidth") <= width
