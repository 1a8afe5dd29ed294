"""Compiles a circuit for a scenario: every part lowers to primitives, lines and couplings follow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from pneusim.circuit.braking import axle_name
from pneusim.circuit.circuit import Circuit, Component, Line, Port
from pneusim.circuit.rolling import wheel_name
from pneusim.circuit.scenario import Scenario
from pneusim.engine.assembly import ATMOSPHERE, Assembly
from pneusim.engine.lines import COLBURN, ISOTHERMAL_FILM, LEAK_DISCHARGE, AssembledLine, LineSpec, add_leak, add_line
from pneusim.engine.road import Chain
from pneusim.errors import UsageError
from pneusim.parts._foundation import FoundationBrake
from pneusim.parts.base import Part
from pneusim.parts.registry import part as part_class
from pneusim.reading import apply_changes, begin_parameters
from pneusim.reading.targets import LINE_CHANNELS
from pneusim.simulate.asked import input_of, position
from pneusim.simulate.brakes import add_brakes, made_brakes
from pneusim.simulate.check import check
from pneusim.simulate.heat import film_of
from pneusim.simulate.made import made
from pneusim.simulate.ports import Ports, spec_of
from pneusim.simulate.road import add_road
from pneusim.simulate.scope import Scope


@dataclass(frozen=True)
class ChannelValue:
    """A value that a channel shows; ``derived`` if it is a sum of others, which are sampled densely enough."""

    value: int
    dimension: str
    label: str
    derived: bool = False


@dataclass(frozen=True)
class Joining:
    """A coupling: settings (0/1) of the joint and of the two open ends."""

    joined: int
    hose_open: int
    head_open: int


@dataclass
class Compiled:
    """A circuit in primitives, and where its names went."""

    circuit: Circuit
    scenario: Scenario
    assembly: Assembly
    parts: dict[str, Part] = field(default_factory=dict)
    brakes: dict[str, FoundationBrake] = field(default_factory=dict)  # by axle
    channels: dict[str, ChannelValue] = field(default_factory=dict)
    inputs: dict[str, int] = field(default_factory=dict)
    modes: dict[str, int] = field(default_factory=dict)
    faults: dict[str, int] = field(default_factory=dict)
    lines: dict[str, AssembledLine] = field(default_factory=dict)
    couplings: dict[str, Joining] = field(default_factory=dict)
    crossings: dict[frozenset[str], int] = field(default_factory=dict)  # two couplings: setting of the crossed joints
    leaks: dict[str, int] = field(default_factory=dict)  # line or port: setting of the hole's diameter
    hitches: dict[str, int] = field(default_factory=dict)  # unit: setting of whether it is hitched to the one ahead
    chain: Chain | None = None

    def couplings_of(self, unit: str) -> set[str]:
        """Couplings between a unit and the one ahead of it."""
        names = [vehicle.name for vehicle in self.circuit.vehicles]
        pair = {unit, names[names.index(unit) - 1]}
        ends = {
            line.name: {self.circuit.components[port.component].unit for port in (line.start, line.end)}
            for line in self.circuit.couplings.values()
        }
        return {name for name, joined in ends.items() if joined == pair}


def compile_circuit(circuit: Circuit, scenario: Scenario) -> Compiled:
    """Lower a circuit for one scenario.

    The scenario matters: lines that it breaks get a node at that place, couplings that it crosses get the crossed
    joints, and ``begin`` may change parameters.
    """
    check(circuit, scenario)
    changes = begin_parameters(circuit, scenario)
    starts = {
        key: float(position(spec, value)) for key, value in scenario.begin.items() if (spec := input_of(circuit, key))
    }
    return Compiler(apply_changes(circuit, changes), scenario, starts).compiled


class Compiler:
    """Holds what one compilation needs; ``compiled`` is its result."""

    def __init__(self, circuit: Circuit, scenario: Scenario, starts: Mapping[str, float]) -> None:
        self.circuit, self.scenario, self.starts = circuit, scenario, starts
        self.classes = {c.name: part_class(c.type) for c in circuit.components.values()}
        self.assembly = Assembly(circuit.ambient.pressure, circuit.ambient.temperature)
        self.compiled = Compiled(circuit, scenario, self.assembly)
        self.ports = Ports(circuit, self.classes)
        self.storage: dict[str, int] = {}
        self._nodes: dict[Port, int] = {}
        self._owned: set[str] = set()
        self.compiled.brakes = made_brakes(circuit)
        self.growths: dict[str, list[int]] = {}  # wheel: promised growths of the free strokes of its actuators
        self._hoses: dict[str, tuple[int, int, Port, Port]] = {}  # of every coupling: hose end, head, their ports
        for component in circuit.components.values():
            self._lower(component)
        for line in circuit.lines.values():
            self._line(line)
        self._crossings()
        self._port_leaks()
        self._uncoupled_heads()
        add_brakes(self)
        if scenario.road:
            self.compiled.chain = add_road(self, scenario.road)

    # ---- nodes and names, for the scopes

    def connected(self, component: str, number: str) -> bool:
        """Whether a line or a joint with another part than a plug ends at the port."""
        spec = spec_of(self.classes[component], number)
        return any(
            spec_of(self.classes[component], used) is spec and not self._plugged(Port(component, used))
            for used in self.ports.used[component]
        )

    def _plugged(self, port: Port) -> bool:
        for joint in self.circuit.joints:
            if port in joint.ports:
                return all(self.classes[p.component].type == "plug" for p in joint.ports if p != port)
        return False

    def node_of(self, component: str, number: str) -> int:
        """Node that a port belongs to."""
        spec = spec_of(self.classes[component], number)
        if spec.exhaust and not any(spec_of(self.classes[component], n) is spec for n in self.ports.used[component]):
            return ATMOSPHERE
        group = self.ports.group(self.ports.inside(Port(component, number)))
        if group not in self._nodes:
            self._nodes[group] = self.assembly.node(str(group))
        return self._nodes[group]

    def input(self, component: str, name: str, initial: float | None) -> int:
        """The value of an input, made when first asked for."""
        key = f"{component}.{name}"
        if key not in self.compiled.inputs:
            spec = next(spec for spec in self.classes[component].inputs if spec.name == name)
            start = self.starts.get(key, spec.initial if initial is None else initial)
            self.compiled.inputs[key] = self.assembly.tape.input(key, start)
        return self.compiled.inputs[key]

    def fault(self, component: str, name: str) -> int:
        """The setting of a fault, 0 at the start."""
        key = f"{component}.{name}"
        if key not in self.compiled.faults:
            self.compiled.faults[key] = self.assembly.tape.setting(key, 0.0)
        return self.compiled.faults[key]

    def mode(self, component: str, name: str, initial: float, own: bool) -> int:
        """The setting of a mode; the owner's initial value counts, and ``begin`` over it."""
        key, tape = f"{component}.{name}", self.assembly.tape
        if key not in self.compiled.modes:
            self.compiled.modes[key] = tape.setting(key, self.starts.get(key, initial))
        elif own and key not in self._owned:
            _, index, _ = tape.kind(self.compiled.modes[key])
            tape.settings[index] = (key, self.starts.get(key, initial))
        if own:
            self._owned.add(key)
        return self.compiled.modes[key]

    def hot_stroke(self, component: Component, free_stroke: int) -> int:
        """Free stroke of an actuator, with what a brake that gets hot on a road adds."""
        brake = self.compiled.brakes.get(axle_name(component.unit, component.axle or 0))
        if not self.scenario.road or component.side is None or brake is None or brake.thermal_mass is None:
            return free_stroke
        growth = self.assembly.tape.promise()
        wheel = wheel_name(component.unit, component.axle or 0, component.side)
        self.growths.setdefault(wheel, []).append(growth)
        return self.assembly.affine(0.0, (1.0, free_stroke), (1.0, growth))

    def channel(self, name: str, value: int, dimension: str, label: str, *, derived: bool = False) -> None:
        """Offer a channel."""
        self.compiled.channels[name] = ChannelValue(value, dimension, label, derived)

    # ---- parts

    def _lower(self, component: Component) -> None:
        part = made(self.classes[component.name], component.name, component.parameters)
        self.compiled.parts[component.name] = part
        part.lower(Scope(self, component, part))

    # ---- lines

    def _line(self, line: Line) -> None:
        start = self.node_of(line.start.component, line.start.number)
        end = self.node_of(line.end.component, line.end.number)
        if line.coupling:
            start, end = self._coupling(line, start, end)
        actions = {step.action for step in self.scenario.steps if step.target == line.name}
        heat = line.heat or self.circuit.heat
        numbers = LineSpec(
            name=line.name, length=line.length, bore=line.bore, roughness=line.roughness, loss=line.loss,
            film=film_of(heat, COLBURN, ISOTHERMAL_FILM), friction_factor=line.friction_factor or 0.0,
            cells=line.cells, lumped=line.model == "lumped", fault_at=self._fault_place(line),
        )  # fmt: skip
        assembled = add_line(self.assembly, numbers, start, end)
        self.compiled.lines[line.name] = assembled
        if "leak" in actions:
            self.compiled.leaks[line.name] = self.assembly.tape.setting(f"{line.name}.leak", 0.0)
            add_leak(self.assembly, assembled, self.compiled.leaks[line.name])
        values = {
            "flow_in": assembled.flow_in,
            "flow_out": assembled.flow_out,
            "pressure_in": self.assembly.pressure(start),
            "pressure_out": self.assembly.pressure(end),
        }
        title = self.circuit.title_of(line)
        for spec in LINE_CHANNELS:
            self.channel(f"{line.name}.{spec.name}", values[spec.name], spec.dimension, f"{title}: {spec.words}")

    def _fault_place(self, line: Line) -> float | None:
        """Where the scenario breaks or leaks a line, 0..1; a line has one such place."""
        steps = [s for s in self.scenario.steps if s.target == line.name and s.action in ("break", "leak")]
        places = sorted({step.where for step in steps})
        if len(places) > 1:
            told = " and ".join(f"{100.0 * place:g} %" for place in places)
            raise UsageError(
                f"{line.name} breaks or leaks at {told} of its length; one place a line is allowed. "
                f"Divide the line in two with a tee, or use one place."
            )
        return places[0] if places else None

    def _coupling(self, line: Line, start: int, end: int) -> tuple[int, int]:
        """Join the hose to the head it parts from; returns the hose's own ends."""
        a, tape = self.assembly, self.assembly.tape
        kept = self.circuit.components[line.start.component].unit == (line.stays_with or "")
        keeper, other = (line.start, line.end) if kept else (line.end, line.start)
        head = end if kept else start
        hose = a.node(f"{line.name}.hose_end")
        joined = tape.setting(f"{line.name}.joined", 1.0)
        hose_open = tape.setting(f"{line.name}.hose_open", 0.0)
        head_open = tape.setting(f"{line.name}.head_open", 0.0)
        self._joint(line.name, hose, head, (keeper, other), joined)
        for port, node, opening in ((keeper, hose, hose_open), (other, head, head_open)):
            if not self._head(port)["self_sealing"]:
                a.open_end(line.name, node, line.bore, opening)
        self.compiled.couplings[line.name] = Joining(joined, hose_open, head_open)
        self._hoses[line.name] = (hose, head, keeper, other)
        return (start, hose) if kept else (hose, end)

    def _head(self, port: Port) -> dict[str, Any]:
        """Numbers of a coupling head."""
        return self.compiled.parts[port.component].model_dump()

    def _joint(self, name: str, hose: int, head: int, ports: tuple[Port, Port], opening: int) -> None:
        """Join a hose to a head: the narrower of the two heads counts."""
        C = min(self._head(port)["conductance"] for port in ports)
        b = min(self._head(port)["critical_ratio"] for port in ports)
        self.assembly.restriction(name, hose, head, C, b, opening)

    def _crossings(self) -> None:
        """Joints of a hose with the other coupling's head, where the scenario crosses two couplings."""
        for step in self.scenario.steps:
            pair = frozenset(step.targets)
            if step.action != "cross" or pair in self.compiled.crossings:
                continue
            first, second = step.targets
            kept = {self.circuit.components[self._hoses[name][2].component].unit for name in pair}
            if len(kept) > 1:
                raise UsageError(
                    f"{first} and {second} cannot be coupled crosswise: their hoses stay with different vehicles "
                    f"({' and '.join(sorted(kept))}). Give both the same stays_with."
                )
            crossed = self.assembly.tape.setting(f"{first}.crossed", 0.0)
            self.compiled.crossings[pair] = crossed
            for one, other in ((first, second), (second, first)):
                hose, _, keeper, _ = self._hoses[one]
                _, head, _, taken = self._hoses[other]
                self._joint(one, hose, head, (keeper, taken), crossed)

    def _port_leaks(self) -> None:
        for step in self.scenario.steps:
            known = step.target in self.circuit.lines or step.target in self.compiled.leaks
            if step.action == "leak" and not known:
                component, number = step.target.rsplit(".", 1)
                setting = self.assembly.tape.setting(f"{step.target}.leak", 0.0)
                self.compiled.leaks[step.target] = setting
                self.assembly.hole(step.target, self.node_of(component, number), setting, LEAK_DISCHARGE)

    def _uncoupled_heads(self) -> None:
        """A head that nothing is coupled to is open to the atmosphere, unless it seals itself."""
        for name, part in self.compiled.parts.items():
            if part.type == "coupling_head" and "2" not in self.ports.used[name]:
                numbers = part.model_dump()
                if not numbers["self_sealing"]:
                    C, b = numbers["conductance"], numbers["critical_ratio"]
                    self.assembly.restriction(f"{name}.open", self.node_of(name, "2"), ATMOSPHERE, C, b)
