"""A circuit is routed once, for this process and the next ones."""

from dataclasses import replace

import pytest

from pneusim.errors import Place
from pneusim.reading import load
from pneusim.show.schematic import cache
from pneusim.show.schematic.sheet import Sheet, sheet


@pytest.fixture
def shown(tmp_path, monkeypatch) -> Sheet:
    """A sheet, with an empty cache folder."""
    monkeypatch.setenv("PNEUSIM_CACHE", str(tmp_path))
    return sheet(load("one-axle"))


@pytest.fixture
def routed(monkeypatch):
    """The sheets that were routed."""
    seen = []
    honest = cache.lay_out
    monkeypatch.setattr(cache, "lay_out", lambda shown: seen.append(shown) or honest(shown))
    return seen


def test_a_circuit_is_routed_once_wherever_its_file_lies(shown, routed):
    first = cache.laid_out(shown)
    assert cache.laid_out(shown) == first
    elsewhere = replace(shown, nets=tuple(replace(net, place=Place("other.yaml", 1, 1)) for net in shown.nets))
    found = cache.laid_out(elsewhere)
    assert found.sheet == elsewhere
    assert replace(found, sheet=shown) == first
    assert len(routed) == 1


def test_what_was_kept_of_another_program_or_is_damaged_is_not_taken(shown, routed, monkeypatch, tmp_path):
    cache.laid_out(shown)
    (kept,) = tmp_path.iterdir()
    for content in (b"", b"\x80\x04", b"cposix\nnothing\n.", b"I1\n."):
        kept.write_bytes(content)
        assert cache.laid_out(shown).sheet == shown
    assert len(routed) == 5
    monkeypatch.setattr(cache, "_program", lambda: "another")
    cache.laid_out(shown)
    assert len(routed) == 6


def test_a_folder_that_cannot_be_written_is_no_fault(shown, monkeypatch, tmp_path):
    monkeypatch.setattr(cache, "_file", lambda _: tmp_path / "gone" / "layout.pickle")
    assert cache.laid_out(shown).sheet == shown
