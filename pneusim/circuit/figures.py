"""Figures of the road that nobody need give: each with its source word and a note, in the files beside this one.

The source words are those of the parts' catalogue: memory, assumption and so on.
"""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import Any

import yaml

from pneusim.quantities import parse


@cache
def file(name: str) -> dict[str, Any]:
    """Content of ``motion`` or ``surfaces`` as nested dictionaries."""
    text = resources.files(__package__).joinpath(f"{name}.yaml").read_text(encoding="utf-8")
    content: dict[str, Any] = yaml.load(text, getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    return content


def usual(key: str, dimension: str = "number") -> float:
    """SI value of what counts where a file says nothing.

    Examples
    --------
    >>> usual("tyre.relaxation", "length"), usual("wheel_inertia.steer", "inertia")
    (0.3, 7.0)
    """
    node: Any = file("motion")
    for step in key.split("."):
        node = node[step]
    return parse(str(node["value"]), dimension)
