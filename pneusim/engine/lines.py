"""Assembles lines: distributed as staggered cells, or lumped; and the faults a line can have.

A line of N cells gets half a cell of volume at either end node, N - 1 inner nodes with mass and total energy, and
N faces with a mass flow.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from pneusim.engine.assembly import DP_LAMINAR, HOLE_RATIO, REFERENCE_PRESSURE, Assembly
from pneusim.engine.families import LINE_FACE, LINE_HEAT, LINE_NODE, LINE_WALL, RESTRICTION
from pneusim.engine.families.family import MASS_FLOW
from pneusim.engine.machine import Machine
from pneusim.physics.constants import KAPPA, R
from pneusim.physics.plain import hole_conductance, tube_conductance

CELL_LENGTH = 1.0  # [m]; right for times of 58 ms and more at the far end
LEAST_CELLS = 2
MOST_CELLS = 32
CELLS_BESIDE_FAULT = 8
ENTRANCE_LOSS = 0.5
COLBURN = -1.0
LUMPED_FILM = 40.0  # of a lumped line, as of valve bodies; an assumption [W/(m2 K)]
ISOTHERMAL_FILM = 1e5  # [W/(m2 K)]
FLOW_WEIGHT = 10.0  # 1e-6 kg/s at the default tolerance
LEAK_DISCHARGE = 0.7
INNER, END, OPEN_END = 0.0, 1.0, 2.0  # what the law of a face knows of its nodes
LOSS_LENGTH = 50.0  # bores of tube that lose as much as K = 1 at a friction factor of 0.02


@dataclass(frozen=True)
class LineSpec:
    """A line in numbers: lengths [m], roughness [m], loss K [-], film [W/(m2 K)] (negative = Colburn)."""

    name: str
    length: float
    bore: float
    roughness: float
    loss: float = 0.0
    film: float = COLBURN
    friction_factor: float = 0.0
    cells: int | None = None
    lumped: bool = False
    fault_at: float | None = None  # 0..1, where a scenario breaks or leaks it


@dataclass
class Cell:
    """An inner node: its states, its element, and the rates that a break reroutes to the atmosphere."""

    mass: int
    energy: int
    p: int
    T: int
    u: int
    volume: float
    element: int
    heat: int = -1  # element
    own: list[int] = field(default_factory=list)
    outside: list[tuple[int, float]] = field(default_factory=list)  # rate, its coefficient while open


@dataclass
class AssembledLine:
    """What remains to be known of a line: flows and end pressures as values, and handles for faults."""

    spec: LineSpec
    flow_in: int
    flow_out: int
    faces: list[int] = field(default_factory=list)  # elements
    flows: list[int] = field(default_factory=list)  # states
    accelerations: list[int] = field(default_factory=list)  # rates
    cells: list[Cell] = field(default_factory=list)
    shut: int = -1  # setting, of a lumped line
    fault_cell: int = -1


def cell_lengths(spec: LineSpec) -> tuple[list[float], int]:
    """Lengths of the cells [m], and the inner node (from 0) where the scenario needs one, -1 if it does not."""
    if spec.fault_at is None:
        count = spec.cells or min(max(math.ceil(spec.length / CELL_LENGTH - 1e-9), LEAST_CELLS), MOST_CELLS)
        return [spec.length / count] * count, -1
    margin = min(spec.bore / spec.length, 0.5)
    share = min(max(spec.fault_at, margin), 1.0 - margin)
    lengths: list[list[float]] = []
    for part in (share * spec.length, (1.0 - share) * spec.length):
        count = max(CELLS_BESIDE_FAULT, math.ceil(part / CELL_LENGTH - 1e-9))
        lengths.append([part / count] * count)
    return lengths[0] + lengths[1], len(lengths[0]) - 1


def add_line(assembly: Assembly, spec: LineSpec, start: int, end: int) -> AssembledLine:
    """Add a line between two nodes."""
    if spec.lumped and spec.fault_at is None:
        return _lumped(assembly, spec, start, end)
    return _Distributed(assembly, spec, start, end).line


def _lumped(assembly: Assembly, spec: LineSpec, start: int, end: int) -> AssembledLine:
    """Half the volume at either end and a tube's sonic conductance between."""
    half = math.pi / 8.0 * spec.bore**2 * spec.length
    film = LUMPED_FILM if spec.film < 0.0 else spec.film
    for node in (start, end):
        assembly.nodes[node].volume += half
        assembly.nodes[node].wall += film * 0.5 * math.pi * spec.bore * spec.length
    C, b = tube_conductance(spec.bore, spec.length + LOSS_LENGTH * spec.loss * spec.bore)
    shut = assembly.tape.setting(f"{spec.name}.shut", 0.0)
    q = assembly.restriction(spec.name, start, end, C, b, assembly.affine(1.0, (-1.0, shut)))
    return AssembledLine(spec, q, q, shut=shut)


def add_leak(assembly: Assembly, line: AssembledLine, diameter: int) -> None:
    """A hole of variable diameter [m] at the place where the scenario needs one."""
    tape, cell = assembly.tape, line.cells[line.fault_cell]
    square = assembly.product(diameter, diameter)
    fields = (hole_conductance(1.0, LEAK_DISCHARGE), HOLE_RATIO, DP_LAMINAR)
    sources = (cell.p, cell.T, assembly.p_out, assembly.T_out, square)
    q, h = tape.element(RESTRICTION, sources, fields, f"{line.spec.name}.leak")
    cell.own += [tape.rate(cell.mass, q, -1.0), tape.rate(cell.energy, h, -1.0)]
    tape.rate(assembly.mass_out, q, 1.0)
    tape.rate(assembly.energy_out, h, 1.0)


def break_line(machine: Machine, assembly: Assembly, line: AssembledLine) -> None:
    """Open the line at its fault node: its air passes to the atmosphere, both sides become open ends."""
    cell = line.cells[line.fault_cell]
    p, T = assembly.p_ambient, assembly.T_ambient
    _exchange_air(machine, assembly, cell, p * cell.volume / (R * T), p * cell.volume / (KAPPA - 1.0))
    machine.set_field(cell.element, "open", 1.0)
    machine.set_field(line.faces[line.fault_cell], "right_end", OPEN_END)
    machine.set_field(line.faces[line.fault_cell + 1], "left_end", OPEN_END)
    for beside, side in _beside(line):
        machine.set_field(beside.heat, side, 2.0)
    for rate in cell.own:
        machine.set_rate(rate, 0.0)
    for rate, coefficient in cell.outside:
        machine.set_rate(rate, coefficient)


def mend_line(machine: Machine, line: AssembledLine) -> None:
    """Close the fault node again (it has kept ambient air) and let a blocked line flow."""
    if line.shut >= 0:
        machine.set(line.shut, 0.0)
        return
    machine.restore_rate(line.accelerations[_middle(line)])
    if line.fault_cell < 0:
        return
    cell = line.cells[line.fault_cell]
    if machine.get_field(cell.element, "open") > 0.0:
        # The ends are put together: what streamed out of them would be too fast for the thin air between them.
        for flow in line.flows[line.fault_cell : line.fault_cell + 2]:
            machine.set_state(flow, 0.0)
    machine.set_field(cell.element, "open", 0.0)
    machine.set_field(line.faces[line.fault_cell], "right_end", INNER)
    machine.set_field(line.faces[line.fault_cell + 1], "left_end", INNER)
    for beside, side in _beside(line):
        machine.set_field(beside.heat, side, 1.0)
    for rate in [*cell.own, *(rate for rate, _ in cell.outside)]:
        machine.restore_rate(rate)


def block_line(machine: Machine, line: AssembledLine) -> None:
    """Let nothing pass: the face in the middle is shut."""
    if line.shut >= 0:
        machine.set(line.shut, 1.0)
        return
    middle = _middle(line)
    machine.set_rate(line.accelerations[middle], 0.0)
    machine.set_state(line.flows[middle], 0.0)


def _beside(line: AssembledLine) -> list[tuple[Cell, str]]:
    """The neighbours of the fault node, and on which side of them it lies."""
    return [(line.cells[line.fault_cell - 1], "halves_right"), (line.cells[line.fault_cell + 1], "halves_left")]


def _middle(line: AssembledLine) -> int:
    return len(line.faces) // 2


def _exchange_air(machine: Machine, assembly: Assembly, cell: Cell, mass: float, energy: float) -> None:
    """Put other air into a cell; the difference goes to the atmosphere."""
    for state, out, new in ((cell.mass, assembly.mass_out, mass), (cell.energy, assembly.energy_out, energy)):
        machine.set_state(out, machine.get_state(out) + machine.get_state(state) - new)
        machine.set_state(state, new)


class _Distributed:
    """Builds the cells of one line."""

    def __init__(self, assembly: Assembly, spec: LineSpec, start: int, end: int) -> None:
        self.assembly, self.spec, self.tape = assembly, spec, assembly.tape
        self.ends = (start, end)
        self.area = math.pi / 4.0 * spec.bore**2
        self.lengths, fault_cell = cell_lengths(spec)
        count = len(self.lengths)
        assembly.nodes[start].volume += 0.5 * self.area * self.lengths[0]
        assembly.nodes[end].volume += 0.5 * self.area * self.lengths[-1]
        flows = [
            self.tape.state(f"{spec.name}.flow_{j + 1}", MASS_FLOW, 0.0, "flow", FLOW_WEIGHT) for j in range(count)
        ]
        self.line = AssembledLine(spec, flows[0], flows[-1], flows=flows, fault_cell=fault_cell)
        self.cells = [self._cell(i) for i in range(count - 1)]
        self.line.cells = self.cells
        conductances = [self._face(j) for j in range(count)]
        for i, cell in enumerate(self.cells):
            self._heat(i, cell, conductances[i], conductances[i + 1])

    def _cell(self, i: int) -> Cell:
        """Inner node between faces i and i + 1."""
        a, tape, name = self.assembly, self.tape, f"{self.spec.name}.cell_{i + 1}"
        volume = 0.5 * self.area * (self.lengths[i] + self.lengths[i + 1])
        p0 = a.p_ambient + (a.nodes[self.ends[0]].start or 0.0)
        mass = tape.state(
            f"{name}.mass", REFERENCE_PRESSURE * volume / (R * a.T_ambient), p0 * volume / (R * a.T_ambient), "mass"
        )
        energy = tape.state(
            f"{name}.energy", REFERENCE_PRESSURE * volume / (KAPPA - 1.0), p0 * volume / (KAPPA - 1.0), "energy"
        )
        if self.spec.film == 0.0:
            a.adiabatic.append(mass)
        left, right = self.line.flows[i], self.line.flows[i + 1]
        fields = (volume, self.area, 0.0, a.p_ambient, a.T_ambient)
        p, T, u = tape.element(LINE_NODE, (mass, energy, left, right), fields, name)
        return Cell(mass, energy, p, T, u, volume, tape.element_of(p))

    def _side(self, i: int) -> tuple[int, int, int, float]:
        """Pressure, temperature, velocity of node i (0 .. N) and its end flag."""
        if 0 < i < len(self.lengths):
            cell = self.cells[i - 1]
            return cell.p, cell.T, cell.u, INNER
        node = self.assembly.nodes[self.ends[0 if i == 0 else 1]]
        return node.p, node.T, self.assembly.zero, END

    def _face(self, j: int) -> int:
        """Face between nodes j and j + 1; returns the conductance of half its wall."""
        spec, tape, flows = self.spec, self.tape, self.line.flows
        p_l, T_l, u_l, left_end = self._side(j)
        p_r, T_r, u_r, right_end = self._side(j + 1)
        neighbours = (flows[max(j - 1, 0)], flows[j], flows[min(j + 1, len(flows) - 1)])
        wall = (
            self.area, spec.bore, self.lengths[j], spec.roughness / spec.bore, spec.friction_factor, spec.film
        )  # fmt: skip
        number, conductance = tape.element(LINE_WALL, (flows[j],), wall, f"{spec.name}.wall_{j + 1}")
        fields = (
            self.area, spec.bore, self.lengths[j], ENTRANCE_LOSS, left_end, right_end,
            spec.loss * self.lengths[j] / spec.length,
        )  # fmt: skip
        sources = (p_l, T_l, u_l, p_r, T_r, u_r, *neighbours, number)
        acceleration, enthalpy = tape.element(LINE_FACE, sources, fields, f"{spec.name}.face_{j + 1}")
        self.line.faces.append(tape.element_of(acceleration))
        self.line.accelerations.append(tape.rate(flows[j], acceleration, 1.0))
        self.assembly.line_damping.append(tape.rate(flows[j], flows[j], 0.0))
        self._exchange(j, -1.0, flows[j], enthalpy)
        self._exchange(j + 1, 1.0, flows[j], enthalpy)
        return conductance

    def _exchange(self, i: int, sign: float, w: int, enthalpy: int) -> None:
        """Mass and energy of a face into node i."""
        if not 0 < i < len(self.lengths):
            self.assembly.nodes[self.ends[0 if i == 0 else 1]].flows.append((sign, w, enthalpy))
            return
        cell, tape, a = self.cells[i - 1], self.tape, self.assembly
        cell.own += [tape.rate(cell.mass, w, sign), tape.rate(cell.energy, enthalpy, sign)]
        if i - 1 == self.line.fault_cell:
            # Kept ready at coefficient 0: where the air of this face goes while the node is open.
            cell.outside += [(tape.rate(a.mass_out, w, 0.0), sign), (tape.rate(a.energy_out, enthalpy, 0.0), sign)]

    def _heat(self, i: int, cell: Cell, left: int, right: int) -> None:
        """Wall heat of an inner node; beside an end it takes the end's half too."""
        halves = (2.0 if i == 0 else 1.0, 2.0 if i == len(self.cells) - 1 else 1.0)
        fields = (*halves, self.assembly.T_ambient)
        name = f"{self.spec.name}.heat_{i + 1}"
        (heat,) = self.tape.element(LINE_HEAT, (cell.T, cell.u, left, right), fields, name)
        cell.heat = self.tape.element_of(heat)
        self.assembly.exchange(cell.energy, heat, cell.own)
