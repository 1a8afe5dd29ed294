"""The flat tape: states, inputs, settings and elements laid out as one int64 and one float64 array.

A circuit becomes *values* in an array ``v``: first the states, then the inputs (functions of time), then the
settings (numbers that faults, modes and controls patch), then the outputs of the elements in order of evaluation.
Rates of the states are sums of coefficient x value.  The same layout carries the sparse gradients: every value
knows the states it depends on, and an element's local derivatives are contracted with the gradients of its inputs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from pneusim.engine.families.family import Family
from pneusim.engine.sparse import Symbolic, analyse

Ints = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]

T = TypeVar("T")

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

    def finish(self, outside: dict[str, int]) -> Program:
        """Lay the tape out.

        Parameters
        ----------
        outside : dict
            For each conserved kind (``mass``, ``energy``) the state that balances all others of that kind; its row
            of the Jacobian is closed from the column sums, so that sums are invariants to round-off.
        """
        return _Layout(self, {kind: self.state_of(v) for kind, v in outside.items()}).program()


@dataclass(frozen=True)
class Program:
    """A tape laid out, with the symbolic factorisation; ``integers`` is shared, ``floats`` is copied per run.

    The ``*_slot`` arrays give positions in ``floats`` for patching; ``index`` maps a provisional value to its place
    in ``v``.
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


class _Layout:
    """Works out evaluation order, gradients, pattern, and writes the two arrays."""

    def __init__(self, tape: Tape, outside: dict[str, int]) -> None:
        self.tape = tape
        self.outside = outside
        self.n = len(tape.states)
        self._order_elements()
        self._number_values()
        self._gradients()
        self._pattern()

    def _order_elements(self) -> None:
        """Batches of one family whose inputs are all known: level by level, family by family."""
        tape = self.tape
        reads = {
            i: {tape.element_of(s) for s in element.sources if tape.kind(s)[0] == "output"}
            for i, element in enumerate(tape.elements)
        }
        level = [0] * len(tape.elements)
        try:
            for i in TopologicalSorter(reads).static_order():
                level[i] = 1 + max((level[k] for k in reads[i]), default=-1)
        except CycleError as error:
            names = ", ".join(tape.elements[i].name for i in error.args[1])
            raise ValueError(f"signals that wait for each other: {names}") from None
        family_rank = {family.name: k for k, family in enumerate(tape.families)}
        key = [(level[i], family_rank[e.family.name]) for i, e in enumerate(tape.elements)]
        self.order = sorted(range(len(tape.elements)), key=lambda i: (*key[i], i))
        self.batches: list[tuple[int, list[int]]] = []
        last = None
        for i in self.order:
            if key[i] != last:
                self.batches.append((key[i][1], []))
                last = key[i]
            self.batches[-1][1].append(i)

    def _number_values(self) -> None:
        tape = self.tape
        base = self.n + len(tape.inputs) + len(tape.settings)
        first_output = np.zeros(len(tape.elements), np.int64)
        for i in self.order:
            first_output[i] = base
            base += len(tape.elements[i].family.outputs)
        self.value_count = base
        start = {"state": 0, "input": self.n, "setting": self.n + len(tape.inputs)}
        self.index = np.array(
            [
                first_output[i] + k if kind == "output" else start[kind] + i
                for kind, i, k in map(tape.kind, range(len(tape._kinds)))
            ],
            np.int64,
        )
        self.sources = {i: self.index[list(tape.elements[i].sources)] for i in self.order}

    def _gradients(self) -> None:
        """The states that each value depends on, and where an input's entries go in the output's gradient."""
        tape = self.tape
        depends: list[list[int]] = [[] for _ in range(self.value_count)]
        for i in range(self.n):
            depends[i] = [i]
        for i in range(len(tape.inputs)):
            depends[self.n + i] = [TIME]
        contract: list[int] = []
        terms: list[int] = []
        value = self.n + len(tape.inputs) + len(tape.settings)
        for i in self.order:
            family = tape.elements[i].family
            for output in family.outputs:
                read = [int(self.sources[i][k]) for k in family.inputs_of(output)]
                terms += [len(read), *read]
                union = sorted({state for source in read for state in depends[source]})
                place = {state: k for k, state in enumerate(union)}
                contract += [place[state] for source in read for state in depends[source]]
                depends[value] = union
                value += 1
        self.depends = depends
        self.contract = contract
        self.terms = terms
        self.pointer = np.concatenate(([0], np.cumsum([len(d) for d in depends]))).astype(np.int64)

    def _pattern(self) -> None:
        """Sparsity of the Jacobian, its factorisation, and where the rates scatter."""
        tape = self.tape
        outside_rows = set(self.outside.values())
        rows: list[int] = []
        columns: list[int] = []
        for state, value, _ in tape.rates:
            row = tape.state_of(state)
            if row in outside_rows:
                continue
            entries = [c for c in self.depends[self.index[value]] if c != TIME]
            rows += [row] * len(entries)
            columns += entries
        self.driven = np.array(
            sorted({tape.state_of(s) for s, value, _ in tape.rates if TIME in self.depends[self.index[value]]}),
            np.int64,
        )
        pairs = np.unique(np.array([rows, columns], np.int64).reshape(2, -1), axis=1)
        self.inner_pairs = pairs
        outer = [np.zeros((2, 0), np.int64)]
        for kind, target in self.outside.items():
            inside = self._conserved(kind, target)
            held = np.unique(pairs[1][np.isin(pairs[0], inside)])
            outer.append(np.array([np.full(len(held), target), held]))
        self.pairs = np.concatenate([pairs, *outer], axis=1)
        self.symbolic = analyse(self.n, self.pairs[0], self.pairs[1], last=sorted(outside_rows))

    def _conserved(self, kind: str, target: int) -> list[int]:
        return [i for i, s in enumerate(self.tape.states) if s.kind == kind and i != target]

    def _scatter(self) -> list[int]:
        """Position of every (rate, entry of its value's gradient); rows closed by sums are left out."""
        tape = self.tape
        size = self.symbolic.nnz
        outside_rows = set(self.outside.values())
        rows: list[int] = []
        columns: list[int] = []
        for state, value, _ in tape.rates:
            row = tape.state_of(state)
            if row not in outside_rows:
                entries = self.depends[self.index[value]]
                rows += [row] * len(entries)
                columns += entries
        r, c = np.array(rows, np.int64), np.array(columns, np.int64)
        position = size + r
        inner = c != TIME
        position[inner] = self.symbolic.positions(r[inner], c[inner])
        return [int(p) for p in position]

    def _closures(self) -> tuple[list[int], list[float]]:
        """(target, source) positions with weights: a row of the outside is minus the sum of its columns."""
        states = self.tape.states
        pairs: list[int] = []
        weights: list[float] = []
        for kind, target in self.outside.items():
            inside = np.isin(self.inner_pairs[0], self._conserved(kind, target))
            r, c = self.inner_pairs[0][inside], self.inner_pairs[1][inside]
            source = self.symbolic.positions(r, c)
            destination = self.symbolic.positions(np.full(len(c), target), c)
            # df/dt, behind the matrix, closes in the same way.
            driven = np.intersect1d(self.driven, self._conserved(kind, target))
            source = np.concatenate([source, self.symbolic.nnz + driven])
            destination = np.concatenate([destination, np.full(len(driven), self.symbolic.nnz + target)])
            pairs += np.column_stack([destination, source]).ravel().tolist()
            weights += [states[i].scale / states[target].scale for i in (*r, *driven)]
        return pairs, weights

    def _batches(self) -> list[int]:
        """Family, number of elements, and first source, field and value of every batch."""
        tape, source, field_, numbers = self.tape, 0, 0, list[int]()
        value = self.n + len(tape.inputs) + len(tape.settings)
        for rank, members in self.batches:
            family, count = tape.families[rank], len(members)
            numbers += [rank, count, source, field_, value]
            source += count * len(family.inputs)
            field_ += count * len(family.fields)
            value += count * len(family.outputs)
        return numbers

    def program(self) -> Program:
        """Write the arrays."""
        tape = self.tape
        outside_rows = set(self.outside.values())
        closure_pairs, closure_weights = self._closures()
        rates: list[int] = []
        for state, value, _ in tape.rates:
            row = tape.state_of(state)
            # A negative row marks a row closed by sums: it takes part in the rates, not in the scatter.
            rates += [-1 - row if row in outside_rows else row, int(self.index[value])]
        sections = {
            "I_batches": self._batches(),
            "I_sources": [int(s) for i in self.order for s in self.sources[i]],
            "I_rates": rates,
            "I_gradient": self.pointer.tolist(),
            "I_terms": self.terms,
            "I_contract": self.contract,
            "I_scatter": self._scatter(),
            "I_closures": closure_pairs,
        }
        scale = [state.scale for state in tape.states]
        fields = [x for i in self.order for x in tape.elements[i].fields]
        floats = {
            "F_scale": scale,
            "F_inputs": [x for _, start in tape.inputs for x in (start, 0.0, 0.0)],
            "F_settings": [start for _, start in tape.settings],
            "F_fields": fields,
            "F_rates": [c / scale[tape.state_of(state)] for state, _, c in tape.rates],
            "F_closures": closure_weights,
        }
        counts = {
            "states": self.n, "inputs": len(tape.inputs), "settings": len(tape.settings),
            "values": self.value_count, "batches": len(self.batches), "rates": len(tape.rates),
            "closures": len(closure_weights), "lu_size": self.symbolic.nnz,
            "gradient_size": int(self.pointer[-1]),
        }  # fmt: skip
        integer_offsets, integers = _concatenate(sections, len(HEADER))
        float_offsets, float_data = _concatenate(floats, 0)
        header = counts | integer_offsets | float_offsets
        return Program(
            families=tape.families,
            integers=np.array([header[name] for name in HEADER] + integers, np.int64),
            floats=np.array(float_data, np.float64),
            symbolic=self.symbolic,
            states=tuple(tape.states),
            index=self.index,
            input_names=tuple(name for name, _ in tape.inputs),
            setting_names=tuple(name for name, _ in tape.settings),
            field_slot=self._field_slots(float_offsets["F_fields"]),
            rate_slot=float_offsets["F_rates"] + np.arange(len(tape.rates)),
            rate_row=np.array([tape.state_of(state) for state, _, _ in tape.rates], np.int64),
            element_names=tuple(element.name for element in tape.elements),
            rows=self.pairs[0],
            columns=self.pairs[1],
        )

    def _field_slots(self, base: int) -> Ints:
        slots = np.zeros(len(self.tape.elements), np.int64)
        for i in self.order:
            slots[i] = base
            base += len(self.tape.elements[i].fields)
        return slots


def _concatenate(sections: dict[str, list[T]], start: int) -> tuple[dict[str, int], list[T]]:
    offsets: dict[str, int] = {}
    data: list[T] = []
    for name, section in sections.items():
        offsets[name] = start + len(data)
        data += section
    return offsets, data
