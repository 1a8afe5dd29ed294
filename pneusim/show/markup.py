"""HTML of papers and notebooks: every text becomes HTML here, where `tag` escapes all that is not `Html` yet."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from rich.table import Table


class Html(str):
    """A text that is HTML already."""


Cell = str | tuple[str, str]
"""A text, or a text and the class of its cell."""

NAME = "name"
"""Class of a cell that holds a name of the circuit file: it may be broken after a point or an underscore."""

BREAK = Html("<br>")


@dataclass(frozen=True)
class Section:
    """A part of the report: its title, its HTML, and its class: ``page`` begins a page, ``wide`` is one on its side."""

    title: str
    body: Html
    parts: tuple[Section, ...] = ()
    kind: str = ""


def html(*parts: str) -> Html:
    """Texts and HTML one behind the other.

    Examples
    --------
    >>> html("a < ", tag("b", "b & c"))
    'a &lt; <b>b &amp; c</b>'
    """
    return Html("".join(part if isinstance(part, Html) else escape(part) for part in parts))


def tag(name: str, *inner: str, **attributes: str) -> Html:
    """An element with what is in it; ``class_`` is the attribute class.

    Examples
    --------
    >>> tag("p", "1 < 2", class_="sum")
    "<p class='sum'>1 &lt; 2</p>"
    """
    told = "".join(f" {key.rstrip('_').replace('_', '-')}='{escape(value)}'" for key, value in attributes.items())
    return Html(f"<{name}{told}>{html(*inner)}</{name}>")


def image(png: bytes, words: str) -> Html:
    """A picture that stands in the page, and what it shows in words."""
    return Html(f'<img alt="{escape(words)}" src="data:image/png;base64,{b64encode(png).decode()}">')


def text(words: str) -> Html:
    """A paragraph."""
    return tag("p", words)


def listing(items: Iterable[str], kind: str = "ul") -> Html:
    """A list; nothing if there are no items."""
    rows = [tag("li", item) for item in items]
    return tag(kind, *rows) if rows else Html()


def facts(pairs: Iterable[tuple[str, str]]) -> Html:
    """A table of names and what they are; empty ones are left out."""
    rows = [tag("tr", tag("th", name, scope="row"), tag("td", words)) for name, words in pairs if words]
    return tag("table", tag("tbody", *rows), class_="facts") if rows else Html()


def table(heads: Sequence[Cell], rows: Iterable[Sequence[Cell]], caption: str = "", kind: str = "") -> Html:
    """A table; nothing if there are no rows.  ``kind`` is a class of the style sheet that sets widths of columns."""
    body = [tag("tr", *map(_cell, row)) for row in rows]
    if not body:
        return Html()
    title = tag("caption", caption) if caption else ""
    head = tag("thead", tag("tr", *map(_head, heads)))
    return tag("table", title, head, tag("tbody", *body), class_=kind)


def plain_table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> Html:
    """A table without classes, for a notebook, which has a style of its own; nothing if there are no rows."""
    told = [tag("tr", *(tag("td", cell) for cell in row)) for row in rows]
    return tag("table", tag("tr", *(tag("th", head) for head in heads)), *told) if told else Html()


def of_terminal(printed: Table) -> Html:
    """A table as the terminal shows it, the numbers of its columns at the right."""
    columns = [[_plain(cell) for cell in column.cells] for column in printed.columns]
    right = ["number" if column.justify == "right" else "" for column in printed.columns]
    rows = [list(zip(row, right)) for row in zip(*columns)]
    heads = [(_plain(column.header), kind) for column, kind in zip(printed.columns, right)]
    return table(heads, rows, _plain(printed.title))


def figure(picture: Html, words: str) -> Html:
    """A picture with its caption."""
    return tag("figure", picture, tag("figcaption", words))


def _head(cell: Cell) -> Html:
    words, kind = cell if isinstance(cell, tuple) else (cell, "")
    return tag("th", words, scope="col", class_=kind)


def _cell(cell: Cell) -> Html:
    words, kind = cell if isinstance(cell, tuple) else (cell, "")
    shown = Html(re.sub(r"([._])", r"\1<wbr>", escape(words))) if kind == NAME else words
    return tag("td", shown, class_=kind)


def _plain(words: object) -> str:
    """Text of a cell of a table for the terminal."""
    return str(getattr(words, "plain", words))
