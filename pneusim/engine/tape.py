"""The flat tape: states, inputs, settings and elements laid out as one int64 and one float64 array.

A circuit becomes *values* in an array ``v``: first the states, then the inputs (functions of time), then the
settings (numbers that faults, modes and controls patch), then the outputs of the elements in order of evaluation.
Rates of the states are sums of coefficient x value.  The same layout carries the sparse gradients: every value
knows the states it depends on, and an element's local derivatives are contracted with the gradients of its inputs.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from pneusim.engine.families.family import Family
from pneusim.engine.sparse import Symbolic

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]

# Header of the integer array: counts, then offsets of the sections of I and of F.
HEADER = (
    "states", "inputs", "settings", "values", "batches", "rates", "closures", "lu_size", "gradient_size",
    "I_batches", "I_sources", "I_rates", "I_gradient", "I_terms", "I_contract", "I_scatter", "I_closures",
    "F_scale", "F_inputs", "F_settings", "F_fields", "F_rates", "F_closures",
)  # fmt: skip
SLOT = {name: i for i, name in enumerate(HEADER)}
BATCH = 5  # numbers of a batch: family, elements, and its first source, field and value
TIME = -1  # the pseudo-state of df/dt


@dataclass(frozen=True)
class State:
    """A state: scale of its size, start value [SI], weight of its absolute tolerance, and what it conserves."""

    name: str
    scale: float
    start: float
    weight: float = 1.0
    kind: str = ""  # "mass", "energy", "flow", "stroke", "spool"


@dataclass(frozen=True)
class Element:
    """An element: its family, the values it reads, its fields."""

    family: Family
    sources: tuple[int, ...]
    fields: tuple[float, ...]
    name: str


@dataclass
class Tape:
    """Collects states, inputs, settings, elements and rates; :meth:`finish` lays them out.

    Values are named by provisional numbers until then.
    """

    families: tuple[Family, ...]
    states: list[State] = field(default_factory=list)
    _kinds: list[tuple[str, int, int]] = field(default_factory=list)  # what a provisional value is
    inputs: list[tuple[str, float]] = field(default_factory=list)
    settings: list[tuple[str, float]] = field(default_factory=list)
    elements: list[Element] = field(default_factory=list)
    rates: list[tuple[int, int, float]] = field(default_factory=list)

    def _value(self, kind: str, index: int, output: int = 0) -> int:
        self._kinds.append((kind, index, output))
        return len(self._kinds) - 1

    def state(self, name: str, scale: float, start: float, kind: str, weight: float = 1.0) -> int:
        """Add a state; returns its value (in SI)."""
        self.states.append(State(name, scale, start, weight, kind))
        return self._value("state", len(self.states) - 1)

    def input(self, name: str, start: float) -> int:
        """Add a piecewise linear function of time; returns its value."""
        self.inputs.append((name, start))
        return self._value("input", len(self.inputs) - 1)

    def setting(self, name: str, start: float) -> int:
        """Add a number that may be patched between segments; returns its value."""
        self.settings.append((name, start))
        return self._value("setting", len(self.settings) - 1)

    def element(self, family: Family, sources: Sequence[int], fields: Sequence[float], name: str) -> tuple[int, ...]:
        """Add an element; returns the values of its outputs."""
        if len(sources) != len(family.inputs) or len(fields) != len(family.fields):
            raise ValueError(f"{name}: family {family.name} takes {len(family.inputs)} inputs and "
                             f"{len(family.fields)} fields, not {len(sources)} and {len(fields)}")  # fmt: skip
        self.elements.append(Element(family, tuple(sources), tuple(fields), name))
        index = len(self.elements) - 1
        return tuple(self._value("output", index, k) for k in range(len(family.outputs)))

    def promise(self) -> int:
        """Return a value that stands for one to be made later, see :meth:`keep`."""
        return self._value("promise", -1)

    def keep(self, promise: int, value: int) -> None:
        """Say which value a promise stands for."""
        self._kinds[promise] = ("promise", value, 0)

    def kind(self, value: int) -> tuple[str, int, int]:
        """What a value is: ("state" | "input" | "setting" | "output", index, output)."""
        what = self._kinds[value]
        while what[0] == "promise":
            if what[1] < 0:
                raise ValueError(f"value {value} was promised and never made")
            what = self._kinds[what[1]]
        return what

    def rate(self, state: int, value: int, coefficient: float) -> int:
        """Add coefficient x value to the rate of a state [SI]; returns the rate's number, for patching."""
        self.rates.append((state, value, coefficient))
        return len(self.rates) - 1

    def state_of(self, value: int) -> int:
        """Index of the state that a value is."""
        kind, index, _ = self.kind(value)
        if kind != "state":
            raise ValueError(f"value {value} is no state")
        return index

    def element_of(self, value: int) -> int:
        """Index of the element whose output a value is."""
        kind, index, _ = self.kind(value)
        if kind != "output":
            raise ValueError(f"value {value} is no output")
        return index

    def structure(self) -> Hashable:
        """All that the layout depends on: which values read which, the numbers aside."""
        return (
            tuple(family.name for family in self.families), tuple(state.kind for state in self.states),
            len(self.inputs), len(self.settings), tuple(self._kinds),
            tuple((element.family.name, element.sources) for element in self.elements),
            tuple((state, value) for state, value, _ in self.rates),
        )  # fmt: skip


@dataclass(frozen=True)
class Program:
    """A tape laid out, with the symbolic factorisation; ``integers`` is shared, ``floats`` is copied per run.

    The ``*_slot`` arrays give positions in ``floats`` for patching; ``index`` maps a provisional value to its place
    in ``v``.  ``parts`` keeps the integers that evaluate some values alone, by their places, for all programs of one
    structure.
    """

    families: tuple[Family, ...]
    integers: Ints
    floats: Floats
    symbolic: Symbolic
    states: tuple[State, ...]
    index: Ints
    input_names: tuple[str, ...]
    setting_names: tuple[str, ...]
    field_slot: Ints
    rate_slot: Ints
    rate_row: Ints
    element_names: tuple[str, ...]
    rows: Ints
    columns: Ints
    parts: dict[frozenset[int], Ints] = field(default_factory=dict)

    def header(self, name: str) -> int:
        """A count or offset of the layout."""
        return int(self.integers[SLOT[name]])

    @property
    def scale(self) -> Floats:
        """Scale of every state."""
        return np.array([state.scale for state in self.states])

    def start(self) -> Floats:
        """Scaled start state."""
        return np.array([state.start / state.scale for state in self.states])

    def input_slot(self, index: int) -> int:
        """Position in ``floats`` of an input's (value, slope, time) triple."""
        return self.header("F_inputs") + 3 * index

    def setting_slot(self, index: int) -> int:
        """Position in ``floats`` of a setting."""
        return self.header("F_settings") + index
