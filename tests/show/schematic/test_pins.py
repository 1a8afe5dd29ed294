"""``pneusim draw --write``: places become pins, nothing else in the file changes."""

import math
import re
import shutil
from dataclasses import replace

import pytest
from click.testing import CliRunner

import pneusim as ps
from pneusim.cli import main
from pneusim.show.schematic.pins import with_pins
from tests.circuits.shipped import CIRCUITS

FLOW = """\
# A comment.
pneusim: 1
components:   # another
  tank:   {type: reservoir, volume: 40 L,   pressure: 8 bar}  # a third
  pipe:   {type: tee ,}
  second: {
    type: reservoir,  # inside
    volume: 5 L
  }
  block:
    # before
    type: reservoir
    volume: 5 L   # behind

  last: {like: tank, pos: [1, 2]}
"""


def without(text: str) -> str:
    """A text without its pins."""
    text = re.sub(r"\r?\n\r?\nlayout:(\r?\n  .*)*\r?\n$", "\n", text)
    return re.sub(r"(, pos: \[[^]]*\])|(pos: \[[^]]*\]\r?\n +)", "", text)


def test_pins_are_put_in_and_every_other_byte_stays():
    cells = {"tank": (0.5, -1.0), "pipe": (1.0, 2.0), "second": (1.33, 0.0), "block": (2.0, 1.0)}
    pinned = with_pins(FLOW, cells)
    assert "pressure: 8 bar, pos: [0.5, -1]}  # a third" in pinned
    assert "{type: tee, pos: [1, 2] ,}" in pinned
    assert "volume: 5 L, pos: [1.33, 0]\n  }" in pinned
    assert "    # before\n    pos: [2, 1]\n    type: reservoir" in pinned
    assert without(pinned) == without(FLOW)


def test_a_pin_that_two_parts_have_is_replaced():
    assert "{like: tank, pos: [3, -2]}" in with_pins(FLOW, {"last": (3.0, -2.0)})


def test_line_ends_and_byte_order_marks_stay():
    text = "\ufeff" + FLOW.replace("\n", "\r\n")
    pinned = with_pins(text, {"block": (2.0, 1.0), "tank": (0.5, -1.0)})
    assert pinned.startswith("\ufeff#")
    assert "pos: [2, 1]\r\n    type" in pinned
    assert pinned.count("\n") == pinned.count("\r\n")


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("layout:\n  a.b: [1, 2]  # c\n\n# d\nx: {}\n", "layout:\n  a.b: [1, 2]  # c\n  a.c: [2, -1]\n\n# d\nx: {}\n"),
        ("layout: {a.b: [1, 2]}\nx: {}\n", "layout: {a.b: [1, 2], a.c: [2, -1]}\nx: {}\n"),
        ("layout:\n    a.c: [1, 2]\n", "layout:\n    a.c: [2, -1]\n"),
        ("layout: {}\nx: {}\n", "layout:\n  a.c: [2, -1]\nx: {}\n"),
        ("x: {}", "x: {}\n\nlayout:\n  a.c: [2, -1]\n"),
    ],
)
def test_a_combination_keeps_what_its_block_held(before, after):
    assert with_pins(before, {"a.c": (2.0, -1.0)}, combination=True) == after


@pytest.fixture
def bare(tmp_path):
    """The shipped circuits without their pins."""
    for path in CIRCUITS.glob("*.yaml"):
        (tmp_path / path.name).write_bytes(without(path.read_bytes().decode("utf-8")).encode("utf-8"))
    return tmp_path


@pytest.mark.parametrize("name", ["one-axle", "semitrailer-2axle", "semitrailer-timing-rig"])
def test_written_pins_give_the_same_picture_and_are_written_once(bare, name, monkeypatch):
    monkeypatch.chdir(bare)
    monkeypatch.setenv("PNEUSIM_CACHE", str(bare / "cache"))
    before = (bare / f"{name}.yaml").read_bytes()
    free = ps.draw(ps.load(f"{name}.yaml"))
    done = CliRunner().invoke(main, ["draw", f"{name}.yaml", "--write"])
    assert done.exit_code == 0
    assert re.search(r"\d+ places stored", done.output)
    after = (bare / f"{name}.yaml").read_bytes()
    assert after != before
    assert without(after.decode("utf-8")) == before.decode("utf-8")
    monkeypatch.setattr("pneusim.show.schematic.arrange.Annealer", None)  # nothing is searched for any more
    assert ps.draw(ps.load(f"{name}.yaml")).svg == free.svg
    assert "0 places stored" in CliRunner().invoke(main, ["draw", f"{name}.yaml", "--write"]).output
    assert (bare / f"{name}.yaml").read_bytes() == after


def test_a_new_part_moves_nothing_else(tmp_path):
    shutil.copy(CIRCUITS / "one-axle.yaml", tmp_path)
    file = tmp_path / "one-axle.yaml"
    CliRunner().invoke(main, ["draw", str(file), "--write", "-o", str(tmp_path / "a.svg")])
    before = ps.draw(ps.load(file)).layout.cells
    text = file.read_text(encoding="utf-8")
    text = text.replace("components:\n", "components:\n  gauge: {type: gauge}\n").replace("low.1]", "low.1, gauge.1]")
    file.write_text(text, encoding="utf-8")
    after = ps.draw(ps.load(file)).layout.cells
    assert {name: after[name] for name in before} == before
    assert set(after) == {*before, "gauge"}


def test_a_pin_counts_before_axle_and_side_and_of_two_the_first():
    circuit = ps.load("one-axle")
    parts = dict(circuit.components)
    for name in ("left", "tank", "relay"):
        parts[name] = replace(parts[name], pos=(0.25, 1.0))
    cells = ps.draw(replace(circuit, components=parts)).layout.cells
    assert [name for name, cell in cells.items() if cell == (0.25, 1.0)] == ["tank"]


def test_a_shipped_circuit_is_not_written_to(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(main, ["draw", "one-axle", "--write"])
    assert done.exit_code == 2
    assert "copy it" in done.output


def test_a_pin_that_is_no_number_is_no_pin():
    circuit = ps.load("tank-and-orifice")
    parts = {name: replace(part, pos=(math.nan, math.inf)) for name, part in circuit.components.items()}
    assert not any(node.pin for node in ps.draw(replace(circuit, components=parts)).layout.sheet.nodes.values())
    none = replace(circuit, components={}, lines={}, joints=())
    assert "</svg>" in ps.draw(none).svg


def test_write_and_unit_exclude_each_other():
    done = CliRunner().invoke(main, ["draw", "tractor-semitrailer", "--unit", "trailer", "--write"])
    assert done.exit_code == 2
    assert "leave out --unit" in done.output
