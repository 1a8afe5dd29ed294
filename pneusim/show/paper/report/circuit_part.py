"""The circuit in a report: what it is, its drawing, its parts with their figures, its lines, its axles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pneusim.circuit.circuit import Axle, Circuit, Component, Vehicle
from pneusim.parts.base import Part
from pneusim.parts.catalogue import entry
from pneusim.parts.registry import part
from pneusim.quantities import DIMENSIONS, express, express_in
from pneusim.results.restate import restate
from pneusim.results.words import listed, unit_title
from pneusim.show.markup import NAME, Cell, Html, Section, facts, html, table, text
from pneusim.show.paper.report.road_part import vehicles

MOST_OWNERS = 2
"""Components that are named where a default is used; more are counted."""

PRACTICES = {"us": "North American practice", "un13": "European practice (UN R13)"}

WALLS = {"reservoir": "reservoirs", "plenum": "valve bodies", "chamber": "brake chambers"}
"""Walls whose film coefficients the catalogue has."""

HEAT = {
    "adiabatic": "none: walls take no heat",
    "isothermal": "without limit: the air stays as warm as the walls",
    "fixed": "the same coefficient everywhere",
}

Value = object


def circuit_section(circuit: Circuit, title: str, drawing: Html, system: str) -> Section:
    """Everything that the computation was given; ``drawing`` is its schematic as HTML, "" if there is none."""
    return Section(
        title,
        html(text(circuit.about), facts(_facts(circuit, system))),
        (
            *([Section("Schematic", drawing, kind="wide")] if drawing else []),
            Section("Parts and the figures given", _parts(circuit, system)),
            Section("Lines", _lines(circuit, system)),
            *([Section("Axles and their brakes", axles)] if (axles := _axles(circuit, system)) else []),
            *([Section("Vehicles and what they roll on", rolling)] if (rolling := vehicles(circuit, system)) else []),
            Section("Defaults used, and where they come from", _defaults(circuit, system)),
        ),
        kind="page",
    )


def _facts(circuit: Circuit, system: str) -> Iterator[tuple[str, str]]:
    yield "circuit file", circuit.source
    for vehicle in circuit.vehicles:
        yield f"vehicle {unit_title(vehicle.name)}".rstrip(), _vehicle(vehicle)
    pressure = express(circuit.ambient.pressure, "pressure", system)
    temperature = express(circuit.ambient.temperature, "temperature", system)
    yield "surroundings", f"{pressure} absolute, {temperature}; pressures in this report are gauge"
    heat = circuit.heat
    film = f", {express(heat.coefficient, 'film', system)}" if heat.mode == "fixed" else ""
    told = _films(system) if heat.mode == "default" else f"{HEAT.get(heat.mode, heat.mode)}{film}"
    yield "heat exchange with walls", told
    yield "size", f"{len(circuit.components)} parts, {len(circuit.lines)} lines, {len(circuit.joints)} joints"


def _films(system: str) -> str:
    found = {words: entry(f"heat.{name}") for name, words in WALLS.items()}
    told = listed([f"{words} {_in(str(one.value), system)}" for words, one in found.items()])
    sources = listed(list(dict.fromkeys(_words(one.source) for one in found.values())))
    return f"film coefficients of {told} (source: {sources})"


def _vehicle(vehicle: Vehicle) -> str:
    return f"{_words(vehicle.kind)}, built to {PRACTICES.get(vehicle.practice, vehicle.practice)}"


def _axles(circuit: Circuit, system: str) -> Html:
    """A row for every axle: its static load, its tyres, and the brake under it with the figures given."""
    rows = []
    for vehicle in circuit.vehicles:
        for axle in vehicle.axles:
            load = "" if axle.load is None else express(axle.load, "force", system)
            radius = "" if axle.tyre_radius is None else express(axle.tyre_radius, "length", system)
            brake = _brake(vehicle, axle)
            kind, given = ("not described", "") if brake is None else (part(brake.type).title, _given(brake, system))
            rows.append((_axle(vehicle, axle), (load, "number"), (radius, "number"), kind, given))
    heads = ("axle", ("static load", "number"), ("tyre radius", "number"), "brake", "figures given in the file")
    return table(heads, rows, kind="axles") if rows else Html()


def _axle(vehicle: Vehicle, axle: Axle) -> str:
    return f"{unit_title(vehicle.name)} axle {axle.number}".strip()


def _brake(vehicle: Vehicle, axle: Axle) -> Component | None:
    """The foundation brake under an axle as if it were a component."""
    given = {name: value for name, value in axle.brake.items() if name != "type"}
    return Component(_axle(vehicle, axle), axle.brake["type"], given) if axle.brake else None


def _parts(circuit: Circuit, system: str) -> Html:
    rows = [
        ((c.name, NAME), circuit.title_of(c), _words(c.type), _given(c, system)) for c in circuit.components.values()
    ]
    return table(("name", "what it is", "type", "figures given in the file"), rows, kind="parts")


def _given(component: Component, system: str) -> str:
    kind = part(component.type)
    told = [f"{_words(name)} {amount(kind, name, value, system)}" for name, value in component.parameters.items()]
    return "; ".join(told) or "none"


def _lines(circuit: Circuit, system: str) -> Html:
    rows = []
    for line in circuit.lines.values():
        extras = [
            f"loss {line.loss:.3g}" if line.loss else "",
            "lumped" if line.model == "lumped" else "",
            f"stays with {unit_title(line.stays_with)}" if line.stays_with else "",
        ]
        names: list[Cell] = [(name, NAME) for name in (line.name, str(line.start), str(line.end))]
        bore = express(line.bore, "length", system)
        length = express_in(line.length, DIMENSIONS["length"].unit("m" if system == "si" else "ft"))
        rows.append((*names, (bore, "number"), (length, "number"), "; ".join(filter(None, extras))))
    return table(("name", "from", "to", ("bore", "number"), ("length", "number"), "remarks"), rows, kind="lines")


def _defaults(circuit: Circuit, system: str) -> Html:
    """A table for every type: its defaults with their values, sources and notes, and the parts that use them."""
    brakes = [_brake(vehicle, axle) for vehicle in circuit.vehicles for axle in vehicle.axles]
    types: dict[str, list[Component]] = {}
    for component in [*circuit.components.values(), *(brake for brake in brakes if brake is not None)]:
        types.setdefault(component.type, []).append(component)
    return html(*(_of_type(circuit, part(name), members, system) for name, members in types.items()))


def _of_type(circuit: Circuit, kind: type[Part], members: Sequence[Component], system: str) -> Html:
    used: dict[str, tuple[str, list[Component]]] = {}
    for component in members:
        made = kind(**component.parameters)
        for name in kind.model_fields:
            key = made.catalogue_key(name)
            if name not in component.parameters and key is not None:
                used.setdefault(key, (name, []))[1].append(component)
    rows = []
    for key, (name, users) in used.items():
        default = entry(key)
        value = default.value if isinstance(default.value, str) else amount(kind, name, default.value, system)
        owners = _users(circuit, users, members)
        rows.append((_words(name), _in(value, system), _words(default.source), default.note, owners))
    return table(("default", "value", "source", "note", "used by"), rows, kind.title, "defaults")


def _in(value: str, system: str) -> str:
    """A value of the catalogue, written as in a circuit file, in the unit system."""
    return value if system == "si" else restate(value, system)


def _users(circuit: Circuit, users: Sequence[Component], members: Sequence[Component]) -> str:
    if len(users) == len(members) > 1:
        return f"all {len(members)}"
    if len(users) <= MOST_OWNERS:
        return listed([circuit.title_of(component) for component in users])
    return f"{len(users)} of {len(members)}"


def _words(name: str) -> str:
    return name.replace("_", " ")


def amount(kind: type[Part], name: str, value: Value, system: str) -> str:
    """A parameter's value in words; times, lengths and the like with their unit.

    Examples
    --------
    >>> amount(part("reservoir"), "volume", 0.04, "si")
    '40 L'
    """
    extra = kind.model_fields[name].json_schema_extra
    dimension = str(extra["dimension"]) if isinstance(extra, dict) else "number"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)) and dimension in DIMENSIONS:
        return express(float(value), dimension, system)
    return str(value).replace("_", " ") if value is not None else "none"
