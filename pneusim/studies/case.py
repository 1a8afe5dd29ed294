"""A case of a study, and the key under which its outcome is stored."""

from __future__ import annotations

import dataclasses
import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Any

import numpy as np

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.engine.methods import RTOL
from pneusim.parts.registry import part

_TOLD_ONLY = frozenset({
    "place", "pos", "layout", "scenarios", "variants", "source", "about",
    "Circuit.name", "Circuit.title", "Scenario.name", "Scenario.title",
})  # fmt: skip
"""Fields that no outcome depends on."""

_LAWS = (
    "circuit", "parts", "physics", "engine", "control", "simulate", "results", "reading", "lints", "studies",
    "quantities.py",
)  # fmt: skip
"""What an outcome depends on beside the case, in the package."""


@dataclass(frozen=True)
class Case:
    """One run of a study.

    Attributes
    ----------
    name : str
        What the study calls it; not part of the key.
    circuit : Circuit
        Resolved: variants and changes are in it.
    scenario : Scenario
    rtol : float
        Relative tolerance of the run.
    asks : str
        What the judge wants of the run beyond what the scenario says; part of the key.
    """

    name: str
    circuit: Circuit
    scenario: Scenario
    rtol: float = RTOL
    asks: str = ""


def key(case: Case) -> str:
    """Hash of everything that the outcome of a case depends on: 64 hexadecimal digits.

    That is the resolved circuit, the scenario, the tolerance, what is asked, and every law and default of this version.
    Names of files, places in them, titles of circuit and scenario and the drawing are not in it.
    """
    types = {component.type for component in case.circuit.components.values()}
    homes = {part(name).__module__.rpartition(".")[0] for name in types}
    digest = hashlib.sha256(laws(tuple(sorted(homes - {"pneusim.parts"}))).encode())
    digest.update(canonical((case.circuit, case.scenario, case.rtol, case.asks)).encode())
    return digest.hexdigest()


def canonical(value: Any) -> str:
    """Plain data as one text: equal data, equal text; the order of components, lines and steps counts."""
    return json.dumps(_plain(value), ensure_ascii=True, sort_keys=True, separators=(",", ":"))


def _plain(value: Any) -> Any:
    if dataclasses.is_dataclass(value):
        kind, names = type(value).__name__, [field.name for field in dataclasses.fields(value)]
        kept = [name for name in names if name not in _TOLD_ONLY and f"{kind}.{name}" not in _TOLD_ONLY]
        plain: dict[str, Any] = {name: _plain(getattr(value, name)) for name in kept}
        if isinstance(value, Circuit):  # they are lowered in this order
            plain["order"] = [*value.components, *value.lines]
        return plain
    if isinstance(value, Mapping):
        return {str(name): _plain(item) for name, item in value.items()}
    if isinstance(value, list | tuple | np.ndarray):
        return [_plain(item) for item in value]
    if value is None or isinstance(value, bool | str):
        return value
    return float(value)


@cache
def laws(foreign: tuple[str, ...] = ()) -> str:
    """Hash of the version, of the sources of all laws and of all defaults; ``foreign`` are packages of added parts."""
    from pneusim import __version__

    digest = hashlib.sha256(str(__version__).encode())
    package = resources.files("pneusim")
    roots = [package.joinpath(name) for name in _LAWS]
    roots += [resources.files(name) for name in foreign]
    for root in roots:
        for file in _files(root):
            digest.update(file.name.encode() + b"\0" + hashlib.sha256(file.read_bytes()).digest())
    return digest.hexdigest()


def _files(root: Traversable) -> Iterator[Traversable]:
    """Sources and data below a folder, by name."""
    if root.is_file():
        yield root
        return
    for item in sorted(root.iterdir(), key=lambda item: item.name):
        if item.is_dir() or item.name.endswith((".py", ".yaml")):
            yield from _files(item)
