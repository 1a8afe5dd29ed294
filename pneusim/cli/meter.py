"""A progress bar for runs that take longer than two seconds."""

from __future__ import annotations

import time
from types import TracebackType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID

PATIENCE = 2.0
"""How long a run takes before a bar appears [s]."""


class Meter:
    """Shows how far a run is, on standard error.

    Parameters
    ----------
    name : str
        What is running.
    shown : bool
        False for no bar at all.
    """

    def __init__(self, name: str, shown: bool) -> None:
        self._name, self._shown = name, shown
        self._begin = time.monotonic()
        self._bar: Progress | None = None
        self._task: TaskID | None = None

    def told(self, share: float) -> None:
        """Take note of the share done, 0..1."""
        if self._bar is None and self._shown and time.monotonic() - self._begin > PATIENCE:
            self._bar = _started_bar()
            self._task = self._bar.add_task(self._name, total=1.0)
        if self._bar is not None and self._task is not None:
            self._bar.update(self._task, completed=share)

    def __enter__(self) -> Meter:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, where: TracebackType | None
    ) -> None:
        if self._bar is not None:
            self._bar.stop()


def _started_bar() -> Progress:
    from rich.console import Console
    from rich.progress import Progress

    bar = Progress(console=Console(stderr=True), transient=True)
    bar.start()
    return bar
