"""Standard sizes and all default values, each with its source word.

One YAML file per section maps keys to ``{value, source, note}``; ``value`` is a number (SI or dimensionless),
a word, a flag, or text with a unit as in circuit files.  The key ``chamber.30.stroke`` is the entry
``30.stroke`` of ``chamber.yaml``; a file is read when one of its keys is first asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from typing import Any

import yaml

from pneusim.quantities import parse

SOURCES = {
    "seen": "read in the text of the source named",
    "recomputed": "a published answer, recomputed from its published input",
    "closed_form": "computed by formula from other figures",
    "memory": "from memory of published or typical values, to be read against the official text",
    "assumption": "chosen so that the vehicle behaves plausibly; replace it by your own figure",
    "numerical": "chosen for the numerics; it does not change the answer noticeably",
}

FOLDERS: list[Traversable] = [resources.files(__package__)]
"""Where the files are looked for: ours, then those of packages of parts that were added."""

_WORDS = ("word", "flag", "name", "number")


@dataclass(frozen=True)
class Entry:
    """One default: its value as written, its source word (a key of ``SOURCES``) and a note."""

    value: float | bool | str
    source: str
    note: str


@cache
def section(name: str) -> dict[str, Any]:
    """Content of one catalogue file as nested dictionaries.

    Raises
    ------
    KeyError
        If there is no such file.
    """
    files = [file for folder in FOLDERS if (file := folder.joinpath(f"{name}.yaml")).is_file()]
    if not files:
        raise KeyError(f"the catalogue has no section {name!r}")
    text = files[0].read_text(encoding="utf-8")
    content: dict[str, Any] = yaml.load(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return content


def entry(key: str) -> Entry:
    """Entry of the catalogue, e.g. ``entry("check_valve.crack")``.

    Raises
    ------
    KeyError
        If the catalogue has no such entry.

    Examples
    --------
    >>> entry("check_valve.crack").value
    '3 kPa'
    """
    name, *path = key.split(".")
    node: Any = section(name)
    for step in path:
        if step not in node:
            raise KeyError(f"the catalogue has no entry {key!r}")
        node = node[step]
    return Entry(node["value"], node["source"], node["note"])


@cache
def default_of(key: str, dimension: str = "number") -> Any:
    """Value of an entry in SI (a number), or as it stands for words, flags and plain numbers.

    Examples
    --------
    >>> default_of("check_valve.crack", "pressure")
    3000.0
    """
    value = entry(key).value
    if dimension in _WORDS or not isinstance(value, str):
        return value
    return parse(value, dimension)
