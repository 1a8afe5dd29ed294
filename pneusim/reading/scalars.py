"""Plain scalars by the YAML 1.2 core schema: ``no``, ``on`` and ``12:30`` stay strings, ``1e5`` is a number."""

from __future__ import annotations

import re

_LONGEST_NUMBER = 40
_NULLS = frozenset({"", "~", "null", "Null", "NULL"})
_FLAGS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_INTEGER = re.compile(r"[-+]?(?:0|[1-9][0-9]*)")
_FLOAT = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
_LEADING_ZERO = re.compile(r"[-+]?0[0-9]+")


def resolve(text: str) -> str | int | float | bool | None:
    """Value of a plain (unquoted) scalar.

    ``010`` is 10 in the core schema and 8 in YAML 1.1; it stays a string here, so that it is refused where a number
    is wanted.  Infinity and not-a-number are strings for the same reason.

    Examples
    --------
    >>> [resolve(text) for text in ("no", "12:30", "010", "1e5", "7", "true", "~")]
    ['no', '12:30', '010', 100000.0, 7, True, None]
    """
    if text in _NULLS:
        return None
    if text in _FLAGS:
        return _FLAGS[text]
    if len(text) > _LONGEST_NUMBER or _LEADING_ZERO.fullmatch(text):
        return text
    if _INTEGER.fullmatch(text):
        return int(text)
    return float(text) if _FLOAT.fullmatch(text) else text
