"""The table of a page: every part and line with its channels, the text beside the drawing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from pneusim.circuit.circuit import Component, Line
from pneusim.parts.registry import part
from pneusim.results.run import Run


def rows(run: Run, names: Iterable[str]) -> list[dict[str, Any]]:
    """One row for every part, then for every line, that has a channel among those named."""
    owned: dict[str, list[str]] = {}
    for name in names:
        owned.setdefault(name.rpartition(".")[0], []).append(name)
    circuit = run.circuit
    shown: list[tuple[Component | Line, str, str]] = []
    shown += [(c, part(c.type).title.lower(), f"c-{c.name}") for c in circuit.components.values()]
    shown += [(line, "line", f"l-{line.name}") for line in circuit.lines.values()]
    return [_row(run, *one, owned[one[0].name]) for one in shown if one[0].name in owned]


def _row(run: Run, owner: Component | Line, kind: str, element: str, channels: list[str]) -> dict[str, Any]:
    title = run.circuit.title_of(owner)
    return {
        "component": owner.name,
        "title": title,
        "kind": kind,
        "unit": owner.unit or None,
        "element": element,
        "cells": [{"channel": name, "words": run[name].label.removeprefix(f"{title}: ")} for name in channels],
    }
