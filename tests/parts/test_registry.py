"""The registry and the catalogue: what they list, what they refuse, and what they load."""

from __future__ import annotations

import doctest
import subprocess
import sys
from importlib import import_module, resources

import pytest
import yaml

import pneusim.parts
from pneusim.errors import UsageError
from pneusim.parts import catalogue
from pneusim.parts.catalogue import SOURCES, default_of, entry
from pneusim.parts.registry import part, part_types


def leaves(node: dict, path: str):
    if "value" in node:
        yield path, node
        return
    for key, value in node.items():
        assert isinstance(key, str), f"{path}: quote the key {key!r}"
        yield from leaves(value, f"{path}.{key}")


def catalogue_files():
    files = [file for file in resources.files(catalogue).iterdir() if file.name.endswith(".yaml")]
    return [pytest.param(file, id=file.name) for file in files if file.name != "tubes.yaml"]


@pytest.mark.parametrize("file", catalogue_files())
def test_every_entry_has_value_source_and_note_and_nothing_else(file):
    content = yaml.safe_load(file.read_text(encoding="utf-8"))
    for key, node in leaves(content, file.name.removesuffix(".yaml")):
        assert set(node) == {"value", "source", "note"}, key
        assert node["source"] in SOURCES, key
        assert node["note"].strip(), key
        assert entry(key).value == node["value"]


def used_keys() -> set[str]:
    """Keys that the code of the parts names, as text."""
    folder = resources.files(pneusim.parts)
    return {f.name: f.read_text(encoding="utf-8") for f in folder.iterdir() if f.name.endswith(".py")}


@pytest.mark.parametrize("file", catalogue_files())
def test_every_entry_is_used(file):
    section = file.name.removesuffix(".yaml")
    code = "\n".join(used_keys().values())
    for key, _ in leaves(yaml.safe_load(file.read_text(encoding="utf-8")), section):
        first, *rest, last = key.split(".")
        assert f'"{key}"' in code or (rest and f"}}.{last}" in code and f'"{first}.{{' in code), key


def test_an_unknown_key_is_refused():
    for wrong in ("check_valve.colour", "no_such_part.crack", "check_valve.crack.more"):
        with pytest.raises(KeyError):
            entry(wrong)


def test_values_come_in_si():
    assert default_of("check_valve.conductance", "conductance") == pytest.approx(12e-8)
    assert default_of("compressor.temperature", "temperature") == pytest.approx(313.15)
    assert default_of("compressor.speed", "rotation") == pytest.approx(25.0)
    assert default_of("protection_valve.back_flow", "flag") is False


def test_an_unknown_type_is_refused_with_what_there_is():
    with pytest.raises(UsageError, match=r"no part type 'relais_valve'.*relay_valve"):
        part("relais_valve")


def test_a_module_must_hold_its_own_part_once(tmp_path, monkeypatch):
    head = "from pneusim.parts.base import Part\n"
    (tmp_path / "mislabelled.py").write_text(head + "class A(Part):\n    type = 'other'\n")
    (tmp_path / "twofold.py").write_text(
        head + "class A(Part):\n    type = 'twofold'\nclass B(Part):\n    type = 'twofold'\n"
    )
    monkeypatch.setattr(pneusim.parts, "__path__", [*pneusim.parts.__path__, str(tmp_path)])
    part_types.cache_clear()
    try:
        for name in ("mislabelled", "twofold"):
            assert name in part_types()
            with pytest.raises(TypeError, match="must hold one part"):
                part(name)
    finally:
        monkeypatch.undo()
        part_types.cache_clear()
        part.cache_clear()


def test_listing_types_imports_no_part():
    code = (
        "import sys; from pneusim.parts.registry import part_types; part_types();"
        "sys.exit(any(f'pneusim.parts.{t}' in sys.modules for t in part_types()))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_parts_load_neither_numba_nor_scipy():
    code = (
        "import sys; from pneusim.parts.registry import part, part_types; [part(t) for t in part_types()];"
        "sys.exit(any(m in sys.modules for m in ('numba', 'scipy', 'matplotlib', 'pneusim.physics')))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize("module", ["catalogue", "registry", "restriction"])
def test_doctests(module):
    result = doctest.testmod(import_module(f"pneusim.parts.{module}"))
    assert result.attempted > 0
    assert result.failed == 0
