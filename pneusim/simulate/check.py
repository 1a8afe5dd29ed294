"""What a circuit and a scenario made in Python may ask for; files have been held to more by the reader."""

from __future__ import annotations

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.errors import UsageError
from pneusim.parts._foundation import FoundationBrake
from pneusim.parts.base import Part
from pneusim.parts.registry import part, part_types
from pneusim.reading.steps import LONGEST
from pneusim.simulate.asked import input_of, number_fault, position, position_fault, step_faults
from pneusim.simulate.ports import spec_of


def check(circuit: Circuit, scenario: Scenario) -> None:
    """Refuse what the compiler could not make sense of.

    Raises
    ------
    UsageError
        With a line for every fault: unknown parts, ports and targets, steps without a time, values out of range.
    """
    unknown = [f"{c.name}: there is no part type {c.type!r}" for c in circuit.components.values()
               if c.type not in part_types()]  # fmt: skip
    if unknown:
        raise UsageError("\n".join(unknown))
    parts = {c.name: part(c.type) for c in circuit.components.values()}
    faults = [f"{name}: a foundation brake ({kind.type}) is no component; it belongs to an axle"
              for name, kind in parts.items() if issubclass(kind, FoundationBrake)]  # fmt: skip
    faults += _ports(circuit, parts)
    if fault := number_fault(scenario.lasts, 0.0, LONGEST, "time"):
        faults.append(f"scenario {scenario.name!r}: lasts: {fault}")
    faults += _begin(circuit, scenario)
    for step in scenario.steps:
        faults += step_faults(step, circuit, parts)
    if faults:
        raise UsageError("\n".join(faults))


def _ports(circuit: Circuit, parts: dict[str, type[Part]]) -> list[str]:
    ends = [port for line in circuit.lines.values() for port in (line.start, line.end)]
    faults = []
    for port in [*ends, *(port for joint in circuit.joints for port in joint.ports)]:
        if port.component not in parts:
            faults.append(f"{port}: there is no component {port.component!r}")
            continue
        try:
            spec_of(parts[port.component], port.number)
        except KeyError:
            faults.append(f"{port}: a {parts[port.component].type} has no port {port.number!r}")
    return faults


def _begin(circuit: Circuit, scenario: Scenario) -> list[str]:
    """Faults of the inputs at the start; parameters are held to their part's own bounds."""
    faults = []
    for key, value in scenario.begin.items():
        spec = input_of(circuit, key)
        fault = position_fault(spec, position(spec, value)) if spec else ""
        if fault:
            faults.append(f"begin: {key}: {fault}")
    return faults
