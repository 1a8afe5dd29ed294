"""A laid-out circuit at work: its numbers, its state, and how both are read and patched between segments."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from pneusim.engine.assembly import Assembly, Capture, EventSpec
from pneusim.engine.kernel import Kernel, load
from pneusim.engine.tape import Floats, Program, Tape

SCRATCH = 64  # behind the gradients: the partial derivatives of one element


@dataclass
class Machine:
    """The numbers (``floats``) and the scaled state of one run; ``values`` and ``gradients`` are work arrays."""

    tape: Tape
    program: Program
    events: tuple[EventSpec, ...] = ()
    captures: tuple[Capture, ...] = ()
    longest_step: float = math.inf  # [s]
    time: float = 0.0
    floats: Floats = field(init=False)
    state: Floats = field(init=False)
    values: Floats = field(init=False)
    gradients: Floats = field(init=False)
    kernel: Kernel = field(init=False)
    _slots: dict[int, int] = field(init=False, default_factory=dict)  # of settings, in ``floats``

    def __post_init__(self) -> None:
        self.floats = self.program.floats.copy()
        self.state = self.program.start()
        self.values = np.zeros(self.program.header("values"))
        self.gradients = np.zeros(self.program.header("gradient_size") + SCRATCH)
        self.kernel = load()

    @classmethod
    def of(cls, assembly: Assembly) -> Machine:
        """Finish an assembly and set its machine up."""
        program = assembly.finish()
        return cls(
            assembly.tape, program, tuple(assembly.events), tuple(assembly.captures), assembly.longest_step
        )

    # ---- reading

    def observe(self) -> Floats:
        """Bring the values up to date with the state and the numbers; returns them."""
        self.kernel.observe(self.time, self.state, self.program.integers, self.floats, self.values)
        return self.values

    def read(self, value: int) -> float:
        """A value now."""
        return float(self.observe()[self.program.index[value]])

    def place(self, value: int) -> int:
        """Place of a value in ``values``."""
        return int(self.program.index[value])

    def rates(self) -> Floats:
        """Scaled rates of all states now [1/s]."""
        dy = np.zeros_like(self.state)
        self.kernel.rates(self.time, self.state, dy, self.program.integers, self.floats, self.values)
        return dy

    def total(self, kind: str) -> float:
        """Sum of all states of a conserved kind, SI."""
        return float(sum(y * s.scale for y, s in zip(self.state, self.program.states, strict=True) if s.kind == kind))

    # ---- patching

    def setting(self, value: int) -> float:
        """A setting's number."""
        return float(self.floats[self._setting_slot(value)])

    def set(self, value: int, number: float) -> None:
        """Set a setting; a fault that freezes something captures it as it is now."""
        for capture in self.captures:
            if capture.fault == value and number > 0.0 and self.setting(value) == 0.0:
                self.floats[self._setting_slot(capture.held)] = self.read(capture.value)
        self.floats[self._setting_slot(value)] = number

    def _setting_slot(self, value: int) -> int:
        slot = self._slots.get(value)
        if slot is None:
            kind, index, _ = self.tape.kind(value)
            if kind != "setting":
                raise ValueError(f"value {value} is no setting")
            slot = self._slots[value] = self.program.setting_slot(index)
        return slot

    def input(self, value: int) -> float:
        """An input's number now."""
        return self.input_at(self._input_index(value))

    def input_at(self, index: int) -> float:
        """The number now of the input that stands at an index of ``program.input_names``."""
        f = self.program.input_slot(index)
        start, slope, since = self.floats[f : f + 3]
        return float(start + slope * (self.time - since))

    def move(self, value: int, number: float, slope: float = 0.0) -> None:
        """Give an input a number now and a slope from now on [1/s]."""
        f = self.program.input_slot(self._input_index(value))
        self.floats[f : f + 3] = number, slope, self.time

    def _input_index(self, value: int) -> int:
        kind, index, _ = self.tape.kind(value)
        if kind != "input":
            raise ValueError(f"value {value} is no input")
        return index

    def get_field(self, element: int, name: str) -> float:
        """A field of an element."""
        return float(self.floats[self._field_slot(element, name)])

    def set_field(self, element: int, name: str, number: float) -> None:
        """Patch a field of an element."""
        self.floats[self._field_slot(element, name)] = number

    def _field_slot(self, element: int, name: str) -> int:
        return int(self.program.field_slot[element]) + self.tape.elements[element].family.field(name)

    def set_rate(self, rate: int, coefficient: float) -> None:
        """Patch the coefficient of a rate [SI]."""
        scale = self.program.states[self.program.rate_row[rate]].scale
        self.floats[self.program.rate_slot[rate]] = coefficient / scale

    def multiply_rate(self, rate: int, factor: float) -> None:
        """Give a rate a multiple of its own coefficient."""
        self.floats[self.program.rate_slot[rate]] = factor * self.program.floats[self.program.rate_slot[rate]]

    def restore_rate(self, rate: int) -> None:
        """Give a rate its own coefficient again."""
        self.floats[self.program.rate_slot[rate]] = self.program.floats[self.program.rate_slot[rate]]

    def get_state(self, value: int) -> float:
        """A state, SI."""
        i = self.tape.state_of(value)
        return float(self.state[i] * self.program.states[i].scale)

    def set_state(self, value: int, number: float) -> None:
        """Put a state, SI."""
        i = self.tape.state_of(value)
        self.state[i] = number / self.program.states[i].scale
