"""A page stands alone, holds its runs and drawings, and lets no name of a file become anything but text."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache
from html import escape
from pathlib import Path

import numpy as np
import pytest

from pneusim.errors import UsageError
from pneusim.reading import load
from pneusim.results.run import Run
from pneusim.show.palette import LINES
from pneusim.show.replay.page import MAIN, Page, replay, web_file, web_modules
from pneusim.simulate import run as simulate
from tests.show.test_html import HOSTILE, Outline, digest, rules

WEB = Path(__file__).parents[3] / "pneusim" / "show" / "web"


@cache
def run() -> Run:
    return simulate(load("one-axle"), "line_break")


@cache
def page() -> Page:
    return replay(run())


def data(made: Page) -> dict[str, object]:
    found = re.search(r'<script type="application/json" id="replay">(.*?)</script>', made.html, re.DOTALL)
    assert found is not None
    document: dict[str, object] = json.loads(found[1])
    return document


def test_a_page_loads_nothing_and_lets_nothing_else_run() -> None:
    outline = Outline(page().html)
    allowed = rules(page().html)
    assert allowed["default-src"] == ["'none'"]
    assert allowed["style-src"] == [digest(text) for text in outline.texts("style")]
    assert allowed["script-src"] == [*map(digest, outline.texts("script", "module")), "blob:"]
    assert len(outline.texts("script")) == 2  # what runs, and the data
    for tag, attributes, _ in outline.found:
        assert "style" not in attributes, tag
        assert not [name for name in attributes if name.startswith("on")], tag
        for name in ("src", "href", "xlink:href"):
            assert (attributes.get(name) or "data:").startswith(("data:", "#")), tag


def test_every_module_stands_after_those_that_it_imports() -> None:
    before: set[str] = set()
    for module, text in web_modules(MAIN).items():
        wanted = re.findall(r'\bfrom\s*"([^"]+)"|^import\s*"([^"]+)"', text, re.MULTILINE)
        assert {name for pair in wanted for name in pair if name} <= before
        before.add(module)
    assert {"codec", "decimate", "scene"} <= before
    assert module == MAIN


def test_every_element_that_the_scripts_look_for_stands_in_the_page_once() -> None:
    ids = [attributes["id"] for _, attributes, _ in Outline(page().html).found if "id" in attributes]
    assert len(ids) == len(set(ids))
    for text in web_modules(MAIN).values():
        assert set(re.findall(r'\bthe\("([\w-]+)"', text)) <= set(ids)


def test_a_page_holds_each_drawing_once() -> None:
    assert page().html.count('<template id="drawing-') == 1
    assert replay(run(), run()).html.count('<template id="drawing-') == 1


def test_two_runs_stand_in_one_page() -> None:
    runs = data(replay(run(), run(), "us"))["runs"]
    assert isinstance(runs, list)
    assert [one["name"] for one in runs] == ["A", "B"]


def test_names_of_a_file_are_text_and_nothing_else() -> None:
    circuit, scenario = replace(run().circuit, title=HOSTILE), replace(run().scenario, title=HOSTILE)
    named = replace(run(), circuit=circuit, scenario=scenario)
    made = replay(named)
    usual, hostile = Outline(page().html), Outline(made.html)
    assert [tag for tag, _, _ in hostile.found] == [tag for tag, _, _ in usual.found]
    assert HOSTILE in str(data(made)["title"])


def test_a_notebook_shows_the_page_in_a_frame_that_may_only_run_scripts() -> None:
    frame = page()._repr_html_()
    ((_, attributes, _), *_) = Outline(frame).found
    assert attributes["srcdoc"] == page().html
    assert attributes["sandbox"] == "allow-scripts"
    assert attributes["title"] == page().title
    assert escape(page().html) in frame
    assert "MB" in repr(page())


def test_a_page_is_saved_as_it_is(tmp_path: Path) -> None:
    where = page().save(tmp_path / "replay.html")
    assert where.read_bytes().decode("utf-8") == page().html
    assert "\r" not in page().html


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="cannot be written"):
        page().save(tmp_path / "none" / "replay.html")


def test_the_same_run_gives_the_same_page() -> None:
    assert replay(run()).html == page().html


def test_the_body_is_plain_and_the_scripts_make_no_html() -> None:
    assert "style=" not in web_file("replay.html")
    makers = ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval(", "new Function", '"style"')
    for path in WEB.glob("*.js"):
        for word in makers:
            assert word not in path.read_text("utf-8"), f"{path.name}: {word}"


def test_curves_have_three_to_one_on_the_dark_ground_too() -> None:
    """The page inverts them and turns their hue by 180 degrees: the matrix of hueRotate, Filter Effects Level 1."""
    style = web_file("page.css")
    assert "filter: invert(1) hue-rotate(180deg)" in style
    ground = re.search(r'data-ground="dark"\] {[^}]*--paper: (#[0-9a-f]{6})', style)
    assert ground is not None
    turn = np.array([[-0.574, 1.430, 0.144], [0.426, 0.430, 0.144], [0.426, 1.430, -0.856]])
    for colour in LINES:
        turned = np.clip(turn @ (1.0 - _rgb(colour)), 0.0, 1.0)
        assert (_luminance(turned) + 0.05) / (_luminance(_rgb(ground[1])) + 0.05) >= 3.0, colour


def _rgb(colour: str) -> np.ndarray:
    return np.array([int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)])


def _luminance(rgb: np.ndarray) -> float:
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    return float(linear @ (0.2126, 0.7152, 0.0722))


def test_the_title_of_the_file_tells_the_run() -> None:
    title = Outline(page().html).texts("title")[0]
    assert title.startswith(page().title)
