"""Reads the keys of one map: which are known, which are missing, and what each holds."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Sequence

from pneusim import quantities
from pneusim.errors import Place
from pneusim.quantities import QuantityError
from pneusim.reading.faults import Faults, listed, nearest
from pneusim.reading.tree import Entry, ListNode, MapNode, Node, Scalar, kind_in_words

NAME = re.compile(r"[a-z][a-z0-9_]*")
_QUANTITY_CODES = {"form": "U01", "bare": "U02", "unit": "U03", "plain": "U04", "absolute": "U05", "range": "U06"}


class Fields:
    """The keys of one map.

    Parameters
    ----------
    node : MapNode
    faults : Faults
    required, optional : collection of str
        Keys that must and that may stand here; others are faults.
    ambient : float
        Absolute ambient pressure [Pa].
    missing_at : Place or None
        Where missing keys are reported; None = nowhere.
    """

    def __init__(
        self,
        node: MapNode,
        faults: Faults,
        required: Collection[str],
        optional: Collection[str] = (),
        *,
        ambient: float = quantities.STANDARD_ATMOSPHERE,
        missing_at: Place | None,
    ) -> None:
        self.node, self.faults, self.ambient = node, faults, ambient
        self._check_keys(list(required), [*required, *optional], missing_at)

    def __contains__(self, key: str) -> bool:
        return key in self.node.entries

    def get(self, key: str) -> Node | None:
        """Node under a key, None if it is not there."""
        return self.node.get(key)

    def place(self, key: str) -> Place:
        """Where a key's value stands; the map itself if the key is not there."""
        found = self.node.get(key)
        return found.place if found else self.node.place

    def report(self, code: str, key: str, problem: str, fix: str) -> None:
        """Report a fault of a key's value."""
        found = self.node.get(key)
        path = found.path if found else self.node.path
        self.faults.report(code, self.place(key), path, problem, fix)

    def quantity(
        self,
        key: str,
        dimension: str,
        *,
        low: float | None = None,
        high: float | None = None,
        above: float | None = None,
    ) -> float | None:
        """SI value of a key within bounds; None if it is absent or at fault."""
        scalar = self._scalar(key, quantities.allowed(dimension))
        if scalar is None:
            return None
        value = quantity_of(scalar, dimension, self.faults, self.ambient)
        if value is None or not within(scalar, value, dimension, self.faults, low=low, high=high, above=above):
            return None
        return value

    def text(self, key: str) -> str | None:
        """Text of a key as written; a number counts as text."""
        scalar = self._scalar(key, "a text")
        return scalar.text if scalar else None

    def word(self, key: str, choices: Sequence[str]) -> str | None:
        """One of some words."""
        scalar = self._scalar(key, f"one of {listed(choices)}")
        return scalar.text if scalar and check_word(scalar, choices, self.faults) else None

    def integer(self, key: str, low: int, high: int) -> int | None:
        """A whole number within bounds."""
        scalar = self._scalar(key, f"a whole number from {low} to {high}")
        if scalar is None:
            return None
        if isinstance(scalar.value, int) and not isinstance(scalar.value, bool) and low <= scalar.value <= high:
            return scalar.value
        problem = f"{scalar.text!r} is not a whole number from {low} to {high}"
        self.report("S07", key, problem, "write such a number, without unit and point")
        return None

    def flag(self, key: str) -> bool | None:
        """``true`` or ``false``."""
        scalar = self._scalar(key, "true or false")
        if scalar is None or isinstance(scalar.value, bool):
            return scalar.value if scalar else None  # type: ignore[return-value]
        self.report("S08", key, f"{scalar.text!r} is neither true nor false", "write true or false, without quotes")
        return None

    def mapping(self, key: str) -> MapNode | None:
        """Keys with values under a key."""
        found = self.node.get(key)
        if found is None or isinstance(found, MapNode):
            return found
        self._wrong_kind(key, found, "keys with values, such as {name: value}")
        return None

    def sequence(self, key: str) -> ListNode | None:
        """A list under a key."""
        found = self.node.get(key)
        if found is None or isinstance(found, ListNode):
            return found
        self._wrong_kind(key, found, "a list, such as [first, second]")
        return None

    def texts(self, key: str) -> list[Scalar]:
        """A list of single values under a key."""
        found = self.sequence(key)
        items = found.items if found else ()
        for item in items:
            if not isinstance(item, Scalar):
                self.faults.report(
                    "S05", item.place, item.path, f"here stands {kind_in_words(item)}", "write a single value here"
                )
        return [item for item in items if isinstance(item, Scalar)]

    def _scalar(self, key: str, wanted: str) -> Scalar | None:
        found = self.node.get(key)
        if found is None:
            return None
        if isinstance(found, Scalar) and found.value is not None:
            return found
        self._wrong_kind(key, found, wanted)
        return None

    def _wrong_kind(self, key: str, found: Node, wanted: str) -> None:
        self.report("S05", key, f"{key!r} holds {kind_in_words(found)}", f"write {wanted}")

    def _check_keys(self, required: list[str], known: list[str], missing_at: Place | None) -> None:
        for entry in [entry for entry in self.node if entry.key not in known]:
            open_keys = [key for key in known if not self._is_own(key)]
            required_first = [key for key in required if key in open_keys]
            meant = nearest(entry.key, required_first) or nearest(entry.key, open_keys)
            self._unknown(entry, meant, known)
        for key in required if missing_at else ():
            if key not in self.node.entries and missing_at:
                path = self.node.path or "file"
                self.faults.report("S02", missing_at, path, f"the key {key!r} is missing", f"add '{key}: ...'")

    def _is_own(self, key: str) -> bool:
        """Whether a key stands in this very map, and did not come by ``like``."""
        found = self.node.get(key)
        return found is not None and found.path.startswith(f"{self.node.path}." if self.node.path else "")

    def _unknown(self, entry: Entry, meant: str | None, known: list[str]) -> None:
        """Report an unknown key; if it is clear which one is meant, read on as if that stood there."""
        if meant is None:
            where = f"{self.node.path}.{entry.key}" if self.node.path else entry.key
            problem = f"the key {entry.key!r} is not known here; known are {listed(known, 40)}"
            self.faults.report("S01", entry.place, where, problem, "remove it")
            return
        self.node = _renamed(self.node, entry, meant, self.faults)


def with_misspelt(node: MapNode, wanted: Sequence[str], known: Collection[str], faults: Faults) -> MapNode:
    """A map that has one of some keys, if need be by a misspelt one, which is reported; ``known`` ones stay."""
    if any(key in node.entries for key in wanted):
        return node
    for entry in node:
        meant = None if entry.key in known else nearest(entry.key, wanted)
        if meant:
            return _renamed(node, entry, meant, faults)
    return node


def _renamed(node: MapNode, entry: Entry, meant: str, faults: Faults) -> MapNode:
    where = f"{node.path}.{entry.key}" if node.path else entry.key
    faults.report("S01", entry.place, where, f"the key {entry.key!r} is not known here", f"write {meant!r}")
    entries: dict[str, Entry] = {}
    for other in node:
        if other is entry:
            entries[meant] = Entry(meant, entry.place, entry.node)
        elif other.key != meant:
            entries[other.key] = other
    return MapNode(node.place, node.path, entries)


def check_word(scalar: Scalar, choices: Sequence[str], faults: Faults) -> bool:
    """Whether a scalar is one of some words; if not, it is reported."""
    if scalar.text in choices:
        return True
    near = nearest(scalar.text, choices)
    fix = f"write {near!r}" if near else f"write one of {listed(choices)}"
    faults.report("S06", scalar.place, scalar.path, f"{scalar.text!r} is not one of {listed(choices)}", fix)
    return False


def quantity_of(scalar: Scalar, dimension: str, faults: Faults, ambient: float) -> float | None:
    """SI value of a scalar, None if it is at fault."""
    try:
        return quantities.parse(scalar.text, dimension, ambient)
    except QuantityError as error:
        faults.report(_QUANTITY_CODES[error.kind], scalar.place, scalar.path, error.problem, error.fix)
        return None


def within(
    scalar: Scalar,
    value: float,
    dimension: str,
    faults: Faults,
    *,
    low: float | None = None,
    high: float | None = None,
    above: float | None = None,
) -> bool:
    """Whether a value keeps its bounds; if not, the bound is told in the unit that the scalar is written in."""

    def shown(bound: float, inwards: int) -> str:
        return bound_in_words(bound, dimension, scalar.text, inwards)

    if above is not None and value <= above:
        problem, fix = f"too small; it must be more than {shown(above, 1)}", f"write more than {shown(above, 1)}"
    elif low is not None and value < low:
        problem, fix = f"too small; the least is {shown(low, 1)}", f"write {shown(low, 1)} or more"
    elif high is not None and value > high:
        problem, fix = f"too large; the most is {shown(high, -1)}", f"write {shown(high, -1)} or less"
    else:
        return True
    faults.report("U07", scalar.place, scalar.path, f"{scalar.text!r} is {problem}", fix)
    return False


def bound_in_words(bound: float, dimension: str, text: str, inwards: int) -> str:
    """A bound in the unit that a text is written in, or in the dimension's usual unit, so rounded that it is allowed.

    ``inwards`` is +1 for a lower bound, -1 for an upper one.
    """
    table = quantities.DIMENSIONS[dimension]
    symbol = quantities.symbol_in(text)
    unit = table.unit(symbol) if symbol in table.units else quantities.unit_of(dimension)
    number = (bound - unit.offset) / unit.factor
    if number:
        step = 10.0 ** (math.floor(math.log10(abs(number))) - 3)
        number = step * (math.ceil if inwards > 0 else math.floor)(number / step - inwards * 1e-6)
    return f"{number:.10g} {unit.symbol}".rstrip()


def check_name(name: str, place: Place, path: str, faults: Faults) -> bool:
    """Whether a name is a small letter with small letters, digits and underscores behind it."""
    if NAME.fullmatch(name):
        return True
    plain = re.sub(r"[^a-z0-9_]+", "_", name.lower()).strip("_")
    suits = NAME.fullmatch(plain)
    fix = f"write for example {plain!r}, and 'label:' for people" if suits else "begin it with a letter"
    problem = f"{name!r} is no name: small letters, digits and '_', the first a letter"
    faults.report("N01", place, path, problem, fix)
    return False
