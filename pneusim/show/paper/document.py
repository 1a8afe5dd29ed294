"""A finished paper, a report or a handout, and how it is written."""

from __future__ import annotations

from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from typing import Any, Literal

from pneusim.errors import UsageError
from pneusim.show import html
from pneusim.show.paper.inline import STYLE_PLACE
from pneusim.show.written import written

Kind = Literal["report", "handout"]

FORMATS = (".html", ".pdf")


@dataclass(frozen=True, repr=False)
class Document:
    """A finished paper.

    Attributes
    ----------
    kind : {"report", "handout"}
    title : str
    body : str
        HTML of the pages, without scripts and styles.
    style : str
        Style sheet of the pages.
    pictures : str
        Style sheet of the schematics.
    """

    kind: Kind
    title: str
    body: str = field(repr=False)
    style: str = field(repr=False)
    pictures: str = field(repr=False)

    def __repr__(self) -> str:
        """Tell what it is and how large."""
        return f"<{self.kind} {self.title!r}: {len(self.html) // 1000} kB of HTML>"

    @property
    def html(self) -> str:
        """The paper as one HTML file that loads nothing and runs nothing."""
        return html.document(self.title, self.body, f"{self.style}\n{self.pictures}")

    def save(self, path: str | Path) -> Path:
        """Write the paper; the ending of ``path`` chooses .html or .pdf.

        Raises
        ------
        UsageError
            If the ending is another, weasyprint is not installed, or the file cannot be written.
        """
        path = Path(path)
        check_ending(path, self.kind)
        data = self.html.encode("utf-8") if path.suffix == ".html" else self._as_pdf()
        return written(path, data)

    def _as_pdf(self) -> bytes:
        # A drawing of a PDF takes its style from inside itself, a page of HTML with a policy only from its head.
        body = self.body.replace(STYLE_PLACE, f"<style>{self.pictures}</style>")
        data: bytes = _weasyprint().HTML(string=html.document(self.title, body, self.style)).write_pdf()
        return data


def check_ending(path: Path, kind: Kind) -> None:
    """Raise a UsageError if a file's ending is none of a paper that can be made here."""
    if path.suffix not in FORMATS:
        raise UsageError(f"{path}: a {kind} is written as .html or .pdf; give the file one of these endings")
    if path.suffix == ".pdf":
        _weasyprint()


def _weasyprint() -> Any:
    try:
        return import_module("weasyprint")
    except (ImportError, OSError):  # OSError: the package is there, the pango library is not
        raise UsageError(
            "a .pdf needs the package weasyprint and the pango library; install them with pip install 'pneusim[pdf]', "
            "or write an .html and print it from a browser"
        ) from None
