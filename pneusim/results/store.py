"""The folder of a scenario's result.

The files are written under a temporary name and moved into place, so that an earlier result is replaced whole or not
at all; a failed run goes beside it.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from pneusim.cache import umask, write_whole
from pneusim.errors import UsageError
from pneusim.results.files import files
from pneusim.results.run import Run


def folder_name(scenario: str, variant: str | None = None) -> str:
    """Name of a result's folder: the scenario's, with ``+variant`` for a variant."""
    return f"{scenario}+{variant}" if variant else scenario


def store(run: Run, into: Path, draw: Callable[[Run, Path], object] | None = None) -> Path:
    """Write the result of a run into its folder below ``into``, and return the folder.

    Parameters
    ----------
    run : Run
        Finished; one with status "failed" goes to ``<scenario>.failed`` and leaves an earlier result alone.
    into : Path
        Made if it does not exist.
    draw : callable, optional
        Gets the run and the folder, and adds pictures.

    Raises
    ------
    UsageError
        If the folder cannot be written.
    """
    check_writable(into)
    name = folder_name(run.scenario.name, run.variant)
    final = into / (name if run.status == "ok" else f"{name}.failed")
    work = Path(tempfile.mkdtemp(prefix=f".{name}.", dir=into))
    try:
        work.chmod(0o777 & ~umask())
        for file, content in files(run).items():
            (work / file).write_bytes(content)
        if draw is not None:
            draw(run, work)
        _move(work, final)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    if run.status == "ok":
        shutil.rmtree(into / f"{name}.failed", ignore_errors=True)
    return final


def check_writable(folder: Path) -> None:
    """Make the folder if need be; raise a UsageError if nothing can be written there."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except (FileExistsError, NotADirectoryError):
        raise UsageError(f"{folder}: cannot hold results, because a file is in the way; name another folder") from None
    except OSError as error:
        raise UsageError(f"{folder}: results cannot be written there ({error.strerror}); name another folder") from None


def write_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files into a folder, which is made if need be.

    Raises
    ------
    UsageError
        If one cannot be written; an earlier one of its name is then as it was.
    """
    check_writable(folder)
    for name, content in files.items():
        try:
            write_whole(folder / name, content, private=False)
        except OSError as error:
            why = error.strerror or str(error)
            raise UsageError(f"{folder / name}: cannot be written ({why}); make room and try again") from None


def _move(work: Path, final: Path) -> None:
    """Put ``work`` in the place of ``final``; the earlier one comes back if that fails."""
    if not final.exists():
        work.rename(final)
        return
    aside = Path(tempfile.mkdtemp(prefix=f".{final.name}.earlier.", dir=final.parent))
    try:
        final.rename(aside / "it")
        work.rename(final)
    except BaseException:
        if not final.exists():
            (aside / "it").rename(final)
        shutil.rmtree(aside, ignore_errors=True)
        raise
    shutil.rmtree(aside, ignore_errors=True)
