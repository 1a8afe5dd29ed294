"""Surfaces that a road describes itself: by Burckhardt's figures, by peak and locked wheel, or by points."""

from __future__ import annotations

from itertools import pairwise

from pneusim.circuit.road import Surface
from pneusim.circuit.surfaces import COEFFICIENTS, shipped_surfaces
from pneusim.reading.context import Context
from pneusim.reading.fields import Fields, check_name, quantity_of, within
from pneusim.reading.likes import Merged
from pneusim.reading.tree import ListNode, Node, Scalar

LARGEST = 2.0  #: friction [-]
FEWEST, MOST = 4, 200  #: points of a table
SHAPE = ("peak", "peak_slip", "locked", "slope")
_WAYS = {"c1": COEFFICIENTS, "peak": SHAPE[:3], "points": ("points",)}


def take_name(entry: Merged, context: Context) -> bool:
    """Whether a surface's name has its form and is not that of a shipped one."""
    if entry.name in shipped_surfaces():
        problem = f"{entry.name!r} is the name of a shipped surface"
        context.faults.report("N02", entry.key_place, entry.node.path, problem, "give yours a name of its own")
        return False
    return check_name(entry.name, entry.key_place, entry.node.path, context.faults)


def read_surface(entry: Merged, context: Context) -> Surface | None:
    """A surface of a road; None if it is at fault."""
    fields = Fields(entry.node, context.faults, (), (*COEFFICIENTS, *SHAPE, "points", "fading"), missing_at=None)
    fading = fields.quantity("fading", "fading", low=0.0, high=0.1) if "fading" in fields else 0.0
    ways = [way for way, keys in _WAYS.items() if any(key in fields for key in (way, *keys))]
    if len(ways) != 1:
        seen = "it is described in several ways" if ways else "nothing describes it"
        fix = "write c1, c2 and c3; or peak, peak_slip and locked; or points"
        context.faults.report("R04", entry.key_place, entry.node.path, f"{seen}; a surface has one of three", fix)
        return None
    missing = [key for key in _WAYS[ways[0]] if key not in fields]
    for key in missing:
        problem = f"the key {key!r} is missing"
        context.faults.report("S02", fields.node.place, fields.node.path, problem, f"add '{key}: ...'")
    if missing:
        return None
    read = {"c1": _coefficients, "peak": _shape, "points": _points}[ways[0]]
    return read(entry, fields, fading or 0.0, context)


def _coefficients(entry: Merged, fields: Fields, fading: float, context: Context) -> Surface | None:
    c1 = fields.quantity("c1", "number", above=0.0, high=LARGEST)
    c2 = fields.quantity("c2", "number", above=0.0, high=1000.0)
    c3 = fields.quantity("c3", "number", low=0.0, high=LARGEST)
    if c1 is None or c2 is None or c3 is None:
        return None
    if c3 > c1 or c3 >= c1 * c2:
        _unfit(fields, "c3", f"c3 is {c3:g}: friction would fall below zero", "write less than c1", context)
        return None
    return Surface(entry.name, coefficients=(c1, c2, c3), fading=fading, place=entry.key_place)


def _shape(entry: Merged, fields: Fields, fading: float, context: Context) -> Surface | None:
    peak = fields.quantity("peak", "number", above=0.0, high=LARGEST)
    slip = fields.quantity("peak_slip", "fraction", low=0.005, high=0.8)
    locked = fields.quantity("locked", "number", above=0.0, high=LARGEST)
    slope = fields.quantity("slope", "number", above=0.0, high=1000.0)
    if peak is None or slip is None or locked is None or (slope is None and "slope" in fields):
        return None
    if locked >= peak:
        _unfit(fields, "locked", "a locked wheel has no less friction than the peak", "write less than 'peak'", context)
        return None
    if slope is not None and slope <= peak / slip:
        least = f"{peak / slip:.3g}"
        problem = f"with a slope of {slope:g} at no slip the peak is not reached at {100 * slip:g} % slip"
        _unfit(fields, "slope", problem, f"write more than {least}, the peak over its slip", context)
        return None
    return Surface(entry.name, shape=(peak, slip, locked, slope or 0.0), fading=fading, place=entry.key_place)


def _points(entry: Merged, fields: Fields, fading: float, context: Context) -> Surface | None:
    node = fields.sequence("points")
    if node is None:
        return None
    pairs = [_pair(item, context) for item in node.items]
    if None in pairs:
        return None
    points = tuple(pair for pair in pairs if pair)
    slips = [slip for slip, _ in points]
    if not FEWEST <= len(points) <= MOST:
        problem = f"there are {len(points)} points; {FEWEST} to {MOST} are needed"
        _unfit(fields, "points", problem, "write [slip, friction] of each", context)
    elif any(after <= before for before, after in pairwise(slips)):
        _unfit(fields, "points", "the slips do not rise from point to point", "sort the points by slip", context)
    else:
        return Surface(entry.name, points=points, fading=fading, place=entry.key_place)
    return None


def _pair(node: Node, context: Context) -> tuple[float, float] | None:
    """Slip and friction of a point."""
    scalars = [item for item in node.items if isinstance(item, Scalar)] if isinstance(node, ListNode) else []
    if len(scalars) != 2 or not isinstance(node, ListNode) or len(node.items) != 2:
        problem = "a point is not two numbers"
        context.faults.report("S05", node.place, node.path, problem, "write [slip, friction], such as [10 %, 0.6]")
        return None
    bounds = {"fraction": 1.0, "number": LARGEST}
    values = []
    for scalar, (dimension, high) in zip(scalars, bounds.items()):
        value = quantity_of(scalar, dimension, context.faults, context.ambient.pressure)
        if value is not None and within(scalar, value, dimension, context.faults, low=0.0, high=high):
            values.append(value)
    return (values[0], values[1]) if len(values) == 2 else None


def _unfit(fields: Fields, key: str, problem: str, fix: str, context: Context) -> None:
    context.faults.report("R05", fields.place(key), f"{fields.node.path}.{key}", problem, fix)
