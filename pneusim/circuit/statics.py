"""How units stand on their axles and hitches: supports, centres of mass, static loads level and on a slope.

Every unit stands on two supports: two groups of axles, or, where it is carried by the unit before it, its front hitch
and one group of axles; so all loads follow from equilibrium alone. Places are counted rearward from the unit's datum,
heights from the ground [m].
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pneusim.circuit.circuit import Axle, Vehicle
from pneusim.circuit.motion import Loading
from pneusim.circuit.road import Road
from pneusim.quantities import STANDARD_GRAVITY

CARRIED = ("semitrailer", "centre_axle_trailer", "dolly")
"""Kinds of units whose front hitch bears load."""

FIT = 0.03
"""Share by which the axle loads of a unit may miss its weight, so that its centre of mass follows from them [-]."""


@dataclass(frozen=True)
class Stood:
    """An axle of a unit that stands: its support, its share of that support's load [-], its load [N]."""

    axle: Axle
    support: int
    share: float
    load: float


@dataclass(frozen=True)
class Standing:
    """A unit as it stands.

    Attributes
    ----------
    vehicle : Vehicle
    mass : float
        Of the unit alone [kg].
    centre, height : float
        Place and height of the centre of mass [m].
    supports : tuple of float
        Places of the two supports [m].
    carried : bool
        Whether the front support is the front hitch.
    loads : tuple of float
        Of the two supports, square to the road [N].
    offset : float
        The unit's datum behind that of the first unit [m].
    axles : tuple of Stood
    """

    vehicle: Vehicle
    mass: float
    centre: float
    height: float
    supports: tuple[float, float]
    carried: bool
    loads: tuple[float, float]
    offset: float
    axles: tuple[Stood, ...]


def is_carried(vehicle: Vehicle) -> bool:
    """Whether a unit's front support is its front hitch."""
    return vehicle.kind in CARRIED


def state_of(vehicle: Vehicle, loading: Mapping[str, str]) -> str:
    """State that a unit is in, ``laden`` or ``empty``: laden where nothing else is said, or no other state given."""
    given = vehicle.motion is not None and vehicle.motion.empty is not None
    return loading.get(vehicle.name, "laden") if given else "laden"


def groups(vehicle: Vehicle) -> tuple[tuple[Axle, ...], tuple[Axle, ...]]:
    """Axles of the front and of the rear support, those that roll; the front ones of a carried unit are none."""
    rolling = [axle for axle in vehicle.axles if axle.rolling]
    front = [axle for axle in rolling if axle.rolling and axle.rolling.group == "front" and not is_carried(vehicle)]
    return tuple(front), tuple(axle for axle in rolling if axle not in front)


def shares(axles: Sequence[Axle], state: str) -> list[float]:
    """Share of each axle in the load of its group: as the file gives the loads, else equal [-].

    Examples
    --------
    >>> shares([Axle(1, load=60e3), Axle(2, load=40e3)], "laden"), shares([Axle(1), Axle(2)], "laden")
    ([0.6, 0.4], [0.5, 0.5])
    """
    given = given_loads(axles, state) or given_loads(axles, "laden")
    return [load / sum(given) for load in given] if given else [1.0 / len(axles)] * len(axles)


def supports(vehicle: Vehicle, state: str) -> tuple[float, float]:
    """Places of the two supports of a unit: the middle of a group lies where its load acts [m]."""
    front, rear = groups(vehicle)
    first = _middle(front, state) if front else _front_hitch(vehicle)
    return first, _middle(rear, state)


def centres(vehicles: Sequence[Vehicle], loading: Mapping[str, str]) -> dict[str, float | None]:
    """Places of the centres of mass by unit [m]; None where the file neither gives one nor loads from which it follows.

    A carried unit's centre follows from its axle loads, its weight and the load on its own rear hitch; that of any
    other unit from all its axle loads, if they fit its weight and what it carries.
    """
    found: dict[str, float | None] = {}
    for index, vehicle in enumerate(vehicles):
        if vehicle.motion:
            state = state_of(vehicle, loading)
            given = vehicle.motion.loading(state).centre_at
            found[vehicle.name] = _derived(vehicles[index:], state) if given is None else given
    return found


def is_known(vehicles: Sequence[Vehicle], loading: Mapping[str, str]) -> bool:
    """Whether the files say all that `stand` wants to know of a chain of units."""
    found = centres(vehicles, loading)
    return all(
        vehicle.motion is not None
        and all(axle.rolling for axle in vehicle.axles)
        and all(groups(vehicle)[is_carried(vehicle) :])
        and found[vehicle.name] is not None
        for vehicle in vehicles
    )


_LEVEL = Road()


def stand(
    vehicles: Sequence[Vehicle], road: Road = _LEVEL, braking_ratio: float | None = None
) -> tuple[Standing, ...]:
    r"""Static loads of a chain of units, from the front.

    Every axle brakes at ``braking_ratio`` z of its load. Then the pull at a hitch is z times the load on it, and

    .. math:: N_1 = [W (x_2 - x_g + z h) + V_r (x_2 - x_r + z h_r)] / (x_2 - x_1 + z h_f), \quad N_2 = W + V_r - N_1

    with W the weight's share square to the road, V_r the load on the rear hitch, and h_f = 0 where the front support is
    on axles. Free body of each unit; Wong, Theory of Ground Vehicles, chapter 3 (from memory, to be read against the
    book).

    Parameters
    ----------
    vehicles : sequence of Vehicle
        From the front; all with motion, rolling axles, hitches between them, and centres of mass that are known.
    road : Road
        Its loading and grade count, and whether it begins at rest.
    braking_ratio : float, optional
        Braking force over load [-]. Without it units at rest are held on the slope, and moving ones roll freely.

    Raises
    ------
    ValueError
        If the centre of mass of a unit is not known.

    Examples
    --------
    >>> from pneusim.circuit.motion import Motion, Rolling
    >>> axles = (Axle(1, rolling=Rolling(0.0, "front")), Axle(2, rolling=Rolling(5.0)))
    >>> truck = Vehicle(kind="truck", axles=axles, motion=Motion(Loading(16e3, 1.2, 3.2)))
    >>> [round(load) for load in stand([truck])[0].loads]
    [56486, 100420]
    """
    slope = math.atan(-road.grade)
    rest = math.tan(slope) if road.speed == 0.0 else 0.0
    ratio = rest if braking_ratio is None else braking_ratio
    centre = centres(vehicles, road.loading)
    carrying = 0.0
    found: list[Standing] = []
    for vehicle in reversed(vehicles):
        standing = _standing(vehicle, centre.get(vehicle.name), road, ratio, carrying)
        carrying = standing.loads[0] if standing.carried else 0.0
        found.append(standing)
    return _in_line(found[::-1])


def as_loaded(vehicles: Sequence[Vehicle], road: Road | None) -> tuple[Vehicle, ...]:
    """The vehicles with the static axle loads of a road's loading, level, for ratios over what is there.

    Vehicles that are all laden are returned as they are: their file gives their loads.
    """
    if road is None or "empty" not in road.loading.values() or not is_known(vehicles, road.loading):
        return tuple(vehicles)
    found = []
    for standing in stand(vehicles, Road(loading=road.loading)):
        loads = {stood.axle.number: stood.load for stood in standing.axles}
        axles = tuple(replace(axle, load=loads[axle.number]) for axle in standing.vehicle.axles)
        found.append(replace(standing.vehicle, axles=axles))
    return tuple(found)


def _standing(vehicle: Vehicle, centre: float | None, road: Road, ratio: float, carrying: float) -> Standing:
    """A unit with ``carrying`` on its rear hitch [N], its offset still open."""
    if vehicle.motion is None or centre is None:
        raise ValueError(f"the centre of mass of {vehicle.name or 'the vehicle'} is not known")
    state = state_of(vehicle, road.loading)
    loading = vehicle.motion.loading(state)
    weight = _weight(loading) * math.cos(math.atan(road.grade))
    first, last = supports(vehicle, state)
    rear, front = vehicle.motion.rear_hitch, vehicle.motion.front_hitch
    moment = weight * (last - centre + ratio * loading.centre_height)
    if rear:
        moment += carrying * (last - rear.at + ratio * rear.height)
    carried = is_carried(vehicle)
    arm = last - first + (ratio * front.height if carried and front else 0.0)
    loads = moment / arm, weight + carrying - moment / arm
    axles = [
        Stood(axle, index, share, share * loads[index])
        for index, group in enumerate(groups(vehicle))
        for axle, share in zip(group, shares(group, state) if group else ())
    ]
    return Standing(
        vehicle, loading.mass, centre, loading.centre_height, (first, last), carried, loads, 0.0, tuple(axles)
    )


def _in_line(standings: Sequence[Standing]) -> tuple[Standing, ...]:
    """The units one behind the other: each one's front hitch on the rear hitch before it."""
    offset, found = 0.0, [standings[0]] if standings else []
    for before, unit in pairwise(standings):
        hitch = before.vehicle.motion.rear_hitch if before.vehicle.motion else None
        offset += (hitch.at if hitch else before.supports[1]) - _front_hitch(unit.vehicle)
        found.append(replace(unit, offset=offset))
    return tuple(found)


def _derived(chain: Sequence[Vehicle], state: str) -> float | None:
    """Centre of mass of the first unit of a chain from its axle loads, all units of the chain in one state."""
    vehicle = chain[0]
    front, rear = groups(vehicle)
    ahead, behind = given_loads(front, state), given_loads(rear, state)
    if not behind or vehicle.motion is None or (not front and not is_carried(vehicle)) or (front and not ahead):
        return None
    hitch, weight = vehicle.motion.rear_hitch, _weight(vehicle.motion.loading(state))
    carrying = load_on_hitch(chain[1:], state) if hitch else 0.0
    if carrying is None:
        return None
    first, last = supports(vehicle, state)
    total = weight + carrying
    rear_load = sum(behind)
    if front:
        whole = sum(ahead) + rear_load
        if abs(whole - total) > FIT * total:
            return None
        rear_load *= total / whole
    moment = rear_load * last + (total - rear_load) * first
    return (moment - (carrying * hitch.at if hitch else 0.0)) / weight


def load_on_hitch(chain: Sequence[Vehicle], state: str) -> float | None:
    """Load that a chain puts on the hitch before it, level, all its units in one state [N]; None if it is not known."""
    if not chain or not is_carried(chain[0]):
        return 0.0
    loading = {vehicle.name: state for vehicle in chain}
    return stand(chain, Road(loading=loading))[0].loads[0] if is_known(chain, loading) else None


def given_loads(axles: Sequence[Axle], state: str) -> list[float]:
    """Loads of axles as the file gives them for a state [N], none if one of them lacks."""
    loads = [axle.load_empty if state == "empty" else axle.load for axle in axles]
    known = [load for load in loads if load]
    return known if len(known) == len(axles) else []


def _middle(axles: Sequence[Axle], state: str) -> float:
    return sum(share * (axle.rolling.at if axle.rolling else 0.0) for share, axle in zip(shares(axles, state), axles))


def _front_hitch(vehicle: Vehicle) -> float:
    return vehicle.motion.front_hitch.at if vehicle.motion and vehicle.motion.front_hitch else 0.0


def _weight(loading: Loading) -> float:
    return loading.mass * STANDARD_GRAVITY
