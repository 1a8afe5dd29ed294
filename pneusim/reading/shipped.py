"""Circuits that come with the package, by name."""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from pneusim.errors import UsageError
from pneusim.reading.faults import listed, nearest

LESSONS = "lessons"
"""Folder of the shipped circuits that are lessons, and what stands before their names."""


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


def shipped_lessons() -> dict[str, Path]:
    """Name (``lessons/separation``) to file of every shipped lesson."""
    folder = shipped_folder()
    files = (folder / LESSONS).glob("*.yaml") if folder else ()
    return {f"{LESSONS}/{path.stem}": path for path in sorted(files, key=lambda path: path.stem)}


def shipped_file(name: str) -> Path | None:
    """File of the shipped circuit or lesson of a name, with or without ``.yaml``; None if there is none."""
    return (shipped_circuits() | shipped_lessons()).get(name.removesuffix(".yaml"))


def find_shipped(name: str | Path) -> Path:
    """File of a circuit: the path as given if it exists, else the shipped circuit or lesson of that name.

    Raises
    ------
    UsageError
        If there is neither; it names the nearest.

    Examples
    --------
    >>> find_shipped("tank-and-orifice").name
    'tank-and-orifice.yaml'
    """
    path = Path(name)
    if path.is_file():
        return path
    if shipped := shipped_file(str(name)):
        return shipped
    if str(name) and path.is_dir():
        inside = sorted(str(file) for file in path.glob("*.yaml"))
        files = f" such as {listed(inside)}" if inside else ""
        raise UsageError(f"{str(name)!r} is a folder; name a file{files}")
    raise UsageError(f"there is no file {str(name)!r} and no shipped circuit of that name; {_hint(str(name))}")


def _hint(name: str) -> str:
    """The nearest name, or all that there are; a lesson may be named without its folder."""
    stem = Path(name).name.removesuffix(".yaml")
    lessons = {Path(lesson).name: lesson for lesson in shipped_lessons()}
    near = nearest(stem, [*shipped_circuits(), *lessons])
    if near:
        return f"{lessons.get(near, near)!r} is meant?"
    return f"shipped circuits: {listed(shipped_circuits(), 40)}; lessons: {listed(lessons.values(), 40)}"
