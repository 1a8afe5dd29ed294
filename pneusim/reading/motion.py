"""What makes a vehicle roll: its loadings and hitches, and its axles' places, groups and tyres."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from pneusim import quantities
from pneusim.circuit.circuit import Axle
from pneusim.circuit.figures import usual
from pneusim.circuit.motion import Hitch, Loading, Motion, Rolling, Tyre
from pneusim.circuit.statics import CARRIED
from pneusim.errors import Place
from pneusim.reading.context import Context
from pneusim.reading.fields import Fields
from pneusim.reading.tree import MapNode, Scalar

VEHICLE_KEYS = ("laden", "empty", "front_hitch", "rear_hitch", "drag_area", "skid")
AXLE_KEYS = ("at", "group", "wheel_inertia", "tyre")
TYRE_LAWS = ("burckhardt", "magic")
GROUPS = ("front", "rear")
_TYRE_KEYS = ("law", "adhesion", "rated_load", "load_sensitivity", "relaxation")
_POWERED = ("truck", "tractor", "bus", "rig")
_STEERED = ("truck", "tractor", "bus")


def read_motion(fields: Fields, kind: str, context: Context) -> Motion | None:
    """What the keys of ``vehicle:`` say about rolling; None if they say nothing, or lack what is needed."""
    if not any(key in fields for key in VEHICLE_KEYS):
        return None
    if "laden" not in fields:
        missing = "the key 'laden' is missing; without it the other keys about rolling say nothing"
        context.faults.report("S02", fields.node.place, fields.node.path, missing, "add 'laden: {mass: 16 t, ...}'")
    laden, empty = _loading(fields, "laden", context), _loading(fields, "empty", context)
    front, rear = _hitch(fields, "front_hitch", context), _hitch(fields, "rear_hitch", context)
    drag = fields.quantity("drag_area", "area", low=0.0, high=30.0)
    skid = fields.quantity("skid", "number", low=0.0, high=2.0)
    if laden and empty and empty.mass > laden.mass:
        fields.report("V03", "empty", "the empty mass is larger than the laden one", "exchange them")
    if laden is None:
        return None
    place = "powered" if kind in _POWERED else "towed"
    return Motion(laden, empty, front, rear, _or(drag, f"drag_area.{place}", "area"), _or(skid, "skid"))


def read_rolling(fields: Fields, number: int, kind: str, load: float | None, context: Context) -> Rolling | None:
    """What the keys of an axle say about rolling; ``load`` is its laden one [N]; None if they say nothing."""
    if not any(key in fields for key in AXLE_KEYS):
        return None
    if "at" not in fields:
        missing = "the key 'at' is missing; without it the other keys about rolling say nothing"
        context.faults.report("S02", fields.node.place, fields.node.path, missing, "add 'at: 5 m', counted rearward")
    at = fields.quantity("at", "length", low=-30.0, high=30.0)
    group = fields.word("group", GROUPS)
    inertia = fields.quantity("wheel_inertia", "inertia", above=0.0, high=200.0)
    tyre = _tyre(fields, load, context)
    if group == "front" and kind in CARRIED:
        problem = f"a {kind} stands on its front hitch and its rear axles; it has no front ones"
        fields.report("V06", "group", problem, "leave 'group' out")
    if at is None:
        return None
    first = number == 1 and kind not in CARRIED
    end = "steer" if number == 1 and kind in _STEERED else "others"
    inertia = _or(inertia, f"wheel_inertia.{end}", "inertia")
    return Rolling(at, group or ("front" if first else "rear"), inertia, tyre)


def check_order(axles: Sequence[Axle], context: Context) -> None:
    """Report axles that do not stand behind the one before them, and front ones behind rear ones."""
    rolling = [(axle, axle.rolling) for axle in axles if axle.rolling]
    for (before, ahead), (axle, own) in pairwise(rolling):
        if own.at <= ahead.at:
            _order(
                "V05",
                axle,
                f"axle {axle.number} stands at {own.at:g} m, not behind axle {before.number} at {ahead.at:g} m",
                "count 'at' rearward, and number the axles from the front",
                context,
            )
        if own.group == "front" and ahead.group == "rear":
            _order(
                "V06",
                axle,
                f"axle {axle.number} is one of the front axles, but axle {before.number} before it is a rear one",
                f"write 'group: front' at axle {before.number} too, or 'group: rear' here",
                context,
            )


def _order(code: str, axle: Axle, problem: str, fix: str, context: Context) -> None:
    context.faults.report(code, axle.place, f"axles.{axle.number}", problem, fix)


def _loading(fields: Fields, key: str, context: Context) -> Loading | None:
    inner = _inner(fields, key, ("mass", "centre_height"), ("centre_at",), context)
    if inner is None:
        return None
    mass = inner.quantity("mass", "mass", above=0.0, high=250e3)
    height = inner.quantity("centre_height", "length", above=0.0, high=5.0)
    at = inner.quantity("centre_at", "length", low=-30.0, high=30.0)
    return None if mass is None or height is None else Loading(mass, height, at, fields.place(key))


def _hitch(fields: Fields, key: str, context: Context) -> Hitch | None:
    """A hitch; that by which a unit is towed is its datum where nothing else is said."""
    needed, free = (("height",), ("at",)) if key == "front_hitch" else (("at", "height"), ())
    inner = _inner(fields, key, needed, free, context)
    if inner is None:
        return None
    at = inner.quantity("at", "length", low=-30.0, high=30.0)
    height = inner.quantity("height", "length", above=0.0, high=5.0)
    if "at" not in inner and key == "front_hitch":
        at = 0.0
    return None if at is None or height is None else Hitch(at, height)


def _tyre(fields: Fields, load: float | None, context: Context) -> Tyre:
    """The tyres of an axle; without a rated load half of what the axle bears laden counts."""
    nothing = MapNode(fields.node.place, fields.node.path)
    inner = _inner(fields, "tyre", (), _TYRE_KEYS, context) or Fields(nothing, context.faults, (), missing_at=None)
    rated = read_load(inner, "rated_load", above=0.0)
    half = 0.5 * load if load else None
    return Tyre(
        law=inner.word("law", TYRE_LAWS) or TYRE_LAWS[0],
        adhesion=_or(inner.quantity("adhesion", "number", above=0.0, high=3.0), "tyre.adhesion"),
        rated_load=half if rated is None else rated,
        load_sensitivity=_or(inner.quantity("load_sensitivity", "number", low=0.0, high=0.5), "tyre.load_sensitivity"),
        relaxation=_or(inner.quantity("relaxation", "length", low=0.02, high=2.0), "tyre.relaxation", "length"),
    )


def read_load(fields: Fields, key: str, above: float | None = None) -> float | None:
    """A load [N], given as a mass or as a force; more than ``above`` where that is given."""
    scalar = fields.get(key)
    if isinstance(scalar, Scalar) and quantities.symbol_in(scalar.text) in quantities.DIMENSIONS["force"].units:
        return fields.quantity(key, "force", low=0.0, high=300e3, above=above)
    mass = fields.quantity(key, "mass", low=0.0, high=30e3, above=above)
    return None if mass is None else mass * quantities.STANDARD_GRAVITY


def _inner(
    fields: Fields, key: str, needed: Sequence[str], free: Sequence[str], context: Context
) -> Fields | None:
    node = fields.mapping(key)
    place: Place | None = node.place if node else None
    return None if node is None else Fields(node, context.faults, needed, free, missing_at=place)


def _or(given: float | None, key: str, dimension: str = "number") -> float:
    """A figure as given, else the usual one."""
    return usual(key, dimension) if given is None else given
