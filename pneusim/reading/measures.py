"""Measures and expectations of a scenario."""

from __future__ import annotations

from pneusim import quantities
from pneusim.circuit.automatic import AUTOMATIC
from pneusim.circuit.scenario import Expectation, Measure, Trigger
from pneusim.parts.base import ChannelSpec
from pneusim.quantities import QuantityError
from pneusim.reading.context import Context
from pneusim.reading.faults import nearest
from pneusim.reading.fields import Fields, check_name, quantity_of
from pneusim.reading.targets import find_channel, find_input
from pneusim.reading.tree import ListNode, MapNode, Scalar, kind_in_words
from pneusim.reading.values import read_trigger

ALL_BRAKES = "all_brakes"
_WHAT = ("reach", "max", "min", "value_at")
_OPTIONAL = (*_WHAT, "since", "level", "falls_to", "at", "title")
_PRESSURE = ChannelSpec("service_pressure", "pressure", "")


def read_measures(node: ListNode | None, lasts: float, context: Context) -> tuple[tuple[Measure, ...], dict[str, str]]:
    """Measures that the file asks for, and the dimension of each."""
    measures: dict[str, Measure] = {}
    dimensions: dict[str, str] = {}
    for item in node.items if node else ():
        if not isinstance(item, MapNode):
            problem = f"here stands {kind_in_words(item)}, wanted is a measure"
            context.faults.report("S05", item.place, item.path, problem, "write {name: ..., since: ..., reach: ...}")
            continue
        fields = Fields(
            item, context.faults, ["name"], _OPTIONAL, ambient=context.ambient.pressure, missing_at=item.place
        )
        name = fields.text("name")
        if name is None or not check_name(name, fields.place("name"), item.path, context.faults):
            name = None
        elif name in dimensions:
            fields.report("M01", "name", f"the measure {name!r} is there already", "give it a name of its own")
            name = None
        found = _measure(name or "", fields, lasts, context)
        if name:
            dimensions[name] = ""
        if found and name:
            measures[name], dimensions[name] = found
    return tuple(measures.values()), dimensions


def _measure(name: str, fields: Fields, lasts: float, context: Context) -> tuple[Measure, str] | None:
    node = fields.node
    what = [key for key in _WHAT if key in fields]
    if len(what) != 1:
        seen = f"{' and '.join(what)} are given together" if what else "nothing is measured"
        problem = f"{seen}; a measure has one of reach, max, min and value_at"
        fix = "write one measure for each" if what else "add for example 'reach: left.service_pressure'"
        context.faults.report("M02", node.place, node.path, problem, fix)
        return None
    kind = what[0]
    since = _since(fields, context)
    channel = _channel(fields, kind, context)
    _only_where_it_belongs(fields, kind)
    if kind == "reach":
        return _time(name, fields, since, channel)
    at = fields.quantity("at", "time", low=0.0, high=lasts) if kind == "value_at" else None
    if kind == "value_at" and "at" not in fields:
        fields.report("M03", "value_at", "'value_at' does not say when", "add 'at: 5 s'")
    if channel is None or (kind == "value_at" and at is None):
        return None
    scalar, title = fields.text(kind), fields.text("title") or ""
    return Measure(name, kind, since, channel=scalar, at=at, title=title, place=node.place), channel.dimension


def _only_where_it_belongs(fields: Fields, kind: str) -> None:
    for key in ("level", "falls_to"):
        if key in fields and kind != "reach":
            fields.report("M04", key, f"{key!r} belongs to 'reach', not to {kind!r}", "leave it out")
    if "at" in fields and kind != "value_at":
        fields.report("M04", "at", f"'at' belongs to 'value_at', not to {kind!r}", "leave it out")
    if "since" in fields and kind == "value_at":
        fields.report(
            "M04", "since", "'since' does not belong to 'value_at'", "leave it out; 'at' counts from the start"
        )


def _since(fields: Fields, context: Context) -> str | Trigger | None:
    node = fields.get("since")
    if isinstance(node, MapNode):
        return read_trigger(node, context)
    if isinstance(node, Scalar) and node.value is not None:
        return node.text if find_input(node, context) else None
    fields.text("since")
    return None


def _channel(fields: Fields, kind: str, context: Context) -> ChannelSpec | None:
    node = fields.get(kind)
    if not isinstance(node, Scalar) or node.value is None:
        fields.text(kind)
        return None
    if kind == "reach" and node.text == ALL_BRAKES:
        return _PRESSURE
    return find_channel(node, context)


def _time(
    name: str, fields: Fields, since: str | Trigger | None, channel: ChannelSpec | None
) -> tuple[Measure, str] | None:
    keys = [key for key in ("level", "falls_to") if key in fields]
    if len(keys) != 1:
        seen = "both are given" if keys else "neither is given"
        fields.report("M05", "reach", f"'reach' wants 'level' or 'falls_to'; {seen}", "write 'level: 75 %' or a value")
        return None
    scalar = fields.get(keys[0])
    if channel is None or not isinstance(scalar, Scalar):
        fields.text(keys[0])
        return None
    relative = quantities.symbol_in(scalar.text) == "%" and channel.dimension != "fraction"
    level = fields.quantity(keys[0], "fraction" if relative else channel.dimension)
    if level is None:
        return None
    measure = Measure(
        name,
        "time",
        since,
        reach=fields.text("reach"),
        level=level,
        relative=relative,
        falling=keys[0] == "falls_to",
        title=fields.text("title") or "",
        place=fields.node.place,
    )
    return measure, "time"


_ANY_MEASURE = "add it under 'measure:', or name an automatic one such as tank.lowest"


def read_expectations(node: ListNode | None, dimensions: dict[str, str], context: Context) -> tuple[Expectation, ...]:
    """Expectations; ``dimensions`` are those of the measures that the file asks for ("" = at fault)."""
    found: list[Expectation] = []
    for item in node.items if node else ():
        if not isinstance(item, MapNode):
            problem = f"here stands {kind_in_words(item)}, wanted is an expectation"
            context.faults.report("S05", item.place, item.path, problem, "write {measure: ..., at_most: ...}")
            continue
        fields = Fields(
            item,
            context.faults,
            ["measure"],
            ["at_most", "at_least", "between", "source"],
            ambient=context.ambient.pressure,
            missing_at=item.place,
        )
        expectation = _expectation(fields, dimensions, context)
        if expectation:
            found.append(expectation)
    return tuple(found)


def _expectation(fields: Fields, dimensions: dict[str, str], context: Context) -> Expectation | None:
    node = fields.node
    name = fields.text("measure")
    keys = [key for key in ("at_most", "at_least", "between") if key in fields]
    if len(keys) != 1:
        seen = f"{' and '.join(keys)} are given together" if keys else "no limit is given"
        problem = f"{seen}; an expectation has one of at_most, at_least and between"
        fix = "write one limit; 'between: [low, high]' holds two"
        context.faults.report("M06", node.place, node.path, problem, fix)
        return None
    dimension = None if name is None else _dimension(name, fields, dimensions, context)
    if name is None or dimension is None:
        return None
    bounds = _bounds(fields, keys[0], dimension, context)
    if bounds is None:
        return None
    low = bounds[0] if keys[0] != "at_most" else None
    high = bounds[-1] if keys[0] != "at_least" else None
    return Expectation(name, low, high, fields.text("source") or "", node.place)


def _dimension(name: str, fields: Fields, dimensions: dict[str, str], context: Context) -> str | None:
    """Dimension of a measure ("" = at fault): one of the file's, or (with a point in it) an automatic one."""
    if name in dimensions:
        return dimensions[name]
    owner, _, word = name.rpartition(".")
    part = context.draft.parts.get(owner)
    happenings = [event.name for event in part.events] if part else []
    if owner and word in AUTOMATIC:
        return AUTOMATIC[word]
    if word in happenings:
        return "time"
    if owner and (owner in context.draft.doubtful or (not part and owner in context.names("component"))):
        return ""
    near = nearest(name, list(dimensions)) or nearest(word, [*AUTOMATIC, *happenings])
    fix = f"write {f'{owner}.{near}' if owner and near not in dimensions else near!r}" if near else _ANY_MEASURE
    fields.report("M07", "measure", f"there is no measure {name!r}", fix)
    return None


def _bounds(fields: Fields, key: str, dimension: str, context: Context) -> list[float] | None:
    node = fields.get(key)
    scalars = fields.texts("between") if key == "between" else [node] if isinstance(node, Scalar) else []
    wanted = 2 if key == "between" else 1
    if len(scalars) != wanted or any(scalar.value is None for scalar in scalars):
        fields.report(
            "M08",
            key,
            f"{key!r} does not hold {'two limits' if wanted == 2 else 'a limit'}",
            "write [low, high]" if wanted == 2 else "write a value with its unit",
        )
        return None
    values = [_limit(scalar, dimension, context) for scalar in scalars]
    found = [value for value in values if value is not None]
    if len(found) < wanted:
        return None
    if found[0] > found[-1]:
        fields.report("M08", key, "the first limit is larger than the second", "exchange them")
        return None
    return found


def _limit(scalar: Scalar, dimension: str, context: Context) -> float | None:
    """A limit in the measure's dimension; of a measure at fault whatever its unit says."""
    if dimension:
        return quantity_of(scalar, dimension, context.faults, context.ambient.pressure)
    try:
        return quantities.parse_any(scalar.text, context.ambient.pressure)[0]
    except QuantityError:
        context.faults.report(
            "U03",
            scalar.place,
            scalar.path,
            f"{scalar.text!r} is no value with a unit of this format",
            "write for example 0.45 s, 350 kPa, 9 kN or 60 %",
        )
        return None
