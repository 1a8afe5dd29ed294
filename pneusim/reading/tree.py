"""The tree of a YAML file: scalars, maps and lists that know their place and path."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from pneusim.errors import Place


@dataclass(frozen=True)
class Scalar:
    """A single value: its text as written, and its value by the YAML 1.2 core schema (a quoted one is a string)."""

    place: Place
    path: str
    text: str
    value: str | int | float | bool | None


@dataclass(frozen=True)
class Entry:
    """A key of a map, where the key stands, and the node under it."""

    key: str
    place: Place
    node: Node


@dataclass(frozen=True)
class MapNode:
    """Keys with values, in the order of the file."""

    place: Place
    path: str
    entries: dict[str, Entry] = field(default_factory=dict)

    def __iter__(self) -> Iterator[Entry]:
        return iter(self.entries.values())

    def get(self, key: str) -> Node | None:
        """Node under a key, None if there is none."""
        found = self.entries.get(key)
        return found.node if found else None


@dataclass(frozen=True)
class ListNode:
    """A list."""

    place: Place
    path: str
    items: tuple[Node, ...] = ()


Node = Scalar | MapNode | ListNode


def kind_in_words(node: Node) -> str:
    """What a node is, for messages: ``a list``, ``keys with values``, ``'8 bar'``."""
    if isinstance(node, MapNode):
        return "keys with values"
    if isinstance(node, ListNode):
        return "a list"
    return "nothing" if node.value is None else repr(node.text)


def plain(node: Node) -> object:
    """A node as plain dictionaries, lists and values."""
    if isinstance(node, MapNode):
        return {entry.key: plain(entry.node) for entry in node}
    if isinstance(node, ListNode):
        return [plain(item) for item in node.items]
    return node.value
