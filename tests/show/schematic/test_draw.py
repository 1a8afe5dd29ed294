"""``pneusim draw`` and ``pneusim.draw``."""

import os
import subprocess
import sys
import types
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

import pneusim as ps
from pneusim.circuit.circuit import Circuit, Component, Line, Port
from pneusim.cli import main
from pneusim.show.schematic import picture
from pneusim.show.schematic.labels import label_lines
from tests.circuits.shipped import circuit
from tests.show.schematic import golden
from tests.show.schematic.drawn import NAMES, drawing

SVG = "{http://www.w3.org/2000/svg}"


def call(*args):
    return CliRunner().invoke(main, ["draw", *map(str, args)])


def ids(svg):
    return [item.get("id") for item in ET.fromstring(svg).iter() if item.get("id")]


@pytest.mark.parametrize("name", NAMES)
def test_every_part_and_line_has_its_id_and_its_title(name):
    tree = ET.fromstring(drawing(name).svg)
    groups = {item.get("id"): item for item in tree.iter(f"{SVG}g") if item.get("id")}
    made = circuit(name)
    expected = {f"c-{part}" for part in made.components} | {f"l-{line}" for line in made.lines}
    assert expected <= set(groups)
    assert len(ids(drawing(name).svg)) == len(set(ids(drawing(name).svg)))
    assert all(groups[wanted].find(f"{SVG}title").text for wanted in expected)


@pytest.mark.parametrize("name", NAMES)
def test_the_picture_is_the_one_that_was_looked_at(name):
    assert golden.of(drawing(name).svg) == golden.read()[name], "look at it; then python -m tests.show.schematic.golden"


def test_the_same_file_gives_the_same_picture_byte_for_byte(tmp_path):
    code = "import pneusim as ps, sys; sys.stdout.write(ps.draw(ps.load('rigid-truck')).svg)"
    made = set()
    for seed in ("1", "2"):
        env = {**os.environ, "PYTHONHASHSEED": seed, "PNEUSIM_CACHE": str(tmp_path / seed), "PYTHONIOENCODING": "utf-8"}
        made.add(subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, check=True).stdout)
    assert len(made) == 1
    assert made.pop().decode("utf-8").replace("\r\n", "\n") == drawing("rigid-truck").svg


def test_places_that_were_searched_for_are_kept_in_the_cache(tmp_path, monkeypatch):
    monkeypatch.setenv("PNEUSIM_CACHE", str(tmp_path))
    free = {name: replace(part, pos=None) for name, part in circuit("semitrailer-relay-emergency").components.items()}
    bare = replace(circuit("semitrailer-relay-emergency"), components=free)
    first = ps.draw(bare)
    (kept,) = tmp_path.glob("layout_*.pickle")
    monkeypatch.setattr("pneusim.show.schematic.layout.arrange", None)
    assert ps.draw(bare) == first
    kept.write_bytes(b"")
    with pytest.raises(TypeError):
        ps.draw(bare)


def test_one_unit_alone_has_stubs_to_its_neighbours():
    made = ps.draw(circuit("tractor-semitrailer"), unit="trailer")
    found = ids(made.svg)
    assert "c-trailer.reservoir" in found
    assert "c-tractor.foot" not in found
    assert {"l-supply_line", "l-control_line"} <= set(found)
    assert "to tractor" in made.svg
    assert made._repr_svg_() == made.svg
    assert repr(made).startswith("<Drawing of 'Tractor and three-axle semitrailer: trailer'")


def test_only_what_a_unit_is_coupled_to_becomes_a_stub():
    alone = ps.draw(circuit("road-train"), unit="middle").layout.sheet.nodes.values()
    stubs = [node.label for node in alone if node.type == "stub"]
    assert sorted(stubs) == ["to last"] * 2 + ["to lead"] * 2
    assert all(label_lines(node) == (node.label,) for node in alone if node.type == "stub")


@pytest.mark.parametrize(
    ("file", "unit", "words"),
    [
        ("tractor-semitrailer", "trailor", "no unit 'trailor'; there are: tractor, trailer"),
        ("tractor-6x4", "tractor", "no unit 'tractor'; the circuit is of one unit"),
    ],
)
def test_a_unit_that_is_not_there_is_told(file, unit, words):
    done = call(file, "--unit", unit)
    assert done.exit_code == 2
    assert words in done.output


def test_hostile_names_are_text():
    evil = '"><script>alert(1)</script>&\'"'
    parts = {
        evil: Component(evil, "reservoir", label=evil),
        "b": Component("b", "reservoir", label="]]>"),
    }
    line = Line(evil, Port(evil, "<1>"), Port("b", "21"), 1.0, 0.01, label=evil)
    made = ps.draw(Circuit(evil, parts, {evil: line}, vehicles=(ps.load("tractor-6x4").vehicles[0],)))
    tree = ET.fromstring(made.svg)
    assert not list(tree.iter(f"{SVG}script"))
    assert f"c-{evil}" in ids(made.svg)
    assert f"l-{evil}" in ids(made.svg)
    assert any(item.text and evil in item.text for item in tree.iter(f"{SVG}title"))


def test_a_drawing_is_written_where_it_is_wanted(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = call("tank-and-orifice")
    assert (done.exit_code, done.output) == (0, "written to tank-and-orifice.svg\n")
    assert Path("tank-and-orifice.svg").read_text(encoding="utf-8") == drawing("tank-and-orifice").svg
    assert call("tank-and-orifice", "-o", "other.svg").exit_code == 0
    assert call("tractor-semitrailer", "--unit", "trailer").output == "written to tractor-semitrailer-trailer.svg\n"


def test_a_place_that_cannot_be_written_to_is_told(tmp_path):
    done = call("tank-and-orifice", "-o", tmp_path / "not" / "there.svg")
    assert done.exit_code == 2
    assert "cannot be written" in done.output


def test_an_ending_that_cannot_be_made_is_told(tmp_path):
    done = call("tank-and-orifice", "-o", tmp_path / "a.jpg")
    assert done.exit_code == 2
    assert "written as .svg, .png, .pdf" in done.output


@pytest.mark.parametrize("ending", [".png", ".pdf"])
def test_without_cairosvg_the_error_tells_what_to_install(tmp_path, monkeypatch, ending):
    monkeypatch.setitem(sys.modules, "cairosvg", None)
    done = call("tank-and-orifice", "-o", tmp_path / f"a{ending}")
    assert done.exit_code == 2
    assert "pip install 'pneusim[pdf]'" in done.output


@pytest.mark.needs("cairosvg")
@pytest.mark.parametrize(("ending", "begins"), [(".png", b"\x89PNG\r\n"), (".pdf", b"%PDF-")])
def test_a_circuit_becomes_a_picture(tmp_path, ending, begins):
    place = tmp_path / f"a{ending}"
    assert call("rigid-truck", "-o", place).exit_code == 0
    assert place.read_bytes().startswith(begins)
    assert len(place.read_bytes()) > 20_000


def test_png_and_pdf_come_from_the_svg(tmp_path, monkeypatch):
    fake = types.ModuleType("cairosvg")
    fake.svg2png = lambda bytestring, output_width: b"png %d " % output_width + bytestring
    fake.svg2pdf = lambda bytestring: b"pdf " + bytestring
    monkeypatch.setitem(sys.modules, "cairosvg", fake)
    text = drawing("tank-and-orifice").svg.encode()
    assert picture.Drawing(text.decode(), None).save(tmp_path / "a.png").read_bytes() == b"png 1920 " + text
    assert picture.Drawing(text.decode(), None).save(tmp_path / "a.pdf").read_bytes() == b"pdf " + text
