"""``pneusim.replay``: one or two runs as a page that plays them, one file that needs nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from importlib.resources import files
from pathlib import Path

from pneusim.results.run import Run
from pneusim.show import html
from pneusim.show.palette import PRESSURES
from pneusim.show.replay import content
from pneusim.show.written import written

MAIN = "replay"
"""The module that runs."""


@dataclass(frozen=True, repr=False)
class Page:
    """A replay page; a notebook shows it by itself."""

    title: str
    html: str

    def __repr__(self) -> str:
        """Tell how large it is."""
        return f"<Page {self.title!r}: {len(self.html) / 1e6:.1f} MB>"

    def _repr_html_(self) -> str:
        """Show the page in a frame of its own."""
        return (
            f'<iframe title="{escape(self.title)}" sandbox="allow-scripts" width="100%" height="900" '
            f'srcdoc="{escape(self.html)}"></iframe>'
        )

    def save(self, path: str | Path) -> Path:
        """Write the page.

        Raises
        ------
        UsageError
            If the file cannot be written.
        """
        return written(Path(path), self.html.encode("utf-8"))


def replay(run: Run, other: Run | None = None, units: str = "si") -> Page:
    """Make the page that plays a run, or two beside each other.

    The page is one file: it opens from a disk, loads nothing, and keeps the instant it shows in its address.

    Parameters
    ----------
    run : Run
    other : Run, optional
        A second run to compare with; the first step of both is laid on the same time.
    units : str
        ``si`` or ``us``.
    """
    data, drawings = content.document(run, other, units)
    title = str(data["title"])
    style = _pressures() + web_file("scene.css") + web_file("page.css")
    return Page(title, html.document(f"{title} - replay", _body(data, drawings), style, web_modules(MAIN)))


def _pressures() -> str:
    """Colours of pressures from empty to full, on paper and on each ground."""

    def rule(selector: str, colours: Sequence[str]) -> str:
        return f"{selector} {{ {' '.join(f'--p{k}: {colour};' for k, colour in enumerate(colours))} }}\n"

    dark = rule('html[data-ground="dark"] .pneusim', PRESSURES["dark"])
    return rule(".pneusim", PRESSURES["light"]) + f"@media screen {{\n{dark}}}\n"


def _body(data: dict[str, object], drawings: list[str]) -> str:
    templates = [f'<template id="drawing-{k}">{svg}</template>' for k, svg in enumerate(drawings)]
    return "\n".join([web_file("replay.html").rstrip(), *templates, html.json_block("replay", data)])


def web_modules(main: str) -> dict[str, str]:
    """Text of a module of the browser's side by name, after those that it imports and those that these import."""
    found: dict[str, str] = {}

    def visit(name: str) -> None:
        text = web_file(f"{name}.js")
        for _, other in html.IMPORT.findall(text):
            if other not in found:
                visit(other)
        found[name] = text

    visit(main)
    return found


def web_file(name: str) -> str:
    """Text of a file that the browser gets."""
    return (files("pneusim.show") / "web" / name).read_text("utf-8")
