"""Writes what was asked for into a file."""

from __future__ import annotations

from pathlib import Path

from pneusim.errors import UsageError


def written(path: Path, data: bytes) -> Path:
    """Write a file and return its path.

    Raises
    ------
    UsageError
        If it cannot be written.
    """
    try:
        path.write_bytes(data)
    except OSError as error:
        raise UsageError(f"{path}: cannot be written ({error.strerror}); name another file with -o") from None
    return path
