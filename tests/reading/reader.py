"""Reads a fixture file the way its last line asks for.

``# limits: NAME=n`` lowers a limit, ``# as: text`` reads it as text, ``# parts: bench_part`` adds a part type.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from pneusim.errors import InvalidFile
from pneusim.parts.base import Part, PortSpec, parameter
from pneusim.parts.registry import part, part_types
from pneusim.reading import circuit_file, components, documents, lines, scenarios, steps, syntax

FOLDER = Path(__file__).parent / "fixtures"
_LIMITED = (syntax, documents, components, lines, scenarios, steps)


class BenchPart(Part):
    """A part with a whole number, which no part of the trade has."""

    type = "bench_part"
    title = "Bench part"
    ports = (PortSpec("1", "port"),)

    count: int = parameter("number", doc="A whole number.")


def faults_in_words(path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """All faults of a fixture as a user sees them."""
    monkeypatch.chdir(FOLDER)
    directives = _directives(path)
    for limit in directives.get("limits", "").split():
        name, value = limit.split("=")
        module = next(module for module in _LIMITED if hasattr(module, name))
        monkeypatch.setattr(module, name, int(value))
    if "parts" in directives:
        monkeypatch.setattr(components, "part_types", lambda: (*part_types(), "bench_part"))
        monkeypatch.setattr(components, "part", lambda name: BenchPart if name == "bench_part" else part(name))
    if directives.get("as") == "text":
        with pytest.raises(InvalidFile) as caught:
            circuit_file.load_text(path.read_text(), path.name)
        return f"{caught.value}\n"
    _, faults = circuit_file.read(path.name)
    return "".join(f"{fault}\n" for fault in faults)


def _directives(path: Path) -> dict[str, str]:
    if not path.is_file():
        return {}
    last = path.read_bytes().decode("utf-8", "replace").rstrip().rsplit("\n", 1)[-1]
    if not last.startswith("# ") or ":" not in last:
        return {}
    name, value = last[2:].split(":", 1)
    return {name: value.strip()}
