"""Lines, couplings and joints of a file."""

from __future__ import annotations

from typing import Any

from pneusim.circuit.circuit import Joint, Line, Port
from pneusim.parts.catalogue import default_of
from pneusim.reading.bores import LEAST, MOST, WAYS, read_bore
from pneusim.reading.context import Context, UnitFile, Use
from pneusim.reading.fields import Fields, check_name
from pneusim.reading.likes import Merged, entries
from pneusim.reading.references import component, resolve_port
from pneusim.reading.surroundings import read_heat
from pneusim.reading.tree import ListNode, MapNode, Scalar, kind_in_words

MOST_LINES = 2000
MODELS = ("distributed", "lumped")
LINE_PARAMETERS = ("length", "bore", "roughness", "loss", "friction_factor", "model", "cells")
_REQUIRED = ("from", "to", "length")
_OPTIONAL = (*WAYS, "label", "roughness", "bends", "loss", "model", "cells", "heat", "friction_factor")


def read_lines(unit: UnitFile, context: Context) -> None:
    """Add the lines and couplings of a unit's file to the draft."""
    for section_name, kind in (("lines", "line"), ("couplings", "coupling")):
        section = unit.fields.mapping(section_name)
        if section is None:
            continue
        if len(context.draft.lines) + len(section.entries) > MOST_LINES:
            _too_many(section, "lines", context)
            continue
        found = entries(section, context.faults)
        for unread in section:
            if unread.key not in found:
                context.draft.names.setdefault(unit.prefix + unread.key, (kind, unread.place))
        for entry in found.values():
            place, path = entry.key_place, entry.node.path
            named = check_name(entry.name, place, path, context.faults)
            free = named and context.claim(unit.prefix + entry.name, kind, place, path)
            line = _line(entry, unit, context, coupling=kind == "coupling")
            if line and free:
                context.draft.lines[line.name] = line


def _too_many(section: MapNode | ListNode, what: str, context: Context) -> None:
    problem = f"the circuit has more than {MOST_LINES} {what}"
    context.faults.report("S10", section.place, section.path, problem, "split it into circuits of their own")


def _line(entry: Merged, unit: UnitFile, context: Context, *, coupling: bool) -> Line | None:
    optional = [*_OPTIONAL, "stays_with"] if coupling else _OPTIONAL
    fields = Fields(
        entry.node, context.faults, _REQUIRED, optional, ambient=context.ambient.pressure, missing_at=entry.place
    )
    ends = _ends(fields, entry, unit, context, coupling=coupling)
    bore, material = read_bore(fields)
    _require_bore(fields, entry, context)
    values = line_values(fields)
    values.setdefault("roughness", default_of(f"tubes.roughness.{material}", "length"))
    values["bend_loss"] = (fields.integer("bends", 0, 100) or 0) * default_of("tubes.bend.loss")
    values["loss"] = values.get("loss", 0.0) + values["bend_loss"]
    heat, label = read_heat(fields), fields.text("label")
    stays_with = _stays_with(fields, ends, unit.prefix, context) if coupling else None
    if ends is None or bore is None or "length" not in values:
        return None
    return Line(
        name=unit.prefix + entry.name,
        start=ends[0],
        end=ends[1],
        **{**values, "bore": bore},
        heat=heat,
        label=label,
        unit=unit.unit,
        coupling=coupling,
        stays_with=stays_with,
        place=entry.key_place,
    )


def line_values(fields: Fields) -> dict[str, Any]:
    """Numbers of a line that a map gives, by the names of `Line`; those at fault are left out."""
    found = {
        "length": fields.quantity("length", "length", low=0.01, high=200.0),
        "bore": fields.quantity("bore", "length", low=LEAST, high=MOST),
        "roughness": fields.quantity("roughness", "length", low=0.0, high=1e-3),
        "loss": fields.quantity("loss", "number", low=0.0, high=1000.0),
        "friction_factor": fields.quantity("friction_factor", "number", above=0.0, high=1.0),
        "model": fields.word("model", MODELS),
        "cells": fields.integer("cells", 2, 500),
    }
    return {name: value for name, value in found.items() if value is not None}


def _require_bore(fields: Fields, entry: Merged, context: Context) -> None:
    if entry.place and not any(way in fields for way in WAYS):
        context.faults.report(
            "C09",
            entry.place,
            entry.node.path,
            "the line has no bore",
            "add 'bore: 9 mm', or a tube such as 'tube: 12x1.5', or 'hose: 9.5 mm'",
        )


def _ends(
    fields: Fields, entry: Merged, unit: UnitFile, context: Context, *, coupling: bool
) -> tuple[Port, Port] | None:
    ends: list[Port] = []
    for key in ("from", "to"):
        scalar = fields.get(key)
        if not isinstance(scalar, Scalar) or scalar.value is None:
            fields.text(key)
            continue
        port = _head(scalar, unit, context) if coupling else resolve_port(scalar, unit.prefix, context)
        if port and port in ends:
            fields.report("C05", "to", f"the line leads from {port} back to itself", "name another port")
        elif port:
            ends.append(port)
            inherited = not scalar.path.startswith(f"{fields.node.path}.")
            place = entry.key_place if inherited else scalar.place
            context.draft.uses.append(Use(port, place, scalar.path, f"line {entry.name!r}"))
    if len(ends) < 2:
        context.draft.doubtful.update(port.component for port in ends)
        return None
    return ends[0], ends[1]


def _head(scalar: Scalar, unit: UnitFile, context: Context) -> Port | None:
    """The outer port of a coupling head."""
    name = component(scalar.text, scalar, unit.prefix, context)
    if name is None or name not in context.draft.parts:
        return None
    kind = context.draft.parts[name].type
    if kind == "coupling_head":
        return Port(name, "2")
    context.faults.report(
        "C12",
        scalar.place,
        scalar.path,
        f"{scalar.text!r} is a {kind}; a coupling joins two coupling heads",
        "name a component of type coupling_head, or draw an ordinary line under 'lines:'",
    )
    return None


def _stays_with(fields: Fields, ends: tuple[Port, Port] | None, prefix: str, context: Context) -> str | None:
    """Unit that keeps the hose: the one named, else that of ``from``."""
    if ends is None:
        return None
    units = [context.draft.components[end.component].unit for end in ends]
    words = [unit.removeprefix(prefix) for unit in dict.fromkeys(units) if unit]
    if "stays_with" not in fields:
        return units[0] or None if len(set(units)) == 2 else None
    if not words:
        fields.report("C13", "stays_with", "there are no vehicles that could keep the hose", "leave 'stays_with' out")
        return None
    chosen = fields.word("stays_with", words)
    return prefix + chosen if chosen else None


def read_joints(unit: UnitFile, context: Context) -> None:
    """Add the joints of a unit's file to the draft."""
    section = unit.fields.sequence("joints")
    if section is None:
        return
    if len(section.items) > MOST_LINES:
        _too_many(section, "joints", context)
        return
    for item in section.items:
        if not isinstance(item, ListNode):
            context.faults.report(
                "S05",
                item.place,
                item.path,
                f"here stands {kind_in_words(item)}, wanted is a list of ports",
                "write for example [tank.21, foot.11]",
            )
            continue
        _joint(item, unit, context)


def _joint(node: ListNode, unit: UnitFile, context: Context) -> None:
    found: list[Port | None] = []
    for item in node.items:
        if isinstance(item, Scalar):
            port = resolve_port(item, unit.prefix, context)
            found.append(port)
            if port:
                context.draft.uses.append(Use(port, item.place, item.path, f"joint in line {node.place.line}"))
        else:
            problem = f"here stands {kind_in_words(item)}, wanted is a port"
            context.faults.report("S05", item.place, item.path, problem, "write for example tank.21")
            found.append(None)
    ports = [port for port in found if port]
    if len(found) < 2:
        context.draft.doubtful.update(port.component for port in ports)
        context.faults.report(
            "C06",
            node.place,
            node.path,
            f"a joint of {'one port' if found else 'no ports'} joins nothing",
            "name two ports or more, or close a port with a component of type plug",
        )
    elif len(ports) < len(found):
        context.draft.doubtful.update(port.component for port in ports)
    else:
        context.draft.joints.append(Joint(tuple(ports), node.place))
