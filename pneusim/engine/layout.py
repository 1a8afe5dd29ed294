"""From a tape to a program: evaluation order, gradients, sparsity, and the two arrays that the kernel reads."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable
from copy import copy
from graphlib import CycleError, TopologicalSorter
from typing import TypeVar

import numpy as np

from pneusim.engine.sparse import analyse
from pneusim.engine.tape import HEADER, TIME, Ints, Program, Tape

T = TypeVar("T")

_LAID_OUT: OrderedDict[Hashable, _Layout] = OrderedDict()
_MOST_LAID_OUT = 8


def lay_out(tape: Tape, outside: dict[str, int]) -> Program:
    """Lay a tape out; what one of the same structure has worked out lately is taken with the new numbers.

    Parameters
    ----------
    tape : Tape
    outside : dict
        For each conserved kind (``mass``, ``energy``) the state that balances all others of that kind; its row
        of the Jacobian is closed from the column sums, so that sums are invariants to round-off.
    """
    outside = {kind: tape.state_of(value) for kind, value in outside.items()}
    structure = (tape.structure(), tuple(outside.items()))
    known = _LAID_OUT.get(structure)
    if known is None:
        known = _LAID_OUT[structure] = _Layout(tape, outside)
        while len(_LAID_OUT) > _MOST_LAID_OUT:
            _LAID_OUT.popitem(last=False)
    found = copy(known)
    found.tape = tape
    return found.program()


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
        self._closures()
        self._write_integers()

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

    def _closures(self) -> None:
        """(target, source) positions: a row of the outside is minus the weighted sum of its columns."""
        pairs: list[int] = []
        self.closed: list[tuple[int, int]] = []  # states whose scales make the weight: source, target
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
            self.closed += [(int(i), target) for i in (*r, *driven)]
        self.closure_pairs = pairs

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

    def _write_integers(self) -> None:
        """Write the array of integers, and where the numbers of fields and rates stand in the other array."""
        self.parts: dict[frozenset[int], Ints] = {}
        tape = self.tape
        outside_rows = set(self.outside.values())
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
            "I_closures": self.closure_pairs,
        }
        sizes = {
            "F_scale": self.n,
            "F_inputs": 3 * len(tape.inputs),
            "F_settings": len(tape.settings),
            "F_fields": sum(len(element.fields) for element in tape.elements),
            "F_rates": len(tape.rates),
            "F_closures": len(self.closed),
        }
        counts = {
            "states": self.n, "inputs": len(tape.inputs), "settings": len(tape.settings),
            "values": self.value_count, "batches": len(self.batches), "rates": len(tape.rates),
            "closures": len(self.closed), "lu_size": self.symbolic.nnz,
            "gradient_size": int(self.pointer[-1]),
        }  # fmt: skip
        integer_offsets, integers = _concatenate(sections, len(HEADER))
        begins = np.cumsum([0, *sizes.values()]).tolist()
        header = counts | integer_offsets | dict(zip(sizes, begins))
        self.integers = np.array([header[name] for name in HEADER] + integers, np.int64)
        self.field_slot = self._field_slots(header["F_fields"])
        self.rate_slot = header["F_rates"] + np.arange(len(tape.rates))
        self.rate_row = np.array([tape.state_of(state) for state, _, _ in tape.rates], np.int64)

    def program(self) -> Program:
        """Write the numbers of the tape."""
        tape = self.tape
        scale = [state.scale for state in tape.states]
        floats = [
            *scale,
            *(x for _, start in tape.inputs for x in (start, 0.0, 0.0)),
            *(start for _, start in tape.settings),
            *(x for i in self.order for x in tape.elements[i].fields),
            *(c / scale[row] for row, (_, _, c) in zip(self.rate_row.tolist(), tape.rates, strict=True)),
            *(scale[source] / scale[target] for source, target in self.closed),
        ]
        return Program(
            families=tape.families,
            integers=self.integers,
            floats=np.array(floats, np.float64),
            symbolic=self.symbolic,
            states=tuple(tape.states),
            index=self.index,
            input_names=tuple(name for name, _ in tape.inputs),
            setting_names=tuple(name for name, _ in tape.settings),
            field_slot=self.field_slot,
            rate_slot=self.rate_slot,
            rate_row=self.rate_row,
            element_names=tuple(element.name for element in tape.elements),
            rows=self.pairs[0],
            columns=self.pairs[1],
            parts=self.parts,
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
