"""Files on disk to documents: size, encoding, the version key, and files that other files name."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from pneusim.errors import Place
from pneusim.reading import syntax
from pneusim.reading.faults import Faults, listed, nearest
from pneusim.reading.fields import Fields
from pneusim.reading.shipped import shipped_circuits
from pneusim.reading.tree import MapNode, Scalar

VERSION = 1
MOST_FILES = 50  #: files that one circuit may consist of
MOST_DEPTH = 5  #: how deep files may name files


@dataclass(frozen=True)
class Document:
    """A file that has been read: its tree, its name as the user knows it, and where it lies (None = text only)."""

    root: MapNode
    file: str
    path: Path | None


class Library:
    """Opens files; keeps count of them and the confines of what a file may name."""

    def __init__(self, faults: Faults) -> None:
        self.faults = faults
        self._opened = 0

    def open(self, path: Path) -> Document | None:
        """The file that the user names.

        Returns
        -------
        Document or None
            None if it cannot be read; the reason is reported.
        """
        return self._read(path, str(path), Place(str(path), 1, 1), "file")

    def text(self, text: str, name: str) -> Document | None:
        """A document from text."""
        root = syntax.parse(text, name, self.faults)
        return Document(root, name, None) if root else None

    def include(self, name: Scalar, source: Document, chain: Collection[Path]) -> Document | None:
        """A file that another file names: one in that file's folder or below, or a shipped circuit by its name.

        ``chain`` holds the files that lead here, the outermost first.
        """
        if source.path is None:
            self._refuse("F01", name, "a circuit given as text cannot name files", "write the circuit to a file")
            return None
        target = self._confined(name, source.path)
        if target is None:
            return None
        resolved = target.resolve()
        if resolved in chain:
            self._refuse("F04", name, f"{name.text!r} leads back to itself", "name another file")
            return None
        self._opened += 1
        if len(chain) > MOST_DEPTH or self._opened > MOST_FILES:
            limit = f"at most {MOST_DEPTH} levels deep and {MOST_FILES} in all"
            self._refuse("F05", name, f"too many files name files ({limit})", "put more into one file")
            return None
        shipped = target.name != Path(name.text).name
        shown = str(target if shipped else Path(source.file).parent / name.text)
        return self._read(target, shown, name.place, name.path)

    def _confined(self, name: Scalar, source: Path) -> Path | None:
        folder = source.resolve().parent
        wanted = Path(name.text)
        outside = wanted.is_absolute() or wanted.drive or ".." in wanted.parts or "\\" in name.text
        if outside or not (folder / wanted).resolve().is_relative_to(folder):
            problem = f"{name.text!r} lies outside the folder of this file"
            self._refuse("F02", name, problem, "put the file into this folder or below, and name it from here")
            return None
        target = folder / wanted
        if target.is_file():
            return target
        if name.text in shipped_circuits():
            return shipped_circuits()[name.text]
        known = sorted(path.relative_to(folder).as_posix() for path in target.parent.glob("*.yaml"))
        near = nearest(name.text, known)
        fix = f"write {near!r}" if near else f"name one of {listed(known)}" if known else "create the file"
        self._refuse("F03", name, f"there is no file {name.text!r} here", fix)
        return None

    def _read(self, path: Path, shown: str, place: Place, where: str) -> Document | None:
        try:
            with path.open("rb") as stream:
                data = stream.read(syntax.MOST_BYTES + 1)
            text = data.decode("utf-8")
        except OSError as error:
            problem = f"the file cannot be opened: {(error.strerror or 'unknown reason').lower()}"
            self.faults.report("F06", place, where, problem, "name a file that exists and may be read")
            return None
        except UnicodeDecodeError as error:
            if len(data) <= syntax.MOST_BYTES:
                line = data[: error.start].count(b"\n") + 1
                column = error.start - data.rfind(b"\n", 0, error.start)
                problem = f"byte {data[error.start]:#04x} is not UTF-8"
                self.faults.source(shown, data.decode("utf-8", "replace"))
                self.faults.report("Y14", Place(shown, line, column), "file", problem, "save the file as UTF-8")
                return None
            text = data.decode("utf-8", "replace")
        root = syntax.parse(text, shown, self.faults)
        return Document(root, shown, path) if root else None

    def _refuse(self, code: str, name: Scalar, problem: str, fix: str) -> None:
        self.faults.report(code, name.place, name.path, problem, fix)


def check_version(fields: Fields) -> None:
    """Report a first key that is not ``pneusim: 1``."""
    node = fields.node
    first = next(iter(node), None)
    if "pneusim" not in fields:
        fields.faults.report(
            "S02", node.place, "file", "the key 'pneusim' is missing", f"write 'pneusim: {VERSION}' as the first line"
        )
        return
    version = node.get("pneusim")
    if not isinstance(version, Scalar) or version.value != VERSION or isinstance(version.value, bool):
        seen = repr(version.text) if isinstance(version, Scalar) else "no number"
        fields.report(
            "S03",
            "pneusim",
            f"the version of the format is {seen}; this program reads {VERSION}",
            f"write 'pneusim: {VERSION}'",
        )
    elif first is not None and first.key != "pneusim":
        fields.faults.report(
            "S04",
            node.entries["pneusim"].place,
            "pneusim",
            "'pneusim' is not the first key",
            "move 'pneusim: 1' to the top of the file",
        )
