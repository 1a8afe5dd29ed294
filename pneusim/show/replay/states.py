"""States in words: what a share of a part means, open or shut, released or applied, and what it is a share of."""

from __future__ import annotations

import re
from typing import Any

from pneusim.parts.base import ChannelSpec, Part

OPENS = ("shut", "open")

_ENDS = {
    "closed": ("open", "closed"),
    "loaded": ("unloaded", "loaded"),
    "mode": ("unloaded", "loaded"),
    "caged": ("free", "caged"),
    "travel": ("released", "applied"),
    "position": ("venting", "feeding"),
    "draw": OPENS,
    "throttle": OPENS,
}
"""States at 0 and at 1, by channel."""

_SUBJECTS = {
    "1 = the compressor is loaded": "compressor",
    "whether the governor has it loaded": "by the governor",
    "whether the engine drives it": "drive by the engine",
    "share of the passage that is free": "passage",
}
"""What a channel is of, where its words say neither that nor how to find it."""


def states(kind: type[Part], spec: ChannelSpec) -> dict[str, Any]:
    """How a page tells a share, beside its number: nothing for what is a number by nature.

    Returns
    -------
    dict
        ``states``, pairs of a value and the word for it, and ``between``, the word for a share of the way to 1.
    """
    found = _states(kind, spec)
    if not found:
        return {}
    own = dict(found)
    return {"states": [list(pair) for pair in found], "between": own[1.0] if sorted(own) == [0.0, 1.0] else ""}


def _states(kind: type[Part], spec: ChannelSpec) -> list[tuple[float, str]]:
    if spec.dimension != "fraction":
        return []
    choices = next((one.choices for one in kind.inputs if one.name == spec.name), None)
    told = [(float(value), word) for value, word in re.findall(r"(-?[\d.]+) = ([^,]+)", spec.words)]
    if spec.name == "caged" or not (choices or len(told) > 1):
        ends = _ENDS.get(spec.name, OPENS if "opening" in spec.name else ())
        return list(zip((0.0, 1.0), ends, strict=False))
    return sorted((value, word) for word, value in choices.items()) if choices else sorted(told)


def subject(spec: ChannelSpec) -> str:
    """What a channel is of, without the key to its numbers.

    Examples
    --------
    >>> subject(ChannelSpec("knob", "fraction", "position of the knob, 1 = in"))
    'position of the knob'
    >>> subject(ChannelSpec("cock", "fraction", "how far the cock is open"))
    'cock'
    """
    found = _SUBJECTS.get(spec.words, spec.words)
    if found[0].isdigit():
        return spec.name.replace("_", " ")
    found = re.sub(r"[:,] -?\d.*", "", found)
    return re.sub(r"(?:how far|whether) (?:the |its )?(.+) (?:is|are) \w+", r"\1", found)
