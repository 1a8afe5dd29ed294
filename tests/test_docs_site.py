"""The site of `docs/` is built without a warning, and what its pages show is so."""

from __future__ import annotations

import doctest
import os
import re
import shutil
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from pneusim import simulate
from pneusim.parts.registry import part, part_types
from pneusim.results.run import CAUTION
from tests import pages, played_pages

ROOT = Path(__file__).parents[1]
TUTORIALS = sorted(played_pages.FOLDER.glob("*.md"))
WORKED = [path for path in pages.written() if ">>>" in path.read_text(encoding="utf-8")]


class Page(HTMLParser):
    """Links, anchors and pictures of a page."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.links: list[str] = []
        self.anchors: set[str] = set()
        self.pictures: list[dict[str, str | None]] = []
        self.text = path.read_text(encoding="utf-8")
        self.feed(self.text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.anchors.add(found.get("id") or "")
        if tag == "a" and found.get("href"):
            self.links.append(str(found["href"]))
        if tag == "img":
            self.pictures.append(found)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> dict[Path, Page]:
    """The pages of the site, by file."""
    folder = tmp_path_factory.mktemp("docs")
    source, built = folder / "source", folder / "html"
    shutil.copytree(pages.DOCS, source, ignore=shutil.ignore_patterns("parts", "_build", "__pycache__"))
    command = [sys.executable, "-m", "sphinx", "-W", "--keep-going", "-q", "-b", "html", str(source), str(built)]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return {path: Page(path) for path in built.rglob("*.html")}


def test_every_page_of_the_source_and_every_part_has_a_page(site: dict[Path, Page]) -> None:
    names = {path.as_posix() for path in site}
    wanted = [path.relative_to(pages.DOCS).with_suffix(".html").as_posix() for path in pages.written()]
    wanted += [f"parts/{name}.html" for name in part_types()]
    assert [name for name in wanted if not any(path.endswith(f"/html/{name}") for path in names)] == []


def test_links_of_the_site_lead_somewhere(site: dict[Path, Page]) -> None:
    lost = []
    for path, page in site.items():
        for link in page.links:
            parts = urlsplit(link)
            if parts.scheme:
                continue
            target = (path.parent / unquote(parts.path)).resolve() if parts.path else path
            if not target.is_file() or (parts.fragment and parts.fragment not in site[target].anchors):
                lost.append(f"{path.name}: {link}")
    assert lost == []


def test_every_page_has_the_caution(site: dict[Path, Page]) -> None:
    assert [path.name for path, page in site.items() if CAUTION not in " ".join(page.text.split())] == []


def test_pages_need_neither_scripts_of_others_nor_a_network(site: dict[Path, Page]) -> None:
    fetched = [
        (path.name, found)
        for path, page in site.items()
        for found in re.findall(r"<(?:script|link|img|iframe)[^>]*(?:src|href)=\"(?:https?:)?//[^\"]*\"", page.text)
    ]
    assert fetched == []


def test_pictures_are_there_and_have_words(site: dict[Path, Page]) -> None:
    drawn = set()
    for path, page in site.items():
        for picture in page.pictures:
            assert (path.parent / str(picture["src"])).stat().st_size > 1000
            assert len(picture.get("alt") or "") > 20, picture
            drawn.add(path.stem)
    assert drawn >= {name for name in part_types() if part(name).characteristic}


def test_the_page_of_a_part_tells_what_the_part_says(site: dict[Path, Page]) -> None:
    (page,) = (page for path, page in site.items() if path.parts[-2:] == ("parts", "relay_valve.html"))
    text = " ".join(re.sub(r"<[^>]+>", " ", page.text).split())
    for words in ("half_band", "5 kPa", "8 to 10 kPa between applying and releasing", "stuck_shut", "exhaust_opening"):
        assert words in text
    assert re.search(r"Delivers ratio x \(control pressure - crack\)", text)


def test_equations_are_written(site: dict[Path, Page]) -> None:
    (page,) = (page for path, page in site.items() if path.parts[-2:] == ("physics", "restriction.html"))
    assert page.text.count("<math") > 10
    assert "$" not in re.sub(r"<pre>.*?</pre>", "", page.text, flags=re.DOTALL)


@pytest.mark.parametrize("path", WORKED, ids=lambda path: path.stem)
def test_worked_numbers(path: Path) -> None:
    blocks = re.findall(r"```python\n(>>> .*?)```", path.read_text(encoding="utf-8"), re.DOTALL)
    test = doctest.DocTestParser().get_doctest("\n\n".join(blocks), {}, path.name, str(path), 0)
    assert test.examples
    assert doctest.DocTestRunner(verbose=False).run(test).failed == 0


@pytest.mark.parametrize("path", TUTORIALS, ids=lambda path: path.stem)
def test_tutorials_show_what_happens(path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    simulate.warmup()
    text = path.read_text(encoding="utf-8")
    assert played_pages.play(text, played_pages.hold) == text


@pytest.mark.parametrize(("name", "count"), [("results.md", 1), ("road.md", 2)])
def test_pages_show_code_that_runs(name: str, count: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    codes = re.findall(r"```python\n(.*?)```", (pages.DOCS / name).read_text(encoding="utf-8"), re.DOTALL)
    assert len(codes) == count
    for code in codes:
        exec(code, {})


OUTPUT = "Title\n  The brake had 75 % at 1.50 s.\n  On.\n  Off.\n"


@pytest.mark.parametrize(
    "shown", [["Title", "..."], ["...", "  The brake had 75 % at 1.51 s.", "On.", "..."], ["Title", "...", "Off."]]
)
def test_what_is_printed_may_be_shown(shown: list[str]) -> None:
    assert played_pages.hold("pneusim", shown, OUTPUT) == shown


@pytest.mark.parametrize(
    "shown",
    [
        ["Title"],
        ["On.", "..."],
        ["Title", "On.", "..."],
        ["...", "Off.", "On.", "..."],
        ["...", "The brake had 75 % at 1.6 s.", "..."],
    ],
)
def test_what_is_not_printed_so_may_not_be_shown(shown: list[str]) -> None:
    with pytest.raises(AssertionError, match=r"python -m tests\.pages|more is printed"):
        played_pages.hold("pneusim", shown, OUTPUT)


def test_a_page_is_renewed_line_by_line() -> None:
    shown = ["Title", "...", "  The brake had 75 % at 0.9 s.", "..."]
    today = ["Title", "...", "  The brake had 75 % at 1.50 s.", "..."]
    assert played_pages.renew("pneusim", shown, OUTPUT) == today


def test_a_section_of_a_file_is_replaced_or_added(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    blocks = [("f.yaml", "a: 1\nb:\n  c: 2\n"), ("f.yaml: b", "b: 3\n"), ("f.yaml: d", "d: 4\n")]
    text = "\n".join(f"```{{code-block}} yaml\n:caption: {name}\n\n{body}```" for name, body in blocks)
    played_pages.play(text, played_pages.hold)
    assert [line for line in Path("f.yaml").read_text().splitlines() if line] == ["a: 1", "b: 3", "d: 4"]
