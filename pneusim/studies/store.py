"""Outcomes on disk: one file a case, under its key."""

from __future__ import annotations

import os
import time
from contextlib import suppress
from pathlib import Path

from pneusim.cache import write_whole
from pneusim.errors import UsageError
from pneusim.results.store import check_writable
from pneusim.studies.outcome import Outcome

_ABANDONED = 60.0
"""A temporary file of this age belongs to a study that was killed [s]."""


class Store:
    """A folder of outcomes; each is written under a temporary name and renamed, so that none is ever half there.

    Raises
    ------
    UsageError
        If nothing can be written into the folder.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = Path(folder)
        check_writable(self.folder)
        for left in self.folder.glob(".*.part"):
            with suppress(OSError):  # another study may clear up at the same time, or have written it
                if time.time() - left.stat().st_mtime > _ABANDONED:
                    left.unlink()

    def get(self, key: str) -> Outcome | None:
        """The outcome under a key; None if there is none that can be read."""
        try:
            found = Outcome.from_bytes(self._file(key).read_bytes())
        except (OSError, ValueError):
            return None
        return found if found.key == key else None

    def put(self, outcome: Outcome) -> None:
        """Keep an outcome.

        Raises
        ------
        UsageError
            If it cannot be written, for example because the disk is full.
        """
        try:
            write_whole(self._file(outcome.key), outcome.to_bytes(), private=False)
        except OSError as error:
            raise UsageError(
                f"{self.folder}: a case cannot be stored there ({error.strerror or error}); what is finished is kept: "
                f"make room or name another folder, and start the study again"
            ) from None

    def keys(self) -> set[str]:
        """Keys of all outcomes."""
        with os.scandir(self.folder) as entries:
            return {e.name.removesuffix(".json") for e in entries if e.name.endswith(".json")}

    def _file(self, key: str) -> Path:
        return self.folder / f"{key}.json"
