"""YAML as this format reads it, and files that mean harm."""

from __future__ import annotations

import time
import tracemalloc
from pathlib import Path

import pytest
import yaml

from pneusim.errors import InvalidFile
from pneusim.reading import load, load_text, read, syntax
from pneusim.reading.faults import Faults
from pneusim.reading.scalars import resolve
from pneusim.reading.tree import MapNode, Scalar, plain

SOUND = """\
pneusim: 1
components:
  tank:   {type: reservoir, volume: 40 L, pressure: 8 bar}
  vessel: {type: test_volume, volume: 385 cm3}
lines:
  feed: {from: tank.21, to: vessel.1, bore: 9 mm, length: 3 m}
"""


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("no", "no"), ("on", "on"), ("yes", "yes"), ("12:30", "12:30"), ("010", "010"), ("0x1f", "0x1f"),
        ("1_000", "1_000"), ("2026-11-25", "2026-11-25"), ("<<", "<<"), (".inf", ".inf"), (".nan", ".nan"), ("=", "="),
        ("true", True), ("False", False), ("null", None), ("~", None), ("", None),
        ("7", 7), ("-3", -3), ("0", 0), ("1e5", 1e5), ("1.0e5", 1e5), ("+1e-3", 1e-3), (".5", 0.5), ("1.", 1.0),
        ("9" * 41, "9" * 41),
    ],
)  # fmt: skip
def test_plain_scalars_follow_the_core_schema_of_yaml_1_2(text: str, value: object) -> None:
    found = resolve(text)
    assert found == value
    assert type(found) is type(value)


def test_places_count_from_one_and_paths_name_the_way() -> None:
    root = syntax.parse(SOUND, "c.yaml", Faults())
    assert isinstance(root, MapNode)
    components = root.get("components")
    assert isinstance(components, MapNode)
    tank = components.get("tank")
    assert isinstance(tank, MapNode)
    volume = tank.get("volume")
    assert isinstance(volume, Scalar)
    assert (volume.path, str(volume.place), volume.text) == ("components.tank.volume", "c.yaml:3:37", "40 L")
    assert str(components.entries["vessel"].place) == "c.yaml:4:3"


def test_a_quoted_number_is_a_text() -> None:
    root = syntax.parse("a: '1'\nb: \"true\"\nc: 1\n", "c", Faults())
    assert root is not None
    assert plain(root) == {"a": "1", "b": "true", "c": 1}


def test_without_the_c_loader_the_tree_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    with_c = syntax.parse(SOUND, "c", Faults())
    monkeypatch.setattr(syntax, "_LOADER", yaml.SafeLoader)
    assert syntax.parse(SOUND, "c", Faults()) == with_c


def test_a_byte_order_mark_and_windows_line_ends_are_read(tmp_path: Path) -> None:
    file = tmp_path / "c.yaml"
    file.write_bytes(b"\xef\xbb\xbf" + SOUND.replace("\n", "\r\n").encode())
    assert list(load(file).components) == ["tank", "vessel"]


HOSTILE = {
    "laughs": "a: &a [x]\nb: &b [*a, *a, *a]\nc: &c [*b, *b, *b]\n" * 3,
    "deep flow": "[" * 200_000,
    "deep maps": "{a: " * 100_000,
    "deep blocks": "".join(f"{' ' * i}a:\n" for i in range(1000)),
    "deep sequences": "- " * 100_000,
    "wide": "pneusim: 1\nlayout: [" + "1," * 450_000 + "]\n",
    "many keys": "pneusim: 1\n" + "".join(f"k{i}: 1\n" for i in range(90_000)),
    "long scalar": "pneusim: 1\ntitle: " + "x" * 900_000,
    "long number": f"{SOUND}heat: {'9' * 900_000}\n",
    "long key": "? " + "x" * 900_000 + "\n: 1\n",
    "anchors": "pneusim: 1\n" + "".join(f"k{i}: &a{i} 1\n" for i in range(40_000)),
    "repeats": SOUND + "scenarios:\n  s:\n    lasts: 86400 s\n    steps:\n"
    + "      - {at: 0 s, note: n, repeat: 2000, every: 1 s}\n" * 2000,
    "likes": "pneusim: 1\ncomponents:\n  c0: {type: plug}\n"
    + "".join(f"  c{i}: {{like: c{i - 1}}}\n" for i in range(1, 2000)),
    "likes backwards": "pneusim: 1\ncomponents:\n  c0: {type: plug}\n"
    + "".join(f"  c{i}: {{like: c{i - 1}}}\n" for i in range(1999, 0, -1)),
    "components": "pneusim: 1\ncomponents:\n" + "".join(f"  c{i}: {{type: plug}}\n" for i in range(30_000)),
    "misspelt": "pneusim: 1\ncomponents:\n"
    + "".join(f"  c{i}: {{type: reservor, volum{i}: 1 L}}\n" for i in range(2000)),
    "unknown ends": "pneusim: 1\ncomponents:\n" + "".join(f"  tank{i}: {{type: plug}}\n" for i in range(1999))
    + "lines:\n" + "".join(f"  l{i}: {{from: tonk{i}.1, to: tunk{i}.1, length: 1 m}}\n" for i in range(1999)),
    "digits": SOUND.replace("40 L", "4" * 5000 + " L"),
    "regex": SOUND.replace("40 L", "1" * 50_000 + "e"),
    "tags": "a: !!python/object/apply:os.system ['false']\n",
    "percent": "%YAML 1.1\n%TAG ! tag:x,2000:\n---\n" + SOUND,
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_takes_neither_time_nor_memory(name: str, tmp_path: Path) -> None:
    file = tmp_path / "hostile.yaml"
    file.write_text(HOSTILE[name])
    start = time.perf_counter()
    _, faults = read(file)
    assert time.perf_counter() - start < 5.0
    tracemalloc.start()
    read(file)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 100e6
    assert len(faults) <= 51
    if name != "percent":
        assert faults


def test_a_file_of_a_megabyte_and_a_byte_is_refused_before_it_is_parsed(tmp_path: Path) -> None:
    file = tmp_path / "large.yaml"
    file.write_text(SOUND + "#" * syntax.MOST_BYTES)
    _, faults = read(file)
    assert [fault.code for fault in faults] == ["Y07"]


def test_an_endless_file_is_read_up_to_the_limit() -> None:
    _, faults = read("/dev/zero")
    assert [fault.code for fault in faults] == ["Y07"]


def test_text_of_any_kind_never_ends_in_another_error() -> None:
    texts = ["\ud800", "\x00", "a\x85b: c", "{", "}", "&", "*", "!", "%", "---", "...", "? a", "- - -", "a: |\n\tb", ""]
    for text in texts:
        with pytest.raises(InvalidFile):
            load_text(text)
