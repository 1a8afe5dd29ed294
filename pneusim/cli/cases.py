"""How far a study of many cases is: a bar on standard error with the rate and the time left."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from collections.abc import Callable

    from pneusim.studies.study import Progress

INTERRUPTED = 130
"""Exit code after Ctrl-C, as shells have it."""


def in_words(progress: Progress) -> str:
    """``120 of 301 cases, 40 from the store, 1.6 a second, 2 min left``."""
    told = [f"{progress.done} of {progress.total} cases"]
    if progress.stored:
        told.append(f"{progress.stored} from the store")
    if progress.failed:
        told.append(f"{progress.failed} failed")
    if progress.rate > 0.0:
        told.append(f"{progress.rate:.2g} a second")
    if progress.left is not None:
        told.append(f"{_span(progress.left)} left")
    return ", ".join(told)


@contextmanager
def watched(shown: bool) -> Iterator[Callable[[Progress], None]]:
    """Give what is to be told after every case; Ctrl-C says what is kept, and ends with its exit code."""
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn
    from rich.progress import Progress as Bar

    last: list[Progress] = []
    bar = Bar(BarColumn(), TextColumn("{task.description}"), console=Console(stderr=True), transient=True,
              disable=not shown)  # fmt: skip
    task = bar.add_task("", total=None)

    def tell(progress: Progress) -> None:
        last[:] = [progress]
        bar.update(task, total=progress.total, completed=progress.done, description=in_words(progress))

    try:
        with bar:
            yield tell
    except KeyboardInterrupt:
        kept = f"{last[0].done} of {last[0].total} cases are finished and kept" if last else "no case was finished yet"
        click.echo(f"interrupted; {kept}, the same command goes on from there", err=True)
        sys.exit(INTERRUPTED)


def _span(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 100.0 else f"{seconds / 60.0:.0f} min"
