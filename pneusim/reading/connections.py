"""Faults of the whole network: ports used twice or not at all, joints of two reservoirs, parts without air."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from pneusim.circuit.circuit import Circuit, Component, Port
from pneusim.circuit.network import islands, used_ports
from pneusim.parts.base import PortSpec
from pneusim.reading.context import Context, Use
from pneusim.reading.faults import listed
from pneusim.reading.references import unread

_STORES = ("reservoir", "supply", "atmosphere")
_SOURCES = (*_STORES, "compressor")
_IDEAL = ("supply", "atmosphere")


def check_connections(circuit: Circuit, context: Context) -> None:
    """Report the faults of a network whose names have been resolved."""
    _used_twice(context)
    _shared_stores(circuit, context)
    _unconnected(circuit, context)
    if not context.draft.doubtful and len(circuit.lines) == len(context.names("line") + context.names("coupling")):
        _airless(circuit, context)
        _nothing_holds_air(circuit, context)


def _used_twice(context: Context) -> None:
    first: dict[object, Use] = {}
    for use in context.draft.uses:
        if use.port not in first:
            first[use.port] = use
            continue
        earlier = first[use.port]
        problem = f"the port {use.port} is used twice, first by the {earlier.user} (line {earlier.place.line})"
        fix = "use another port, or let the lines meet in a component of type tee"
        context.faults.report("C07", use.place, use.path, problem, fix)


def _shared_stores(circuit: Circuit, context: Context) -> None:
    for joint in circuit.joints:
        owners = [circuit.components[port.component] for port in joint.ports]
        stores = [owner for owner in owners if owner.type in _STORES]
        if len({owner.name for owner in stores}) > 1:
            words = " and ".join(f"{owner.name} ({owner.type})" for owner in stores)
            context.faults.report(
                "C04",
                joint.place,
                "joints",
                f"{words} share one joint",
                "put a line between them, or make them one",
            )


def _unconnected(circuit: Circuit, context: Context) -> None:
    used = _numbers([*used_ports(circuit), *(use.port for use in context.draft.uses)])
    for name, component in circuit.components.items():
        if name in context.draft.doubtful or unread(name, context):
            continue
        ports = context.draft.parts[name].ports
        missing = [spec for spec in ports if _must(spec) and not _taken(spec, used.get(name, []))]
        if missing:
            _report_unconnected(component, missing, context)


def _numbers(ports: Iterable[Port]) -> dict[str, list[str]]:
    """Port numbers in use by component."""
    found: dict[str, list[str]] = {}
    for port in ports:
        found.setdefault(port.component, []).append(port.number)
    return found


def _must(spec: PortSpec) -> bool:
    return not spec.exhaust and not spec.optional


def _taken(spec: PortSpec, numbers: list[str]) -> bool:
    if spec.number == "*":
        return bool(numbers)
    return any(number.startswith(spec.number) if spec.many else number == spec.number for number in numbers)


def _report_unconnected(component: Component, missing: list[PortSpec], context: Context) -> None:
    if missing[0].number == "*":
        problem, fix = "nothing is connected to it", f"let a line or joint end at {component.name}.1, or remove it"
    else:
        words = [f"{spec.number}1 ({spec.name})" if spec.many else f"{spec.number} ({spec.name})" for spec in missing]
        ports = f"port {words[0]} is" if len(words) == 1 else f"ports {listed(words)} are"
        problem = f"{ports} not connected"
        port = f"{component.name}.{missing[0].number}{'1' if missing[0].many else ''}"
        fix = f"let a line or joint end at {port}, or close it with a component of type plug"
    context.faults.report("C08", component.place, f"components.{component.name}", problem, fix)


def _airless(circuit: Circuit, context: Context) -> None:
    used = _numbers(used_ports(circuit))
    for group in islands(circuit):
        parts = [circuit.components[name] for name in group]
        if len(parts) == 1 or any(_gives_air(part, used.get(part.name, [])) for part in parts):
            continue
        names = listed([part.name for part in parts])
        context.faults.report(
            "C14",
            parts[0].place,
            f"components.{parts[0].name}",
            f"no air can reach {names}",
            "connect them to a reservoir, a supply, a compressor or a coupling head",
        )


def _nothing_holds_air(circuit: Circuit, context: Context) -> None:
    """Whether every joint is at a source, which yields no air of its own, so that nothing can change."""
    if circuit.lines or not circuit.joints or context.faults.errors:
        return
    if all(any(circuit.components[p.component].type in _IDEAL for p in joint.ports) for joint in circuit.joints):
        place, path = circuit.joints[0].place, "joints"
        problem = "every joint is at an ideal source or the atmosphere, so nothing in the circuit holds air"
        fix = "join a reservoir or a test volume, or draw a line under 'lines:'"
        context.faults.report("C15", place, path, problem, fix)


def _gives_air(part: Component, used: Collection[str]) -> bool:
    """Sources, a vessel that begins under pressure, and a free coupling head."""
    free_head = part.type == "coupling_head" and "2" not in used
    return part.type in _SOURCES or free_head or float(part.parameters.get("pressure", 0.0) or 0.0) > 0.0
