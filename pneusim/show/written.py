"""Writes what was asked for into a file."""

from __future__ import annotations

from pathlib import Path

from pneusim.errors import UsageError


class NotWritten(UsageError):
    """A file cannot be written; ``why`` has the words of the operating system."""

    def __init__(self, path: Path, why: str) -> None:
        super().__init__(f"{path}: cannot be written ({why}); name another file")
        self.why = why


def written(path: Path, data: bytes) -> Path:
    """Write a file and return its path.

    Raises
    ------
    NotWritten
        If it cannot be written.
    """
    try:
        path.write_bytes(data)
    except OSError as error:
        raise NotWritten(path, str(error.strerror)) from None
    return path
