"""A circuit is routed once, in this process and for the next ones."""

import pytest

from pneusim.circuit.circuit import Circuit
from pneusim.reading import load
from pneusim.show.replay import drawings
from pneusim.show.schematic.sheet import sheet


@pytest.fixture
def circuit(tmp_path, monkeypatch) -> Circuit:
    """A circuit, with nothing remembered and an empty cache folder."""
    monkeypatch.setenv("PNEUSIM_CACHE", str(tmp_path))
    monkeypatch.setattr(drawings, "_layouts", [])
    return load("one-axle")


@pytest.fixture
def routed(monkeypatch):
    """The circuits that were routed."""
    seen = []
    honest = drawings.draw
    monkeypatch.setattr(drawings, "draw", lambda circuit: seen.append(circuit.name) or honest(circuit))
    return seen


def test_a_circuit_is_routed_once(circuit, routed):
    first = drawings.laid_out(circuit)
    assert drawings.laid_out(load("one-axle")) is first
    assert len(routed) == 1


def test_the_next_process_finds_it(circuit, routed, monkeypatch):
    first = drawings.laid_out(circuit)
    monkeypatch.setattr(drawings, "_layouts", [])
    assert drawings.laid_out(circuit) == first
    assert len(routed) == 1


def test_what_was_kept_of_another_program_or_is_damaged_is_not_taken(circuit, routed, monkeypatch, tmp_path):
    drawings.laid_out(circuit)
    (kept,) = tmp_path.glob("layout_*.pickle")
    for content in (b"", b"\x80\x04", b"cposix\nnothing\n.", b"I1\n."):
        kept.write_bytes(content)
        monkeypatch.setattr(drawings, "_layouts", [])
        assert drawings.laid_out(circuit).sheet == sheet(circuit)
    assert len(routed) == 5
    monkeypatch.setattr(drawings, "_layouts", [])
    monkeypatch.setattr(drawings, "program", lambda: "another")
    drawings.laid_out(circuit)
    assert len(routed) == 6


def test_a_folder_that_cannot_be_written_is_no_fault(circuit, monkeypatch, tmp_path):
    monkeypatch.setattr(drawings, "_file", lambda _: tmp_path / "gone" / "layout.pickle")
    assert drawings.laid_out(circuit).sheet == sheet(circuit)


def test_few_layouts_are_remembered(circuit):
    for name in ("one-axle", "tank-and-orifice", "converter-dolly", "semitrailer-relay-emergency", "full-trailer"):
        drawings.laid_out(load(name))
    assert len(drawings._layouts) == drawings.KEPT
