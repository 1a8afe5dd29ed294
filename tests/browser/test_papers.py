"""Report and handout as a browser shows them: no script, no request, everything there, on paper too."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from pneusim.results.run import CAUTION
from pneusim.show.paper.document import Document
from pneusim.show.paper.handout import handout
from pneusim.show.paper.report import report
from tests.browser.audit import violations
from tests.browser.runs import run
from tests.browser.test_media import A4, sheets

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.needs("browser")

EXPLANATION = "The relay has no air to hold the chambers with."


@cache
def paper(kind: str, *names: str) -> Document:
    """A report or handout of runs by their short names."""
    runs = [run(name) for name in names]
    return report(*runs) if kind == "report" else handout(*runs)


PAPERS = [("report", "separation"), ("report", "brake", "lesson"), ("handout", "lesson"), ("handout", "separation")]
HOSTILE = [("report", "hostile"), ("handout", "hostile")]


@pytest.fixture
def shown(opened: Callable[..., Page], tmp_path: Path) -> Callable[..., Page]:
    """A paper in the browser, scripts off."""

    def show(names: tuple[str, ...], **options: object) -> Page:
        path = paper(*names).save(tmp_path / "paper.html")
        return opened(path, **{"java_script_enabled": False, **options})

    return show


@pytest.mark.parametrize("names", [*PAPERS, *HOSTILE], ids=str)
def test_it_says_what_it_is_without_any_script(names: tuple[str, ...], shown: Callable[..., Page]) -> None:
    page = shown(names)
    text = " ".join(page.locator("body").inner_text().split())
    for name in names[1:]:
        assert " ".join(run(name).circuit.title.split()) in text
        assert " ".join(run(name).scenario.title.split()) in text
    assert CAUTION in text
    assert page.locator("svg").first.is_visible()
    assert "<script" not in paper(*names).html.lower()


@pytest.mark.parametrize("names", HOSTILE, ids=str)
def test_nothing_comes_of_hostile_names(names: tuple[str, ...], shown: Callable[..., Page]) -> None:
    page = shown(names, java_script_enabled=True)
    for name in ("script", "iframe", "object", "form", "img:not([src^='data:'])"):
        assert page.locator(name).count() == 0, name
    attributes = page.locator("*").evaluate_all("all => all.flatMap(one => one.getAttributeNames())")
    assert [name for name in attributes if name.startswith("on")] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 1920


@pytest.mark.needs("axe")
@pytest.mark.parametrize("names", [PAPERS[1], HOSTILE[1]], ids=str)
def test_axe_finds_nothing(names: tuple[str, ...], shown: Callable[..., Page]) -> None:
    assert violations(shown(names, java_script_enabled=True, bypass_csp=True)) == []


@pytest.mark.parametrize("names", PAPERS[:2], ids=str)
def test_it_prints_on_a4(names: tuple[str, ...], shown: Callable[..., Page]) -> None:
    pdf = shown(names).pdf(prefer_css_page_size=True, format="A4")
    assert len(pdf) > 30_000
    assert 2 <= len(sheets(pdf)) <= 40
    for size in sheets(pdf):
        assert sorted(size) == pytest.approx(sorted(A4), abs=2.0)


@pytest.mark.parametrize("names", [*PAPERS[:2], *HOSTILE], ids=str)
def test_it_fits_a_phone(names: tuple[str, ...], shown: Callable[..., Page]) -> None:
    page = shown(names, java_script_enabled=True, viewport={"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_the_class_does_not_see_the_answers_on_its_sheet(shown: Callable[..., Page]) -> None:
    text = shown(("handout", "lesson")).locator("body").inner_text()
    question = text.index("What do the brakes do?")
    solution = text.index("Solution")
    assert question < solution < text.index(EXPLANATION)
    assert "came off" not in text[:solution]
