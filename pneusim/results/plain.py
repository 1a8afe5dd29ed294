"""Plain data as the bytes of files: JSON and CSV, the same data the same bytes."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterable, Sequence
from typing import Any


def as_json(content: Any) -> bytes:
    """Plain data as indented text.

    Examples
    --------
    >>> as_json({"a": None})
    b'{\\n  "a": null\\n}\\n'
    """
    return (json.dumps(content, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()


def as_csv(head: Sequence[str], rows: Iterable[Iterable[Any]]) -> bytes:
    """A table: numbers with all their digits, yes and no, and nothing where there is no value.

    Examples
    --------
    >>> as_csv(("a", "b", "c"), [(0.1, None, True)])
    b'a,b,c\\n0.1,,yes\\n'
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(head)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return text.getvalue().encode()


def finite(value: float | None) -> float | None:
    """A number of Python's; None for what JSON has no number for."""
    return float(value) if value is not None and math.isfinite(value) else None


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return repr(float(value)) if isinstance(value, float) else str(value)
