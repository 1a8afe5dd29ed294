"""Paper, reduced motion, and eyes that see other colours."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.browser.player import Player
from tests.browser.watched import until

pytestmark = pytest.mark.needs("browser")

A4 = (595.0, 842.0)
"""A4 in points."""


def sheets(pdf: bytes) -> list[tuple[float, float]]:
    """Sizes of the pages of a PDF [pt]."""
    boxes = re.findall(rb"/MediaBox\s*\[\s*([\d.]+)\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)\s*\]", pdf)
    return [(float(box[2]) - float(box[0]), float(box[3]) - float(box[1])) for box in boxes]


def test_on_paper_there_are_no_controls(replayed: Callable[..., Player]) -> None:
    player = replayed("separation", fragment="t=5")
    assert player.page.locator("#controls").is_visible()
    player.page.emulate_media(media="print")
    assert not player.page.locator("#controls").is_visible()
    assert player.page.locator("button:visible").filter(has_text=re.compile("Play|Next|Previous|Close")).count() == 0
    for part in ("#hosts svg", "#plots", "#table", "#story"):
        assert player.page.locator(part).first.is_visible(), part


@pytest.mark.parametrize("names", [("separation",), ("separation", "break"), ("lesson",)], ids=str)
def test_it_prints_on_a_few_sheets_of_a4(names: tuple[str, ...], replayed: Callable[..., Player]) -> None:
    player = replayed(*names, fragment="t=5")
    pdf = player.page.pdf(prefer_css_page_size=True, format="A4")
    assert pdf.startswith(b"%PDF-")
    assert len(pdf) > 30_000
    pages = sheets(pdf)
    assert 2 <= len(pages) <= 12
    for size in pages:
        assert sorted(size) == pytest.approx(sorted(A4), abs=2.0)


def test_paper_is_light_whatever_the_ground(replayed: Callable[..., Player]) -> None:
    player = replayed("separation", fragment="t=5&ground=dark")
    player.page.evaluate("dispatchEvent(new Event('beforeprint'))")
    player.page.emulate_media(media="print")
    grounds = player.page.evaluate(
        "[...document.querySelectorAll('html, body, main, section')].map(one => getComputedStyle(one).backgroundColor)"
    )
    assert set(grounds) <= {"rgba(0, 0, 0, 0)", "rgb(255, 255, 255)"}
    texts = player.page.locator("p, td, th, h1, h2")
    inks = texts.evaluate_all("all => all.map(one => getComputedStyle(one).color)")
    assert all(sum(map(int, re.findall(r"\d+", ink)[:3])) < 400 for ink in set(inks)), set(inks)
    player.page.emulate_media(media="screen")
    player.page.evaluate("dispatchEvent(new Event('afterprint'))")
    ground = player.page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    assert sum(map(int, re.findall(r"\d+", ground)[:3])) < 150


def test_nothing_of_an_unanswered_question_is_printed(replayed: Callable[..., Player]) -> None:
    player = replayed("lesson", fragment="t=2")
    player.page.emulate_media(media="print")
    text = player.text()
    assert "the feed pipe breaks" not in text
    assert "came off" not in text


def test_reduced_motion_goes_from_event_to_event(replayed: Callable[..., Player]) -> None:
    """WCAG 2.2, 2.3.3; who wants motion all the same can switch it on."""
    player = replayed("brake", reduced_motion="reduce")
    motions = player.page.evaluate("""() => [...document.querySelectorAll('*')].filter(one => {
        const style = getComputedStyle(one);
        const lasts = text => text.split(',').some(part => parseFloat(part) > 0.001);
        return lasts(style.transitionDuration) || (style.animationName !== 'none' && lasts(style.animationDuration));
    }).length""")
    assert motions == 0
    player.button("Play").click()
    first = player.time
    assert not player.playing
    assert first == pytest.approx(0.5, abs=1e-3)  # at once, without a way there
    animate = player.toggle("Animate")
    assert animate.is_visible()
    animate.check()
    player.toggle("Stop at every event").uncheck()
    player.button("Play").click()
    until(lambda: player.time > first + 0.05, "it moves on request")


def test_the_switch_of_motion_is_there_only_where_it_is_needed(replayed: Callable[..., Player]) -> None:
    assert not replayed("brake").toggle("Animate").is_visible()


@pytest.mark.parametrize("kind", ["achromatopsia", "deuteranopia", "protanopia", "tritanopia"])
def test_states_differ_by_more_than_colour(kind: str, replayed: Callable[..., Player]) -> None:
    """WCAG 2.2, 1.4.1: width of lines, shape of marks, place of moving parts."""
    player = replayed("separation", fragment="t=0.5")
    session = player.page.context.new_cdp_session(player.page)
    session.send("Emulation.setEmulatedVisionDeficiency", {"type": kind})
    looks = []
    for time in (0.5, 30.0):
        player.seek(time)
        looks.append(shapes(player))
    changed = {name for name in looks[0] if looks[0][name] != looks[1][name]}
    assert len([name for name in changed if name.startswith("l-")]) >= 3  # lines of the trailer, empty now
    assert len([name for name in changed if name.startswith("c-trailer.axle")]) >= 6  # its spring brakes


def shapes(player: Player) -> dict[str, str]:
    """Widths, places and dashes of everything in the picture, by element: all but its colours."""
    return player.page.locator("#hosts svg [data-id]").evaluate_all("""all => Object.fromEntries(all.map(one => [
        one.dataset.id, JSON.stringify([...one.querySelectorAll('*')].map(inner => {
            const style = getComputedStyle(inner);
            return [style.strokeWidth, style.strokeDasharray, style.transform, style.opacity, style.display,
                    ...['d', 'transform', 'y', 'height'].map(name => inner.getAttribute(name))];
        }))]))""")
