"""Loads at which a vehicle is tested on the road."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Axle, Vehicle
from pneusim.circuit.motion import Hitch, Loading, Motion, Rolling
from pneusim.circuit.statics import is_known
from pneusim.quantities import STANDARD_GRAVITY
from pneusim.rules.finding import NotJudged
from pneusim.rules.subject import Subject

BALLAST = 0.5
"""Height of the centre of mass of what rests on a tractor's coupling, above it [m]: our assumption."""


@dataclass(frozen=True)
class Load:
    """A state in which a vehicle is tested: what it is called, its units from the front, and the state of each."""

    words: str
    units: tuple[Vehicle, ...]
    loading: Mapping[str, str]


def rolling(subject: Subject) -> tuple[Vehicle, ...]:
    """The units of the subject, of which the file says all that a road needs."""
    units = subject.circuit.vehicles
    for unit in units:
        if unit.motion is None or not all(axle.rolling for axle in unit.axles):
            name = unit.name.replace("_", " ") or "vehicle"
            raise NotJudged(
                f"the file does not say what the {name} weighs and rolls on: 'laden' under 'vehicle', 'at' and "
                "'tyre_radius' under 'axles'"
            )
        bare = [str(axle.number) for axle in unit.axles if _brakes(subject, unit, axle) and not axle.brake]
        if bare:
            raise NotJudged(f"axle {bare[0]} has no foundation brake described, such as 'brake: {{type: s_cam}}'")
    if not is_known(units, {}):
        raise NotJudged("the place of a centre of mass is not known: 'centre_at' under 'laden', or loads of all axles")
    return units


def laden(subject: Subject) -> Load:
    """Laden, a tractor with what its axle loads leave to its coupling."""
    units = rolling(subject)
    if len(units) == 1 and units[0].kind == "tractor":
        return Load("laden", (_ballasted(units[0]),), {})
    return Load("laden", units, dict.fromkeys((unit.name for unit in units), "laden"))


def unladen(subject: Subject) -> Load:
    """Unladen, a tractor without anything on its coupling."""
    units = rolling(subject)
    if len(units) == 1 and units[0].kind == "tractor":
        return Load("unladen, without a trailer", units, {})
    lacking = [unit for unit in units if unit.kind != "tractor" and not (unit.motion and unit.motion.empty)]
    if lacking:
        name = lacking[0].name.replace("_", " ") or "vehicle"
        raise NotJudged(f"the file does not say what the {name} weighs without a load: 'empty' under 'vehicle'")
    loading = dict.fromkeys((unit.name for unit in units), "empty")
    if not is_known(units, loading):
        raise NotJudged("the place of a centre of mass without a load is not known: 'centre_at' under 'empty'")
    return Load("unladen", units, loading)


def sensed(subject: Subject, load: Load) -> dict[str, float]:
    """``begin`` of what senses the load: laden, or empty."""
    share = 0.0 if load.words.startswith("unladen") else 1.0
    return {f"{valve.name}.load": share for valve in subject.all("load_sensing_valve")}


def rated_mass(vehicle: Vehicle) -> float:
    """Largest mass of a vehicle, what rests on its coupling included [kg]: by its axle loads, or its own laden mass."""
    loads = [axle.load for axle in vehicle.axles if axle.load]
    if len(loads) == len(vehicle.axles) and loads:
        return sum(loads) / STANDARD_GRAVITY
    if vehicle.motion is None or vehicle.kind == "tractor":
        raise NotJudged("not every axle has a load, so the largest mass of the vehicle is not known")
    return vehicle.motion.laden.mass


def with_trailer(subject: Subject, axle_load: float, length: float, height: float) -> Load:
    """A tractor laden by an unbraked semitrailer.

    Parameters
    ----------
    subject : Subject
    axle_load : float
        On the trailer's axle [N].
    length : float
        From the coupling to that axle [m].
    height : float
        Of the trailer's centre of mass above the coupling [m].
    """
    (tractor,) = rolling(subject)
    on_coupling, hitch, own = _carried(tractor)
    weight = STANDARD_GRAVITY * on_coupling + axle_load
    loaded = Loading(weight / STANDARD_GRAVITY, hitch.height + height, length * axle_load / weight)
    rear = tractor.axles[-1]
    axle = Axle(1, axle_load, axle_load, rear.tyre_radius, rolling=replace(rear.rolling or Rolling(0.0), at=length))
    motion = Motion(loaded, front_hitch=Hitch(0.0, hitch.height), drag_area=own.drag_area)
    trailer = Vehicle("control_trailer", "semitrailer", axles=(axle,), motion=motion)
    return Load("laden, with an unbraked control trailer", (tractor, trailer), {})


def _ballasted(tractor: Vehicle) -> Vehicle:
    """A tractor with a mass on its coupling that does not move."""
    on_coupling, hitch, motion = _carried(tractor)
    own = motion.laden
    if own.centre_at is None:
        raise NotJudged("the place of the tractor's own centre of mass is not known: 'centre_at' under 'laden'")
    whole = own.mass + on_coupling
    at = (own.mass * own.centre_at + on_coupling * hitch.at) / whole
    height = (own.mass * own.centre_height + on_coupling * (hitch.height + BALLAST)) / whole
    return replace(tractor, motion=replace(motion, laden=Loading(whole, height, at), rear_hitch=None))


def _carried(tractor: Vehicle) -> tuple[float, Hitch, Motion]:
    """Mass that rests on a tractor's coupling by its axle loads [kg], that coupling, and what makes it roll."""
    motion = tractor.motion
    if motion is None or motion.rear_hitch is None:
        raise NotJudged("the tractor has no 'rear_hitch' described, on which a load could rest")
    mass = rated_mass(tractor) - motion.laden.mass
    if mass <= 0.0:
        raise NotJudged("the tractor's axle loads leave nothing to rest on its coupling")
    return mass, motion.rear_hitch, motion


def _brakes(subject: Subject, unit: Vehicle, axle: Axle) -> Sequence[str]:
    found = (c for c in subject.circuit.components.values() if c.type in ACTUATORS)
    return [c.name for c in found if c.unit == unit.name and c.axle == axle.number]
