"""A handout as a browser shows and prints it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from pneusim.show.paper.handout import handout
from tests.browser.audit import violations
from tests.browser.test_media import A4, sheets
from tests.circuits.shipped import run

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.needs("browser")


@pytest.fixture(scope="module")
def paper(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = handout(run("lessons/line-break", "control_line_breaks"))
    return made.save(tmp_path_factory.mktemp("handout") / "paper.html")


def test_it_prints_on_five_sides_of_a4_across(paper: Path, opened: Callable[..., Page]) -> None:
    printed = sheets(opened(paper).pdf(prefer_css_page_size=True))
    assert len(printed) == 5
    assert all(size == pytest.approx(A4[::-1], abs=1.0) for size in printed)


def test_its_policy_lets_its_own_style_in(paper: Path, opened: Callable[..., Page]) -> None:
    page = opened(paper)
    look = "(selector) => getComputedStyle(document.querySelector(selector))"
    assert page.evaluate(f"({look})('.situation .tyre').fill") == "rgb(195, 202, 211)"
    assert page.evaluate(f"({look})('.box').borderTopStyle") == "solid"
    assert page.evaluate(f"({look})('.plot text').fontFamily").startswith('"DejaVu Sans"')


def test_nothing_sticks_out_on_a_phone(paper: Path, opened: Callable[..., Page]) -> None:
    page = opened(paper, viewport={"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


@pytest.mark.needs("axe")
def test_a_reader_of_screens_finds_its_way(paper: Path, opened: Callable[..., Page]) -> None:
    assert violations(opened(paper, bypass_csp=True)) == []
