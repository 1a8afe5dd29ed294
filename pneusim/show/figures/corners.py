"""Corners of a band of braking ratios, from a file of the user's."""

from __future__ import annotations

from pathlib import Path

from pneusim.errors import UsageError
from pneusim.quantities import parse

FORM = "pressure, lowest ratio, highest ratio, for example 100 kPa, 4 %, 15 %"
DIMENSIONS = ("pressure", "fraction", "fraction")


def corners(path: Path) -> list[tuple[float, float, float]]:
    """The corners in a file, one a line; empty lines and those that begin with # are left out.

    Raises
    ------
    UsageError
        If the file cannot be read, or a line holds no corner.
    """
    try:
        lines = path.read_text("utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        why = error.strerror if isinstance(error, OSError) else "it is no text"
        raise UsageError(f"{path}: cannot be read ({why}); name a file whose lines hold {FORM}") from None
    told = {k: line.strip() for k, line in enumerate(lines, 1)}
    return [_corner(path, k, line) for k, line in told.items() if line and not line.startswith("#")]


def _corner(path: Path, number: int, line: str) -> tuple[float, float, float]:
    words = line.split(",")
    if len(words) != len(DIMENSIONS):
        raise UsageError(f"{path}, line {number}: found {line!r}; a line holds {FORM}")
    try:
        pressure, low, high = (parse(word.strip(), dimension) for word, dimension in zip(words, DIMENSIONS))
    except ValueError as error:
        raise UsageError(f"{path}, line {number}: {error}; a line holds {FORM}") from None
    return pressure, low, high
