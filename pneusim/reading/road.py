"""The road of a scenario: speed, slope, stretches, and how the vehicles are loaded."""

from __future__ import annotations

import math
from collections.abc import Mapping

from pneusim import quantities
from pneusim.circuit.road import BEHIND, Road, Stretch, Surface
from pneusim.circuit.surfaces import shipped_surfaces
from pneusim.reading.context import Context
from pneusim.reading.faults import listed, nearest
from pneusim.reading.fields import Fields
from pneusim.reading.likes import entries
from pneusim.reading.rolling import check_rolling
from pneusim.reading.surfaces import read_surface, take_name
from pneusim.reading.tree import ListNode, MapNode, Scalar, kind_in_words

STATES = ("laden", "empty")
MOST_STRETCHES = 200
STEEPEST = 0.3  #: [-]
FASTEST = 200 / 3.6  #: [m/s]
_KEYS = ("speed", "grade", "surface", "stretches", "surfaces", "loading")
_USUAL = "dry"


def read_road(scenario: Fields, context: Context) -> Road | None:
    """The key ``road`` of a scenario, and whether the vehicles can roll on it; None if it is not there."""
    node = scenario.mapping("road")
    if node is None:
        return None
    fields = Fields(node, context.faults, (), _KEYS, missing_at=None)
    surfaces = _surfaces(fields, context)
    stretches = _stretches(fields, surfaces, context)
    used = {name for stretch in stretches for name in (stretch.left, stretch.right)}
    own = fields.mapping("surfaces") or ()
    named = {entry.key for entry in own} | used
    road = Road(
        speed=fields.quantity("speed", "speed", low=0.0, high=FASTEST) or 0.0,
        grade=_grade(fields) or 0.0,
        stretches=stretches,
        surfaces={name: found for name, found in surfaces.items() if found and name in named},
        loading=_loading(fields, context),
        place=node.place,
    )
    check_rolling(road, context)
    return road


def _grade(fields: Fields) -> float | None:
    """Slope, uphill positive [-], from a percentage or an angle."""
    scalar = fields.get("grade")
    if isinstance(scalar, Scalar) and quantities.symbol_in(scalar.text) in quantities.DIMENSIONS["angle"].units:
        steepest = math.atan(STEEPEST)
        angle = fields.quantity("grade", "angle", low=-steepest, high=steepest)
        return None if angle is None else math.tan(angle)
    return fields.quantity("grade", "fraction", low=-STEEPEST, high=STEEPEST)


def _surfaces(fields: Fields, context: Context) -> dict[str, Surface | None]:
    """Surfaces by name, the shipped ones and the road's own; None for those at fault."""
    found: dict[str, Surface | None] = dict(shipped_surfaces())
    section = fields.mapping("surfaces")
    for entry in entries(section, context.faults).values() if section else ():
        if take_name(entry, context):
            found[entry.name] = read_surface(entry, context)
    return found


def _stretches(fields: Fields, surfaces: Mapping[str, Surface | None], context: Context) -> tuple[Stretch, ...]:
    """Stretches from the rear on; the first one is that of the key ``surface``."""
    node = fields.get("surface")
    first = _USUAL if node is None else _named(fields, "surface", surfaces, context)
    found = [Stretch(BEHIND, first or _USUAL, first or _USUAL)]
    items: ListNode | None = fields.sequence("stretches")
    if items and len(items.items) > MOST_STRETCHES:
        problem = f"the road has more than {MOST_STRETCHES} stretches"
        context.faults.report("S10", items.place, items.path, problem, "leave some out")
        return tuple(found)
    for item in items.items if items else ():
        if not isinstance(item, MapNode):
            problem = f"here stands {kind_in_words(item)}, wanted is a stretch"
            context.faults.report("S05", item.place, item.path, problem, "write {from: 20 m, surface: wet}")
            continue
        stretch = _stretch(item, surfaces, context)
        if stretch and stretch.start <= found[-1].start:
            path = f"{item.path}.from"
            problem = f"this stretch begins at {stretch.start:g} m, the one before it at {found[-1].start:g} m"
            context.faults.report("R02", item.place, path, problem, "write the stretches in the order of driving")
        elif stretch:
            found.append(stretch)
    return tuple(found)


def _stretch(node: MapNode, surfaces: Mapping[str, Surface | None], context: Context) -> Stretch | None:
    keys = ("surface", "left", "right")
    fields = Fields(node, context.faults, ["from"], keys, missing_at=node.place)
    start = fields.quantity("from", "distance", low=-1e3, high=1e5)
    given = tuple(key for key in keys if key in fields)
    named = {key: _named(fields, key, surfaces, context) for key in given}
    if given not in (("surface",), ("left", "right")):
        seen = f"{' and '.join(given)} {'are' if given[1:] else 'is'} given" if given else "no surface is given"
        problem = f"{seen}; a stretch has a surface, or one on the left and one on the right"
        fix = "write 'surface: wet', or 'left: low' and 'right: dry'"
        context.faults.report("R03", node.place, node.path, problem, fix)
        return None
    left, right = named[given[0]], named[given[-1]]
    return None if start is None or left is None or right is None else Stretch(start, left, right)


def _named(fields: Fields, key: str, surfaces: Mapping[str, Surface | None], context: Context) -> str | None:
    """Name of a surface that there is."""
    name = fields.text(key)
    if name is None or name in surfaces:
        return name
    near = nearest(name, surfaces)
    fix = f"write {near!r}" if near else f"use one of {listed(surfaces)}, or describe it under 'surfaces:'"
    fields.report("R01", key, f"there is no surface {name!r}", fix)
    return None


def _loading(fields: Fields, context: Context) -> dict[str, str]:
    """State of loading by unit; a single word is for all."""
    node = fields.get("loading")
    vehicles = {vehicle.name: vehicle for vehicle in context.draft.vehicles}
    empties = [name for name, vehicle in vehicles.items() if vehicle.motion and vehicle.motion.empty]
    if not isinstance(node, MapNode):
        state = fields.word("loading", STATES)
        if state == "empty" and not empties and any(vehicle.motion for vehicle in vehicles.values()):
            fix = "add 'empty: {mass: ..., centre_height: ...}' under 'vehicle:', or leave 'loading' out"
            fields.report("R08", "loading", "no vehicle has an empty loading", fix)
        return {name: state for name in vehicles} if state else {}
    inner = Fields(node, context.faults, (), [name for name in vehicles if name], missing_at=None)
    states = {name: inner.word(name, STATES) for name in vehicles if name in inner}
    for name, state in states.items():
        if state == "empty" and name not in empties and vehicles[name].motion:
            fix = f"add 'empty: {{mass: ..., centre_height: ...}}' under 'vehicle:' in the file of {name}"
            inner.report("R08", name, f"{name} has no empty loading", fix)
    return {name: state for name, state in states.items() if state}
