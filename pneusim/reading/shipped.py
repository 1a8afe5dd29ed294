"""Circuits that come with the package, by name."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from pneusim.errors import UsageError
from pneusim.reading.faults import listed, nearest


def shipped_folder() -> Path | None:
    """Folder of the shipped circuits: inside the installed package, or beside it in a checkout."""
    package = Path(str(resources.files("pneusim")))
    folders = (package / "shipped_circuits", package.parent / "circuits")
    return next((folder for folder in folders if folder.is_dir()), None)


def shipped_circuits() -> dict[str, Path]:
    """Name (``tractor-semitrailer``) to file of every shipped circuit."""
    folder = shipped_folder()
    files = folder.glob("*.yaml") if folder else ()
    return {path.stem: path for path in sorted(files, key=lambda path: path.stem)}


def find_shipped(name: str | Path) -> Path:
    """File of a circuit: the path as given if it exists, else the shipped circuit of that name.

    Raises
    ------
    UsageError
        If there is neither; it names the nearest.

    Examples
    --------
    >>> find_shipped("tank-and-orifice").name
    'tank-and-orifice.yaml'
    """
    path, known = Path(name), shipped_circuits()
    if path.is_file():
        return path
    stem = path.name.removesuffix(".yaml")
    if path.parent == Path(".") and stem in known:
        return known[stem]
    if str(name) and path.is_dir():
        inside = sorted(str(file) for file in path.glob("*.yaml"))
        files = f" such as {listed(inside)}" if inside else ""
        raise UsageError(f"{str(name)!r} is a folder; name a file{files}")
    near = nearest(stem, known)
    hint = f"{near!r} is meant?" if near else f"shipped circuits: {listed(known)}"
    raise UsageError(f"there is no file {str(name)!r} and no shipped circuit of that name; {hint}")
