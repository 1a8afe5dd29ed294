"""What a circuit and a scenario made in Python may ask for; files have been held to more by the reader."""

from __future__ import annotations

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario, Step
from pneusim.errors import UsageError
from pneusim.parts._foundation import FoundationBrake
from pneusim.parts.base import Part
from pneusim.parts.registry import part, part_types
from pneusim.simulate.ports import spec_of


def check(circuit: Circuit, scenario: Scenario) -> None:
    """Refuse what the compiler could not make sense of.

    Raises
    ------
    UsageError
        With a line for every fault: unknown parts, ports and targets, steps without a time.
    """
    unknown = [f"{c.name}: there is no part type {c.type!r}" for c in circuit.components.values()
               if c.type not in part_types()]  # fmt: skip
    if unknown:
        raise UsageError("\n".join(unknown))
    parts = {c.name: part(c.type) for c in circuit.components.values()}
    faults = [f"{name}: a foundation brake ({kind.type}) is no component; it belongs to an axle"
              for name, kind in parts.items() if issubclass(kind, FoundationBrake)]  # fmt: skip
    faults += _ports(circuit, parts)
    for step in scenario.steps:
        faults += _step(step, circuit, parts)
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


def _step(step: Step, circuit: Circuit, parts: dict[str, type[Part]]) -> list[str]:
    """Faults of one step."""
    what = f"step {step.action!r}"
    if (step.at is None) == (step.when is None):
        return [f"{what} needs either at or when"]
    if step.action in ("set", "fault"):
        owner, _, name = step.target.rpartition(".")
        if owner not in parts:
            return [f"{what}: there is no component {owner!r}"]
        specs = parts[owner].inputs if step.action == "set" else parts[owner].faults
        known = [spec.name for spec in specs]
        return [] if name in known else [f"{what}: {owner} has no {name!r} (there are: {', '.join(known) or 'none'})"]
    if step.action in ("break", "block") and step.target not in circuit.lines:
        return [f"{what}: there is no line {step.target!r}"]
    if step.action in ("separate", "couple", "cross"):
        return [f"{what}: there is no coupling {name!r}" for name in step.targets if name not in circuit.couplings]
    return []
