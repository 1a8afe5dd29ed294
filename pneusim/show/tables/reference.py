"""The reference of a part in words, from the part itself."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, get_args

from pydantic.fields import FieldInfo

from pneusim.parts.base import FaultSpec, InputSpec, Part, PortSpec
from pneusim.parts.catalogue import SOURCES, entry, section
from pneusim.quantities import DIMENSIONS, allowed, express

_WORDS = {"word": "a word", "flag": "true or false", "name": "the name of a component"}
_HEADS = {"Ports": "Ports (ISO 6786 number, name)"}


def listing(parts: Sequence[type[Part]]) -> str:
    """Type and title of parts, one a line."""
    return _table([(part.type, part.title) for part in parts])


def tables(part: type[Part]) -> dict[str, list[tuple[str, ...]]]:
    """What a part has, by kind, as rows of words.

    Rows are name and words, but for ports (number, name, remarks), parameters (name, words, what is allowed, default)
    and events and channels (name, category or dimension, words).
    """
    return {
        "Ports": [_port(port) for port in part.ports],
        "Parameters": [_parameter(name, field) for name, field in part.model_fields.items()],
        "Inputs": [(spec.name, _input(spec)) for spec in part.inputs],
        "Faults": [(spec.name, _fault(spec)) for spec in part.faults],
        "Events": [
            (spec.name, spec.category, spec.sentence.format(title="...", level="its level")) for spec in part.events
        ],
        "Channels": [(spec.name, spec.dimension.replace("_", " "), spec.words) for spec in part.channels],
    }


def reference(part: type[Part]) -> str:
    """Everything about one part."""
    sections = {title: _table(rows) for title, rows in tables(part).items()}
    sections["Parameters"] = "\n".join(_paragraph(*row) for row in tables(part)["Parameters"])
    sections["Example"] = "\n".join(f"  {line}".rstrip() for line in part.example.splitlines())
    head = f"{part.type}: {part.title}\n{(part.__doc__ or '').strip()}"
    told = (f"{_HEADS.get(title, title)}\n{text}" for title, text in sections.items() if text)
    return "\n\n".join([head, *told])


def _paragraph(name: str, words: str, allowed_words: str, default: str) -> str:
    return f"  {name}: {words}\n      {allowed_words}\n      {default}"


def _port(port: PortSpec) -> tuple[str, str, str]:
    remarks = [
        "as many as used" if port.many else "",
        "closed when unconnected" if port.optional else "",
        "open to atmosphere when unconnected" if port.exhaust else "",
        port.words,
    ]
    return port.number, port.name, "; ".join(filter(None, remarks))


def _parameter(name: str, field: FieldInfo) -> tuple[str, str, str, str]:
    extra: Any = field.json_schema_extra
    dimension, key = extra["dimension"], extra["catalogue"]
    kind = _WORDS[dimension] if dimension in _WORDS else allowed(dimension)
    if choices := [word for word in get_args(field.annotation) if isinstance(word, str)]:
        kind = f"one of {', '.join(choices)}"
    bounds = ", ".join(filter(None, (kind, _bounds(field, dimension))))
    return name, field.description or "", bounds, _default(field, dimension, key)


def _bounds(field: FieldInfo, dimension: str) -> str:
    words = {"gt": "above", "ge": "at least", "lt": "below", "le": "at most"}
    found = [
        f"{words[name]} {_value(limit, dimension)}"
        for bound in field.metadata
        for name in words
        if (limit := getattr(bound, name, None)) is not None
    ]
    return ", ".join(found)


def _default(field: FieldInfo, dimension: str, key: str | None) -> str:
    if key is None:
        return "must be given" if field.is_required() else "may be left out"
    if "{" in key:
        return _by_size(key)
    found = entry(key)
    value = found.value if isinstance(found.value, str) else _value(found.value, dimension)
    return f"default {value} ({found.source}: {found.note or SOURCES[found.source]})"


def _by_size(key: str) -> str:
    """Defaults by size, from a key such as ``chamber.{service}.stroke``."""
    table, _, name = key.split(".")
    found = {size: entry(f"{table}.{size}.{name}") for size, row in section(table).items() if name in row}
    values = ", ".join(f"{size}: {default.value}" for size, default in found.items())
    return f"default by size, {values} ({', '.join(sorted({default.source for default in found.values()}))})"


def _input(spec: InputSpec) -> str:
    if spec.choices:
        return f"{spec.words}: {' or '.join(spec.choices)}{', changes by itself too' if spec.latched else ''}"
    low, high = _value(spec.low, spec.dimension), _value(spec.high, spec.dimension)
    return f"{spec.words}: {low} to {high}"


def _fault(spec: FaultSpec) -> str:
    if spec.dimension == "flag":
        return spec.words
    default = _value(spec.default, spec.dimension)
    return f"{spec.words}; {_value(spec.low, spec.dimension)} to {_value(spec.high, spec.dimension)}, default {default}"


def _value(value: Any, dimension: str) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return express(value, dimension) if dimension in DIMENSIONS else str(value)


def _table(rows: Iterable[Sequence[str]]) -> str:
    """Columns as wide as their longest cell, two spaces in."""
    rows = list(rows)
    if not rows:
        return ""
    widths = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    lines = ("  ".join(cell.ljust(width) for cell, width in zip(row, widths)) for row in rows)
    return "\n".join(f"  {line}".rstrip() for line in lines)
