"""Names in a file to ports, lines, inputs, faults and channels of the whole circuit."""

from __future__ import annotations

from pneusim.circuit.circuit import Port
from pneusim.circuit.ports import canonical, in_words
from pneusim.reading.context import Context
from pneusim.reading.faults import listed, nearest
from pneusim.reading.tree import Scalar


def resolve_port(scalar: Scalar, prefix: str, context: Context) -> Port | None:
    """Port that a text such as ``relay.4`` or ``trailer.relay.control`` names; None if it is at fault."""
    owner, word = split(scalar, "component.port, for example tank.21", context)
    if owner is None:
        return None
    name = component(owner, scalar, prefix, context)
    if name is None or name not in context.draft.parts:
        return None
    ports = context.draft.parts[name].ports
    number = canonical(ports, word)
    if number is not None:
        return Port(name, number)
    context.draft.doubtful.add(name)
    near = nearest(word, [port.name for port in ports])
    kind = context.draft.parts[name].type
    context.faults.report(
        "C02",
        scalar.place,
        scalar.path,
        f"{owner!r} is a {kind} and has no port {word!r}; its ports: {in_words(ports)}",
        f"write '{owner}.{near}'" if near else "write one of its ports",
    )
    return None


def split(scalar: Scalar, form: str, context: Context) -> tuple[str | None, str]:
    """``trailer.relay.4`` to ``trailer.relay`` and ``4``."""
    owner, _, word = scalar.text.rpartition(".")
    if owner and word:
        return owner, word
    context.faults.report(
        "C01", scalar.place, scalar.path, f"{scalar.text!r} has nothing before or behind a point", f"write {form}"
    )
    known = f"{scalar.text}"
    context.draft.doubtful.update(name for name in context.draft.names if name.rpartition(".")[2] == known)
    return None, ""


def component(name: str, scalar: Scalar, prefix: str, context: Context) -> str | None:
    """Full name of a component; None if it is unknown (reported, unless its unit could not be read)."""
    full = prefix + name
    kind = context.draft.names.get(full)
    if kind and kind[0] == "component":
        return full
    if unread(full, context):
        return None
    known = [] if context.faults.many else context.names("component")
    local = [other.removeprefix(prefix) for other in known if other.startswith(prefix)]
    near = nearest(name, local)
    if near:
        context.draft.doubtful.add(prefix + near)
    problem = f"there is no component {name!r}"
    if kind:
        problem = f"{name!r} is a {kind[0]}, wanted is a component"
    fix = f"write {scalar.text.replace(name, near, 1)!r}" if near else "add it under 'components:'"
    if local and not near:
        fix = f"use one of {listed(local)}, or add it"
    context.faults.report("C03", scalar.place, scalar.path, problem, fix)
    return None


def unread(full: str, context: Context) -> bool:
    """Whether a name belongs to a vehicle whose file could not be read."""
    heads = full.split(".")
    return any(".".join(heads[:n]) in context.draft.doubtful for n in range(1, len(heads)))
