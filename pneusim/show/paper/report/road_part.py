"""Vehicles and road in a report: what rolls, on what, and where every figure is from."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.circuit import Axle, Circuit, Vehicle
from pneusim.circuit.motion import Tyre
from pneusim.circuit.road import BEHIND, Road, Surface
from pneusim.circuit.road_defaults import motion_defaults, shipped_in_use, surface_figures, surfaces_in_use
from pneusim.circuit.rolling import SIDES, wheel_name
from pneusim.circuit.statics import Standing, stand, state_of
from pneusim.quantities import DIMENSIONS, digits, express, express_in
from pneusim.results.run import Run
from pneusim.results.words import listed, unit_title
from pneusim.show.markup import Cell, Html, html, listing, table, text
from pneusim.simulate.footing import Footing, paths

REFERENCE = 17.8
"""Speed at which figures of a surface hold [m/s]: the loss with speed counts from here."""

LAWS = {"burckhardt": "Burckhardt", "magic": "magic formula"}
GIVEN = "as the circuit file gives it"
REMARK = (
    "A figure that equals the default is listed as the default; the others are from the circuit file, but where it "
    "gives no rated load, half of what the axle bears laden counts."
)


def vehicles(circuit: Circuit, system: str) -> Html:
    """Masses, hitches, tyres and the defaults about rolling; nothing for vehicles that only stand."""
    rolling = [vehicle for vehicle in circuit.vehicles if vehicle.motion]
    if not rolling:
        return Html()
    defaults = [
        (one.key.replace(".", ", ").replace("_", " "), one.value, one.source, one.note, _owners(one.owners))
        for one in motion_defaults(rolling)
    ]
    return html(
        text("Places are counted rearward from the first axle of a unit or its front hitch, heights from the ground."),
        table(
            ("vehicle", "loading", ("mass", "number"), ("height of its centre", "number"), "place of its centre"),
            _loadings(rolling, system), "Masses", "masses",
        ),
        table(
            ("vehicle", "front hitch", "rear hitch", ("drag area", "number"), ("skids with", "number")),
            [_unit(vehicle, system) for vehicle in rolling], "Hitches, drag, skidding", "hitches",
        ),
        table(
            ("axle", ("place", "number"), "support", ("inertia of an end", "number"), "law of the tyre",
             ("adhesion", "number"), ("rated load of an end", "number"), ("load sensitivity", "number"),
             ("relaxation length", "number")),
            [_axle(vehicle, axle, system) for vehicle in rolling for axle in vehicle.axles if axle.rolling],
            "Axles and tyres", "tyres",
        ),
        table(("default", "value", "source", "note", "used by"), defaults, "Defaults about rolling", "defaults"),
        text(REMARK),
    )  # fmt: skip


def road(run: Run, system: str) -> Html:
    """The road of a run, how the vehicles stand on it, and the friction; nothing for a run without a road."""
    way = run.scenario.road
    if way is None or not run.channels:
        return Html()
    standing = stand(run.circuit.vehicles, way)
    return html(
        listing(_way(way, system)),
        table(
            ("vehicle", "loading", ("mass", "number"), ("place of its centre", "number"), ("its height", "number"),
             "static loads of the axles"),
            [_standing(one, way, system) for one in standing], "How the vehicles stand at the start", "standing",
        ),
        table(
            ("surface", "axles", "law", ("peak", "number"), ("slip there", "number"), ("locked", "number"), "source"),
            _frictions(run, way), f"Friction at {express(REFERENCE, 'speed', system)} and at the tyre's rated load",
            "friction",
        ),
        *(_figures(way.surfaces[name]) for name in shipped_in_use(way)),
    )  # fmt: skip


def _metres(value: float | None, system: str) -> str:
    if value is None:
        return ""
    return express_in(value, DIMENSIONS["length"].unit("m" if system == "si" else "ft"))


def _mass(value: float, system: str) -> str:
    return express(value, "mass", system)


def _name(vehicle: Vehicle) -> str:
    return unit_title(vehicle.name) if vehicle.name else "the vehicle"


def _owners(owners: tuple[str, ...]) -> str:
    return listed([unit_title(owner) for owner in owners])


def _loadings(rolling: list[Vehicle], system: str) -> Iterator[tuple[Cell, ...]]:
    for vehicle in rolling:
        assert vehicle.motion is not None
        for state in ("laden", "empty"):
            loading = getattr(vehicle.motion, state)
            if loading is not None:
                at = _metres(loading.centre_at, system) or "follows from the axle loads"
                mass, height = _mass(loading.mass, system), _metres(loading.centre_height, system)
                yield _name(vehicle), state, (mass, "number"), (height, "number"), at


def _unit(vehicle: Vehicle, system: str) -> tuple[Cell, ...]:
    motion = vehicle.motion
    assert motion is not None
    hitches = [
        f"at {_metres(hitch.at, system)}, {_metres(hitch.height, system)} high" if hitch else "none"
        for hitch in (motion.front_hitch, motion.rear_hitch)
    ]
    unit = DIMENSIONS["area"].unit("m2")
    drag = express_in(motion.drag_area, unit) if motion.drag_area is not None else ""
    return _name(vehicle), *hitches, (drag, "number"), (digits(motion.skid), "number")


def _axle(vehicle: Vehicle, axle: Axle, system: str) -> tuple[Cell, ...]:
    rolling = axle.rolling
    assert rolling is not None
    tyre = rolling.tyre
    numbers = (
        "" if rolling.inertia is None else express(rolling.inertia, "inertia", system),
        digits(tyre.adhesion),
        "" if tyre.rated_load is None else express(tyre.rated_load, "force", system),
        digits(tyre.load_sensitivity),
        _metres(tyre.relaxation, system),
    )
    inertia, *others = [(number, "number") for number in numbers]
    name = f"{unit_title(vehicle.name)} axle {axle.number}".strip()
    return name, (_metres(rolling.at, system), "number"), rolling.group, inertia, LAWS[tyre.law], *others


def _way(way: Road, system: str) -> Iterator[str]:
    yield f"speed at the start: {express(way.speed, 'speed', system)}"
    slope = f"{digits(100 * abs(way.grade))} % {'up' if way.grade > 0 else 'down'}hill"
    yield f"slope: {slope if way.grade else 'none'}"
    for stretch in way.stretches:
        start = "from the rear on" if stretch.start <= BEHIND else f"from {_metres(stretch.start, system)}"
        sides = stretch.left if stretch.left == stretch.right else f"{stretch.left} left, {stretch.right} right"
        yield f"surface {start}: {sides}"


def _standing(one: Standing, way: Road, system: str) -> tuple[Cell, ...]:
    loads = "; ".join(f"{stood.axle.number}: {express(stood.load, 'force', system)}" for stood in one.axles)
    places = [(_metres(value, system), "number") for value in (one.centre, one.height)]
    state = state_of(one.vehicle, way.loading)
    return _name(one.vehicle), state, (_mass(one.mass, system), "number"), *places, loads


def _frictions(run: Run, way: Road) -> Iterator[tuple[Cell, ...]]:
    """A row for every surface and kind of tyre that differs in its friction."""
    under = paths(run.circuit, way)
    shipped = shipped_in_use(way)
    for surface in surfaces_in_use(way):
        found: dict[tuple[str, float], tuple[Footing, list[str]]] = {}
        for vehicle in run.circuit.vehicles:
            for axle in vehicle.axles:
                for side in SIDES:
                    for _, footing in under[wheel_name(vehicle.name, axle.number, side)].stretches:
                        if footing.surface == surface:
                            name = f"{unit_title(vehicle.name)} axle {axle.number}".strip()
                            _, owners = found.setdefault(_kind(footing.tyre), (footing, []))
                            owners += [name] if name not in owners else []
        for footing, owners in found.values():
            yield surface, listed(owners), *_friction(footing), _source(surface) if surface in shipped else GIVEN


def _kind(tyre: Tyre) -> tuple[str, float]:
    return tyre.law, tyre.adhesion


def _friction(footing: Footing) -> tuple[Cell, ...]:
    load = footing.tyre.rated_load
    assert load is not None
    slip, peak = footing.peak(REFERENCE, load)
    locked = float(footing.friction([1.0], REFERENCE, load)[0])
    cells = (f"{peak:.2f}", f"{100 * slip:.0f} %", f"{locked:.2f}")
    return LAWS[footing.tyre.law], *((cell, "number") for cell in cells)


def _source(surface: str) -> str:
    words = listed(list(dict.fromkeys(figure["source"] for figure in surface_figures(surface).values())))
    return f"shipped: {words}"


def _figures(surface: Surface) -> Html:
    """The figures that a shipped surface was made of."""
    rows = [
        (key, (str(figure["value"]), "number"), figure["source"], figure["note"])
        for key, figure in surface_figures(surface.name).items()
    ]
    caption = f"Figures of the shipped surface {surface.name}"
    return table(("figure", ("value", "number"), "source", "note"), rows, caption, "surface")
