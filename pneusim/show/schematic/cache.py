"""Keeps layouts: searching for places and routing a road train take seconds, and its scenarios share one drawing."""

from __future__ import annotations

import hashlib
import pickle
from contextlib import suppress
from dataclasses import replace
from functools import cache
from pathlib import Path

from pneusim.cache import cache_folder, write_whole
from pneusim.circuit.circuit import NOWHERE
from pneusim.show.schematic.layout import Layout, lay_out
from pneusim.show.schematic.sheet import Sheet


def laid_out(shown: Sheet) -> Layout:
    """The layout of a sheet, from the cache folder if it was made before.

    Raises
    ------
    UsageError
        If a line cannot be drawn.
    """
    plain = replace(shown, nets=tuple(replace(net, place=NOWHERE) for net in shown.nets))
    path = _file(plain)
    layout = _found(path, plain)
    if layout is None:
        layout = lay_out(shown)
        with suppress(OSError):  # a folder that cannot be written to is no fault
            write_whole(path, pickle.dumps(replace(layout, sheet=plain)))
    return replace(layout, sheet=shown)


def _found(path: Path, plain: Sheet) -> Layout | None:
    """A layout kept earlier, None if there is none or it cannot be read."""
    try:
        layout = pickle.loads(path.read_bytes())
    except (OSError, ValueError, TypeError, AttributeError, ImportError, LookupError, EOFError, pickle.PickleError):
        return None
    return layout if isinstance(layout, Layout) and layout.sheet == plain else None


def _file(plain: Sheet) -> Path:
    name = hashlib.sha256(f"{_program()} {plain!r}".encode()).hexdigest()[:32]
    return cache_folder() / f"layout_{name}.pickle"


@cache
def _program() -> str:
    """Hash of this package: another program may make other layouts."""
    files = sorted(Path(__file__).parent.rglob("*.py"))
    return hashlib.sha256(b"".join(file.read_bytes() for file in files)).hexdigest()
