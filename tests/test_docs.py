"""The pages of `docs/` say what the program says, and their links lead somewhere."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from pneusim.circuit.automatic import AUTOMATIC
from pneusim.circuit.circuit import Axle, Vehicle
from pneusim.circuit.rolling import road_channels
from pneusim.cli import COMMANDS
from pneusim.lints.registry import all_lints
from pneusim.parts.registry import part_types
from pneusim.reading import load_text
from pneusim.reading.codes import CODES
from pneusim.reading.steps import ACTIONS
from pneusim.reading.units import _KEYS as SECTIONS
from pneusim.reading.vehicles import KINDS
from pneusim.results.mechanic import KINDS as KINDS_TOLD
from tests import figures_page, pages
from tests.reference_figures import figures

ROOT = Path(__file__).parents[1]
PAGES = pages.written()
TEXTS = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *PAGES]
LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
FORMAT = (pages.DOCS / "format.md").read_text(encoding="utf-8")


def anchors(path: Path) -> set[str]:
    """Anchors of a page's headings."""
    heads = re.findall(r"^#+ (.+)$", path.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.name)
def test_links_lead_somewhere(path: Path) -> None:
    for link in LINK.findall(path.read_text(encoding="utf-8")):
        file, _, anchor = link.partition("#")
        if Path(file).parent.name == "parts":  # written when the site is built
            assert Path(file).stem in ("index", *part_types())
            continue
        target = (path.parent / file).resolve() if file else path
        assert target.exists(), link
        assert not anchor or anchor in anchors(target), link


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.name)
def test_files_named_exist(path: Path) -> None:
    named = re.findall(r"`((?:tests|docs|circuits|pneusim|shared)/[\w./*-]*)`", path.read_text(encoding="utf-8"))
    assert [name for name in named if "my_valve" not in name and not list(ROOT.glob(name.rstrip("/")))] == []


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_tables_are_what_the_program_says(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert text == pages.filled(text), "write the pages anew with: python -m tests.pages"


def test_every_table_stands_on_a_page() -> None:
    found = [name for path in PAGES for name in pages.tables_of(path.read_text(encoding="utf-8"))]
    assert sorted(found) == sorted(pages.TABLES)


def test_every_code_has_its_line() -> None:
    rows = {row[2:5] for row in pages.codes().splitlines() if re.match(r"\| [A-Z]\d\d ", row)}
    assert rows == {*CODES, *(lint.code for lint in all_lints())}


def test_every_published_figure_stands_on_the_page_and_within_its_tolerance() -> None:
    stated = figures_page.stated()
    assert stated.keys() == figures().keys()
    for name, figure in figures().items():
        low, high = (figure.in_unit(figure.expected + sign * figure.margin) for sign in (-1, 1))
        rounding = 0.51 * figures_page.last_digit(figure)
        assert all(low - rounding <= value <= high + rounding for value in stated[name].values), name
        assert "tests.reference_figures" in (ROOT / stated[name].file).read_text(encoding="utf-8")


def test_a_page_that_says_something_else_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    figure = figures()["massey_11_7_mass_flow"]
    here = figures_page.Stated((0.3171,), "tests/test_docs.py")
    monkeypatch.setitem(figures_page.stated(), figure.id, here)
    figure.check(0.3172)
    with pytest.raises(AssertionError, match=r"python -m tests\.pages"):
        figure.check(0.3186)


def test_the_page_of_the_format_names_all_words() -> None:
    words = {*SECTIONS, *ACTIONS, *KINDS}
    assert [word for word in sorted(words) if not re.search(rf"\b{word}\b", FORMAT)] == []


def test_every_measure_stands_on_a_page() -> None:
    told = "".join((pages.DOCS / name).read_text(encoding="utf-8") for name in ("results.md", "road.md"))
    assert [name for name in AUTOMATIC if not re.search(rf"[`.]{name}`", told)] == []


def test_the_page_of_the_road_names_all_its_channels_measures_and_events() -> None:
    page = (pages.DOCS / "road.md").read_text(encoding="utf-8")
    brake = {"type": "s_cam", "thermal_mass": 40.0}
    truck = Vehicle(axles=(Axle(1, brake=brake),))
    channels = {channel.quantity for channel in road_channels([truck, Vehicle(name="trailer")])}
    assert {"temperature", "hitch_force", "adhesion_used"} <= channels
    kinds = {name for name, kind in KINDS_TOLD.items() if kind.subject in ("wheel", "axle", "vehicle")}
    files = (ROOT / "pneusim" / "results" / "road").glob("*.py")
    sources = "".join(path.read_text(encoding="utf-8") for path in files)
    measures = {name for name in AUTOMATIC if re.search(rf"[\".}}]{name}\"", sources)}
    assert len(measures) > 20
    assert [word for word in sorted({*channels, *kinds, *measures}) if not re.search(rf"[`.]{word}`", page)] == []


def test_the_page_for_a_class_names_all_that_an_address_holds_and_all_keys() -> None:
    page = (pages.DOCS / "class.md").read_text(encoding="utf-8")
    web = ROOT / "pneusim" / "show" / "web"
    address, keys = ((web / name).read_text(encoding="utf-8") for name in ("address.js", "keys.js"))
    words = re.findall(r'(?:chosen|flag)\("(\w+)"', address)
    assert len(words) >= 8
    assert [word for word in {*words, "t", "plots"} if not re.search(rf"`{word}=", page)] == []
    actions = re.findall(r"(\w+): \"", keys.partition("ACTIONS =")[2].partition("});")[0])
    names = {"PageUp": "Page Up", "PageDown": "Page Down", "ArrowLeft": "left", "ArrowRight": "right"}
    assert len(actions) == 6
    assert [key for key in actions if names.get(key, key) not in page] == []


def test_commands_on_pages_exist() -> None:
    for path in TEXTS:
        for name in re.findall(r"(?:`|bin/)pneusim ([a-z]+)", path.read_text(encoding="utf-8")):
            assert name in COMMANDS, f"{path.name}: pneusim {name}"


def test_the_scenario_of_the_page_can_be_read() -> None:
    block = re.findall(r"```yaml\n(scenarios:.*?)```", FORMAT, re.DOTALL)[0]
    circuit = (ROOT / "circuits" / "one-axle.yaml").read_text(encoding="utf-8").partition("scenarios:")[0]
    assert list(load_text(circuit + block).scenarios) == ["line_break"]
