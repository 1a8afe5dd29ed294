"""YAML text to a tree with places; limits are enforced while the parser's events come in.

Anchors, aliases, tags, merge keys and duplicate keys are faults, but reading goes on behind them.
"""

from __future__ import annotations

import re
from typing import Any

import yaml

from pneusim.errors import Place
from pneusim.reading.faults import Faults
from pneusim.reading.scalars import resolve
from pneusim.reading.tree import Entry, ListNode, MapNode, Node, Scalar, kind_in_words

MOST_BYTES = 1_000_000
MOST_NESTING = 20
MOST_NODES = 50_000

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_SINGLE = (yaml.ScalarEvent, yaml.AliasEvent)
_OPENING = (yaml.MappingStartEvent, yaml.SequenceStartEvent)
_CLOSING = (yaml.MappingEndEvent, yaml.SequenceEndEvent)


class _Stop(Exception):
    """Reading cannot go on; the reason has been reported."""


def parse(text: str, file: str, faults: Faults) -> MapNode | None:
    """Tree of a file's text, None if there is none; faults are reported."""
    text = text.removeprefix("\ufeff")
    faults.source(file, text)
    if len(text.encode("utf-8", "surrogatepass")) > MOST_BYTES:
        size = f"the file is larger than {MOST_BYTES} bytes"
        faults.report("Y07", Place(file, 1, 1), "file", size, "split the circuit into several files")
        return None
    try:
        root = _Composer(text, file, faults).document()
    except _Stop:
        return None
    if isinstance(root, MapNode):
        return root
    faults.report(
        "Y12",
        root.place if root else Place(file, 1, 1),
        "file",
        f"the file holds {kind_in_words(root)}, not keys with values" if root else "the file is empty",
        "begin it with 'pneusim: 1'; 'pneusim new' writes a file to start from",
    )
    return None


class _Composer:
    """Builds the tree from the events of one file."""

    def __init__(self, text: str, file: str, faults: Faults) -> None:
        self.file, self.faults = file, faults
        self._refuse_unprintable(text)
        self.lines = text.splitlines()
        self.events = yaml.parse(text, Loader=_LOADER)
        self.nodes = 0
        self.depth = 0

    def document(self) -> Node | None:
        """The one document of the file."""
        event = self._next()
        while isinstance(event, (yaml.StreamStartEvent, yaml.DocumentStartEvent)):
            event = self._next()
        if isinstance(event, yaml.StreamEndEvent):
            return None
        root = self._node(event, "")
        self._next()
        after = self._next()
        if isinstance(after, yaml.DocumentStartEvent):
            self._report("Y10", after, "file", "a second document begins here", "keep one circuit per file")
        return root

    def _next(self) -> Any:
        try:
            event = next(self.events)
        except yaml.YAMLError as error:
            self._syntax(error)
        if isinstance(event, _SINGLE + _OPENING):
            self.nodes += 1
            if self.nodes > MOST_NODES:
                self._report("Y09", event, "file", f"the file has more than {MOST_NODES} values", "split it")
                raise _Stop
        return event

    def _node(self, event: Any, path: str) -> Node:
        self._refuse_extras(event, path)
        place = self._place(event.start_mark)
        if isinstance(event, _OPENING):
            return self._collection(event, place, path)
        if isinstance(event, yaml.AliasEvent):
            return Scalar(place, path, f"*{event.anchor}", None)
        value = resolve(event.value) if event.implicit[0] else event.value
        return Scalar(place, path, event.value, value)

    def _collection(self, event: Any, place: Place, path: str) -> Node:
        self.depth += 1
        if self.depth > MOST_NESTING:
            problem = f"more than {MOST_NESTING} levels stand inside each other"
            self._report("Y08", event, path or "file", problem, "flatten it")
            raise _Stop
        inside = self._map if isinstance(event, yaml.MappingStartEvent) else self._list
        node = inside(place, path)
        self.depth -= 1
        return node

    def _map(self, place: Place, path: str) -> MapNode:
        entries: dict[str, Entry] = {}
        while not isinstance(event := self._next(), _CLOSING):
            key = self._node(event, path)
            name = key.text if isinstance(key, Scalar) else ""
            inner = f"{path}.{name}" if path else name
            node = self._node(self._next(), inner)
            if not isinstance(key, Scalar) or not name:
                self.faults.report("Y11", key.place, path or "file", "a key is a list or empty", "write a word as key")
            elif name == "<<":
                self.faults.report(
                    "Y05", key.place, inner, "merge keys '<<' are not read", "write 'like: <name of the entry>'"
                )
            elif name in entries:
                first = entries[name].place.line
                problem = f"the key {name!r} stands twice, first in line {first}"
                self.faults.report("Y06", key.place, inner, problem, "remove one of them or rename it")
            else:
                entries[name] = Entry(name, key.place, node)
        return MapNode(place, path, entries)

    def _list(self, place: Place, path: str) -> ListNode:
        items: list[Node] = []
        while not isinstance(event := self._next(), _CLOSING):
            items.append(self._node(event, f"{path}[{len(items) + 1}]"))
        return ListNode(place, path, tuple(items))

    def _refuse_extras(self, event: Any, path: str) -> None:
        path = path or "file"
        if isinstance(event, yaml.AliasEvent):
            problem = f"the alias '*{event.anchor}' is not read"
            self._report("Y04", event, path, problem, "write the value, or 'like: <name of the entry>'")
        elif event.anchor:
            problem = f"the anchor '&{event.anchor}' is not read"
            self._report("Y03", event, path, problem, "remove it; 'like: <name of the entry>' repeats an entry")
        if getattr(event, "tag", None) is not None:
            self._report("Y02", event, path, f"the tag {event.tag!r} is not read", "remove it")

    def _refuse_unprintable(self, text: str) -> None:
        found = _UNPRINTABLE.search(text)
        if not found:
            return
        before = text[: found.start()]
        place = Place(self.file, before.count("\n") + 1, found.start() - before.rfind("\n"))
        problem = f"the character U+{ord(found[0]):04X} cannot stand in a text file"
        self.faults.report("Y13", place, "file", problem, "remove it")
        raise _Stop

    def _syntax(self, error: yaml.YAMLError) -> None:
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        place = self._place(mark) if mark else Place(self.file, 1, 1)
        problem = str(getattr(error, "problem", error))
        begun = getattr(error, "context_mark", None)
        if getattr(error, "context", None) and begun and begun.line + 1 < place.line:
            problem = f"{error.context}, begun in line {begun.line + 1}, {problem}"  # type: ignore[attr-defined]
        self.faults.report("Y01", place, "file", f"this is not YAML: {problem}", self._remedy(problem, place))
        raise _Stop from None

    def _remedy(self, problem: str, place: Place) -> str:
        line = self.lines[place.line - 1] if place.line <= len(self.lines) else ""
        if "\t" in line[: len(line) - len(line.lstrip())]:
            return "indent with spaces, not with tabs"
        if "mapping values are not allowed" in problem:
            return "put a text that holds ': ' in quotes, and check the indentation"
        return "check indentation, colons, quotes and brackets here and in the lines before"

    def _report(self, code: str, event: Any, path: str, problem: str, fix: str) -> None:
        self.faults.report(code, self._place(event.start_mark), path, problem, fix)

    def _place(self, mark: Any) -> Place:
        return Place(self.file, mark.line + 1, mark.column + 1)
