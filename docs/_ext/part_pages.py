"""A page for every part, written from the part itself before the pages are read, with a drawing of what it does.

They go to the folder `parts` of the source, which is not under version control.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from inspect import cleandoc
from pathlib import Path

import matplotlib
from sphinx.application import Sphinx
from sphinx.errors import ExtensionError

from pneusim.errors import PneusimError
from pneusim.parts.base import Part
from pneusim.parts.registry import part, part_types
from pneusim.show.figures.characteristic import TIME, characteristic
from pneusim.show.figures.panels import STYLE
from pneusim.show.tables.reference import tables

FOLDER = "parts"
HEADS: dict[str, tuple[str, ...]] = {
    "Ports": ("number", "name", "remarks"),
    "Parameters": ("parameter", "what it is", "allowed", "default, and where it comes from"),
    "Inputs": ("input", "what it is"),
    "Faults": ("fault", "what fails"),
    "Events": ("event", "kind", "how it is told"),
    "Channels": ("channel", "dimension", "what it is"),
}
NAMED = {"Ports": (0, 1)}
"""Columns whose cells are words of the file format; elsewhere the first."""

PARTS_INTRO = """\
# Parts

What a component can be. Every page is written from the part itself: its ports, parameters with their defaults and
where these come from, how it can fail, what it tells, and a small circuit that makes it do its job.

`pneusim parts TYPE` prints the same in a terminal.

Each default carries a word for its source. *seen*: read in the source that is named. *recomputed*: found again from a
published example. *closed_form*: follows from an equation. *memory*: remembered, to be read against the official text.
*assumption*: a typical value that nobody vouches for. *numerical*: a device of the method, without meaning for air.
"""


def write_pages(app: Sphinx) -> None:
    """Write the pages; what has not changed is left alone, so that it is not read again."""
    folder = Path(app.srcdir) / FOLDER
    folder.mkdir(exist_ok=True)
    kinds = [part(name) for name in part_types()]
    wanted = {"index.md": _index(kinds)}
    for kind in kinds:
        wanted[f"{kind.type}.md"] = _page(kind, folder)
    for path in folder.glob("*.md"):
        if path.name not in wanted:
            path.unlink()
    for name, text in wanted.items():
        path = folder / name
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8")


def _index(kinds: Iterable[type[Part]]) -> str:
    kinds = list(kinds)
    rows = [(f"[`{kind.type}`]({kind.type}.md)", _lines(kind)[0]) for kind in kinds]
    entries = "\n".join(kind.type for kind in kinds)
    return f"{PARTS_INTRO}\n{_table(('type', 'what it does'), rows)}\n\n```{{toctree}}\n:hidden:\n\n{entries}\n```\n"


def _page(kind: type[Part], folder: Path) -> str:
    sections = [
        f"# {kind.title}",
        "\n".join(_lines(kind)),
        f"Type `{kind.type}`" + (f", symbol `{kind.symbol}`." if kind.symbol else "."),
        _drawing(kind, folder),
    ]
    for title, rows in tables(kind).items():
        if rows:
            named = NAMED.get(title, (0,))
            cells = [[f"`{cell}`" if k in named else _plain(cell) for k, cell in enumerate(row)] for row in rows]
            sections.append(f"## {title}\n\n{_table(HEADS[title], cells)}")
    sections.append(f"## Example\n\n```yaml\n{kind.example.strip()}\n```")
    return "\n\n".join(filter(None, sections)) + "\n"


def _drawing(kind: type[Part], folder: Path) -> str:
    """Draw the part's characteristic; its words stand in the place of the picture for those who do not see it."""
    if kind.characteristic is None:
        return ""
    try:
        drawn = characteristic(kind)
    except (PneusimError, KeyError) as error:
        raise ExtensionError(f"the example of {kind.type} cannot be drawn: {error}") from error
    with matplotlib.rc_context(STYLE):
        drawn.figure.savefig(folder / f"{kind.type}.svg", metadata={"Date": None, "Creator": None})
    way = "" if kind.characteristic[0] == TIME else "; arrows show the way through it"
    return (
        f"```{{image}} {kind.type}.svg\n:alt: {drawn.words}\n:width: 640px\n```\n\n"
        f"The [example](#example) below, computed{way}."
    )


def _lines(kind: type[Part]) -> list[str]:
    return cleandoc(kind.__doc__ or "").splitlines()


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(cells) + " |" for cells in lines)


def _plain(text: str) -> str:
    """Words as they are, whatever Markdown would make of their signs."""
    for sign in "\\`*_[]<>|$":
        text = text.replace(sign, f"\\{sign}")
    return text


def setup(app: Sphinx) -> dict[str, bool]:
    """Write the pages before any is read."""
    app.connect("builder-inited", write_pages)
    return {"parallel_read_safe": True, "parallel_write_safe": True}
