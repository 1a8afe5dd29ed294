"""HTML of a report's pieces; every text is escaped here and nowhere else."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from rich.table import Table

Cell = str | tuple[str, str]
"""A text, or a text and the class of its cell."""

NAME = "name"
"""Class of a cell that holds a name of the circuit file: it may be broken after a point or an underscore."""


@dataclass(frozen=True)
class Section:
    """A part of the report: its title, its HTML, and its class: ``page`` begins a page, ``wide`` is one on its side."""

    title: str
    body: str
    parts: tuple[Section, ...] = ()
    kind: str = ""


def text(words: str) -> str:
    """A paragraph."""
    return f"<p>{escape(words)}</p>"


def listing(items: Iterable[str], kind: str = "ul") -> str:
    """A list; nothing if there are no items."""
    rows = "".join(f"<li>{escape(item)}</li>" for item in items)
    return f"<{kind}>{rows}</{kind}>" if rows else ""


def facts(pairs: Iterable[tuple[str, str]]) -> str:
    """A table of names and what they are; empty ones are left out."""
    rows = "".join(f"<tr><th scope='row'>{escape(k)}</th><td>{escape(v)}</td></tr>" for k, v in pairs if v)
    return f"<table class='facts'><tbody>{rows}</tbody></table>" if rows else ""


def table(heads: Sequence[Cell], rows: Iterable[Sequence[Cell]], caption: str = "", kind: str = "") -> str:
    """A table; nothing if there are no rows.  ``kind`` is a class of the style sheet that sets widths of columns."""
    body = "".join(f"<tr>{''.join(map(_cell, row))}</tr>" for row in rows)
    if not body:
        return ""
    head = "".join(map(_head, heads))
    title = f"<caption>{escape(caption)}</caption>" if caption else ""
    return f"<table class='{escape(kind)}'>{title}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def of_terminal(printed: Table) -> str:
    """A table as the terminal shows it, the numbers of its columns at the right."""
    columns = [[_plain(cell) for cell in column.cells] for column in printed.columns]
    right = ["number" if column.justify == "right" else "" for column in printed.columns]
    rows = [list(zip(row, right)) for row in zip(*columns)]
    heads = [(_plain(column.header), kind) for column, kind in zip(printed.columns, right)]
    return table(heads, rows, _plain(printed.title))


def figure(picture: str, words: str) -> str:
    """A picture that is HTML already, with its caption."""
    return f"<figure>{picture}<figcaption>{escape(words)}</figcaption></figure>"


def _head(cell: Cell) -> str:
    words, kind = cell if isinstance(cell, tuple) else (cell, "")
    return f"<th scope='col' class='{escape(kind)}'>{escape(words)}</th>"


def _cell(cell: Cell) -> str:
    words, kind = cell if isinstance(cell, tuple) else (cell, "")
    shown = re.sub(r"([._])", r"\1<wbr>", escape(words)) if kind == NAME else escape(words)
    return f"<td class='{escape(kind)}'>{shown}</td>"


def _plain(words: object) -> str:
    """Text of a cell of a table for the terminal."""
    return str(getattr(words, "plain", words))
