"""Everybody can use the page: rules of WCAG 2.2 by axe, keys alone, a phone, targets that a finger meets."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
import pytest

from tests.browser.audit import violations
from tests.browser.player import Player

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.needs("browser")

PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}


@pytest.mark.needs("axe")
@pytest.mark.parametrize(("names", "fragment"), [
    (("separation",), "zoom=trailer&plots=trailer.axle1_left"), (("brake",), "ground=dark&large=1&plots=left"),
    (("brake", "lesson"), "show=side&ground=dark"), (("brake", "lesson"), "show=difference&predict=0"),
    (("hostile",), "predict=0&plots=tank"), (("failed",), "large=1"),
], ids=str)  # fmt: skip
def test_axe_finds_nothing(names: tuple[str, ...], fragment: str, replayed: Callable[..., Player]) -> None:
    assert violations(replayed(*names, fragment=f"t=3&{fragment}", bypass_csp=True).page) == []


@pytest.mark.needs("axe")
@pytest.mark.parametrize("ground", ["light", "dark"])
def test_axe_finds_nothing_before_and_after_a_question(ground: str, replayed: Callable[..., Player]) -> None:
    player = replayed("lesson", fragment=f"ground={ground}", bypass_csp=True)
    player.seek(2.0)
    player.button("Reveal").wait_for()
    assert violations(player.page) == []
    player.page.get_by_role("radio").first.check()
    player.button("Reveal").click()
    assert violations(player.page) == []


@pytest.mark.needs("axe")
def test_axe_finds_nothing_on_a_phone(replayed: Callable[..., Player]) -> None:
    assert violations(replayed("brake", fragment="t=3", bypass_csp=True, **PHONE).page) == []


@pytest.mark.needs("axe")
def test_axe_does_find_what_is_wrong(replayed: Callable[..., Player]) -> None:
    page = replayed("brake", bypass_csp=True).page
    page.evaluate("document.body.append(document.createElement('button'))")
    page.evaluate("document.querySelector('h1').style.color = '#eee'")
    found = " ".join(violations(page))
    assert "button-name" in found
    assert "color-contrast" in found


INKS = """all => all.filter(one => one.checkVisibility() && one.textContent.trim()).map(one => {
    const channels = text => (text.match(/[\\d.]+/g) ?? []).map(Number);
    let ground = one;
    const colour = place => channels(getComputedStyle(place).backgroundColor);
    const clear = place => colour(place).length === 4 && colour(place)[3] === 0;
    while (ground.parentElement && clear(ground)) ground = ground.parentElement;
    return [one.textContent.trim(), channels(getComputedStyle(one).fill), colour(ground)];
})"""


def contrast(ink: list[float], ground: list[float]) -> float:
    """Ratio of contrast by WCAG 2.2."""
    shares = np.array([ink[:3], ground[:3]]) / 255.0
    linear = np.where(shares <= 0.04045, shares / 12.92, ((shares + 0.055) / 1.055) ** 2.4)
    dark, light = sorted(linear @ [0.2126, 0.7152, 0.0722])
    return float((light + 0.05) / (dark + 0.05))


@pytest.mark.parametrize("ground", ["light", "dark"])
def test_letters_of_drawings_stand_out(ground: str, replayed: Callable[..., Player]) -> None:
    """WCAG 2.2, 1.4.3; axe does not look at text of SVG."""
    page = replayed("brake", fragment=f"t=1&ground={ground}").page
    texts = page.locator("#plots svg text, #scale svg text:not(.word), #hosts text.name:not(.halo), #hosts text.unit")
    inks = texts.evaluate_all(INKS)
    assert len(inks) > 40
    weak = [(text, round(contrast(ink, under), 2)) for text, ink, under in inks if contrast(ink, under) < 4.5]
    assert weak == []


FOCUS = """() => {
    const one = document.activeElement, box = one.getBoundingClientRect(), style = getComputedStyle(one);
    const inside = box.width > 0 && box.bottom > 0 && box.right > 0 && box.top < innerHeight && box.left < innerWidth;
    const outlined = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
    const ringed = style.boxShadow !== 'none' || [...one.querySelectorAll('*')].some(inner => {
        const its = getComputedStyle(inner);
        return its.outlineStyle !== 'none' && parseFloat(its.outlineWidth) >= 2;
    });
    return {name: one.localName + '#' + one.id + ' ' + (one.getAttribute('aria-label') ?? one.textContent).slice(0, 40),
            body: one === document.body, inside, seen: outlined || ringed || style.strokeWidth !== '1px'};
}"""


def walk(page: Page) -> list[dict[str, object]]:
    """Everything that Tab comes to, from the top until it leaves the page."""
    met: list[dict[str, object]] = []
    while len(met) < 400:
        page.keyboard.press("Tab")
        now = page.evaluate(FOCUS)
        if now["body"] or (met and now["name"] == met[0]["name"]):
            return met
        met.append(now)
    raise AssertionError("Tab does not leave the page")


@pytest.mark.parametrize("ground", ["light", "dark"])
def test_tab_comes_to_everything_and_the_focus_is_seen(ground: str, replayed: Callable[..., Player]) -> None:
    player = replayed("separation", fragment=f"ground={ground}")
    met = walk(player.page)
    names = " | ".join(str(one["name"]) for one in met)
    for wanted in ("button#play", "button#previous", "button#next", "input#time", "select#speed", "input#stops"):
        assert wanted in names
    assert [one["name"] for one in met if not one["inside"]] == []
    assert [one["name"] for one in met if not one["seen"]] == []


def test_what_is_written_beside_a_part_is_in_its_name(replayed: Callable[..., Player]) -> None:
    """WCAG 2.2, 2.5.3: who speaks to a computer says what stands in the picture."""
    parts = replayed("separation").page.locator("#hosts [data-id^='c-']")
    names = parts.evaluate_all("""all => all.map(one => [
        one.getAttribute('aria-label'),
        [...one.querySelectorAll('text.name:not(.halo)')].map(text => text.textContent).join('')
    ])""")
    assert len(names) > 40
    squeezed = [(name.replace(" ", ""), seen.replace(" ", "")) for name, seen in names]
    assert sum(bool(seen) for _, seen in squeezed) > 30
    assert [pair for pair in squeezed if pair[1] not in pair[0]] == []


def test_the_picture_is_one_stop_and_its_parts_are_reached_by_arrows(replayed: Callable[..., Player]) -> None:
    player = replayed("separation", fragment="t=5")
    stops = player.page.locator("#hosts [tabindex='0']")
    assert stops.count() <= 2  # the region that scrolls, and one part
    part = player.page.locator("#hosts [data-id][tabindex='0']")
    part.focus()
    first = player.page.evaluate("document.activeElement.dataset.id")
    player.page.keyboard.press("ArrowRight")
    second = player.page.evaluate("document.activeElement.dataset.id")
    assert first != second
    assert player.time == pytest.approx(5.0, abs=1e-3)  # the arrow went to the picture alone
    before = player.page.locator("#plots figure").count()
    player.page.keyboard.press("Enter")
    assert player.page.locator("#plots figure").count() > before


BOXES = """all => all.filter(one => one.checkVisibility()).map(one => {
    const label = one.closest('label'), box = (label ?? one).getBoundingClientRect();
    return [one.localName + '#' + one.id + ' ' + (one.textContent || one.getAttribute('aria-label') || '').slice(0, 30),
            box.width, box.height];
})"""


@pytest.mark.parametrize("options", [{}, PHONE], ids=["projector", "phone"])
def test_targets_are_large_enough(options: dict[str, object], replayed: Callable[..., Player]) -> None:
    """WCAG 2.2, 2.5.8: at least 24 px; what drives the replay has 44 px (2.5.5)."""
    page = replayed("lesson", fragment="t=2&plots=relay", **options).page
    for folded in page.locator("#controls details:not([open]) > summary:visible").all():
        folded.click()
    small = page.locator("button, select, input, summary, a").evaluate_all(BOXES)
    assert len(small) > 20
    assert [target for target in small if min(target[1:]) < 23.99] == []
    driving = page.locator("#controls button, #controls select, #controls input, #question button").evaluate_all(BOXES)
    assert len(driving) > 8
    assert [target for target in driving if target[2] < 43.99 or target[1] < 43.99] == []


@pytest.mark.parametrize(("names", "fragment"), [
    (("separation",), "plots=trailer.axle1_left"), (("separation",), "large=1"),
    (("separation", "break"), "show=side"), (("lesson",), "large=1"),
], ids=str)  # fmt: skip
def test_a_phone_scrolls_down_only(names: tuple[str, ...], fragment: str, replayed: Callable[..., Player]) -> None:
    """WCAG 2.2, 1.4.10; the schematic scrolls in a region of its own."""
    page = replayed(*names, fragment=f"t=2&{fragment}", **PHONE).page
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.evaluate("[scrollTo(50, 0), scrollX][1]") == 0


def test_a_tap_plays_and_a_tap_pauses(replayed: Callable[..., Player]) -> None:
    player = replayed("brake", fragment="stops=0&speed=0.1", **PHONE)
    player.button("Play").tap()
    assert player.playing
    player.button("Pause").tap()
    assert not player.playing


def test_no_width_scrolls_sideways(replayed: Callable[..., Player]) -> None:
    page = replayed("separation", "break", fragment="show=side&t=3").page
    for width in (320, 640, 960, 1280, 1366, 1920, 2560):
        page.set_viewport_size({"width": width, "height": 800})
        page.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
        assert page.evaluate("document.documentElement.scrollWidth") <= width


SIZES = """all => all.filter(one => one.checkVisibility()
    && [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim())
).map(one => {
    const scale = one.ownerSVGElement ? one.getScreenCTM().a : 1;
    return [one.textContent.trim().slice(0, 30), scale * parseFloat(getComputedStyle(one).fontSize)];
})"""


def test_large_text_is_large_on_a_projector(replayed: Callable[..., Player]) -> None:
    """18 px on 1920: the page, and the names of a vehicle that is zoomed to; port numbers are smaller."""
    page = replayed("separation", fragment="large=1&t=3&zoom=trailer").page
    for texts, least in (("main *:not(#picture *), header *", 100), ("#hosts [data-id^='c-trailer'] .name", 10)):
        sizes = page.locator(texts).evaluate_all(SIZES)
        assert len(sizes) > least
        assert [one for one in sizes if one[1] < 17.99] == []


def test_names_of_a_unit_that_is_zoomed_to_can_be_read(replayed: Callable[..., Player]) -> None:
    """18 px on 1920, and all of the unit can be scrolled to, with room around it."""
    page = replayed("separation", fragment="t=0.5&zoom=trailer").page
    sizes = page.locator("#hosts [data-id^='c-trailer'] .name").evaluate_all(SIZES)
    assert len(sizes) > 10
    assert [one for one in sizes if one[1] < 17.99] == []
    margins = page.locator("#hosts svg").evaluate("""svg => {
        const all = svg.getBoundingClientRect();
        const boxes = [...svg.querySelectorAll("[data-unit=trailer]")].map(group => group.getBoundingClientRect());
        return boxes.flatMap(box =>
            [box.left - all.left, box.top - all.top, all.right - box.right, all.bottom - box.bottom]);
    }""")
    assert min(margins) >= 6.0
    region = page.locator("#hosts .drawing")
    assert region.evaluate("one => one.scrollHeight > one.clientHeight && getComputedStyle(one).overflowY") == "auto"
