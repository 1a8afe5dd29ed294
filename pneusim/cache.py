"""The folder of what can be computed again, and files in it that are there whole or not at all."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path


def cache_folder() -> Path:
    """Folder of the cache: ``PNEUSIM_CACHE``, else the user's cache folder, else a temporary one."""
    try:
        base = _wanted_folder()
        base.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=base):
            return base
    except (OSError, RuntimeError):  # not writable, or a user without a home
        return _temporary_folder()


def write_whole(path: Path, data: bytes, *, private: bool = True) -> None:
    """Write a file under another name and move it into its place; if that fails, nothing is left.

    Parameters
    ----------
    path : Path
    data : bytes
    private : bool
        Whether this user alone may read it; else those may whom the user lets read new files.

    Raises
    ------
    OSError
        If the file cannot be written.
    """
    handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        if not private:
            os.chmod(name, 0o666 & ~umask())
        os.replace(name, path)
    except BaseException:
        with suppress(OSError):
            os.unlink(name)
        raise


def umask() -> int:
    """What the user takes away from the rights of new files; it can only be read by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def _wanted_folder() -> Path:
    if named := os.environ.get("PNEUSIM_CACHE"):
        return Path(named)
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "pneusim"


def _temporary_folder() -> Path:
    """A folder of this user alone: what lies in it is executed."""
    user = os.getuid() if hasattr(os, "getuid") else None
    folder = Path(tempfile.gettempdir()) / f"pneusim-{'user' if user is None else user}"
    folder.mkdir(mode=0o700, exist_ok=True)
    if user is not None and (folder.stat().st_uid != user or folder.stat().st_mode & 0o022):
        return Path(tempfile.mkdtemp(prefix="pneusim-"))
    return folder
