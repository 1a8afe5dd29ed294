"""``like:`` repeats an entry of the same section; the keys beside it override."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pneusim.errors import Place
from pneusim.reading.faults import Faults, meant
from pneusim.reading.fields import with_misspelt
from pneusim.reading.tree import Entry, MapNode, Node, Scalar, kind_in_words

_NOT_LIKE = frozenset({"line", "link", "list"})  #: words near ``like`` that may mean something else


@dataclass(frozen=True)
class Merged:
    """An entry with ``like`` resolved.

    ``place`` is where its missing keys are reported: that of the entry it is made like, unless it has a type of its
    own; None if that entry could not be found, so that what is missing cannot be told.
    """

    name: str
    node: MapNode
    key_place: Place
    place: Place | None


def entries(section: MapNode, faults: Faults) -> dict[str, Merged]:
    """Entries of a section by name, with ``like`` resolved."""
    own = {entry.key: _with_like(entry, faults) for entry in section if _is_map(entry, faults)}
    done: dict[str, Merged] = {}
    for name in own:
        chain = _chain(name, own, done, faults)
        for step in reversed(chain):
            done[step] = _merged(own[step], done)
    return {name: done[name] for name in own}


def _is_map(entry: Entry, faults: Faults) -> bool:
    if isinstance(entry.node, MapNode):
        return True
    problem = f"{entry.key!r} holds {kind_in_words(entry.node)}, not keys with values"
    faults.report("S05", entry.node.place, entry.node.path, problem, "write {key: value, ...}")
    return False


def _with_like(entry: Entry, faults: Faults) -> Entry:
    assert isinstance(entry.node, MapNode)
    return replace(entry, node=with_misspelt(entry.node, ["like"], _NOT_LIKE, faults))


def _chain(name: str, own: dict[str, Entry], done: dict[str, Merged], faults: Faults) -> list[str]:
    """Names from an entry to the last one not yet merged, following ``like``."""
    chain: list[str] = []
    while name not in done:
        chain.append(name)
        base = _base(own[name])
        if base is None:
            break
        if not isinstance(base, Scalar) or base.text not in own:
            seen = kind_in_words(base)
            problem = f"'like' names {seen}, which is no entry of this section"
            fix = meant(base.text, [n for n in own if n != name]) if isinstance(base, Scalar) else "write one name"
            faults.report("N04", base.place, base.path, problem, fix)
            break
        if base.text in chain:
            faults.report(
                "N05",
                base.place,
                base.path,
                f"'like' goes in a circle: {' -> '.join([*chain, base.text])}",
                "write one of them in full",
            )
            break
        name = base.text
    return chain


def _merged(entry: Entry, done: dict[str, Merged]) -> Merged:
    node = entry.node
    assert isinstance(node, MapNode)
    base = _base(entry)
    own = {key: value for key, value in node.entries.items() if key != "like"}
    if base is None:
        return Merged(entry.key, MapNode(node.place, node.path, own), entry.place, entry.place)
    if not isinstance(base, Scalar) or base.text not in done:
        return Merged(entry.key, MapNode(node.place, node.path, own), entry.place, None)
    inherited = done[base.text]
    merged = MapNode(node.place, node.path, {**inherited.node.entries, **own})
    return Merged(entry.key, merged, entry.place, entry.place if "type" in own else inherited.place)


def _base(entry: Entry) -> Node | None:
    return entry.node.get("like") if isinstance(entry.node, MapNode) else None
