"""Words for people: lists, where on the vehicle a set of brakes sits, what a measure is."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from typing import Protocol

from pneusim.circuit.braking import vehicle_name
from pneusim.circuit.circuit import Component
from pneusim.quantities import express
from pneusim.results.measures.brakes import brake_components, vehicle_order
from pneusim.results.restate import restate
from pneusim.results.road.rolling import sites
from pneusim.results.run import Run


def listed(items: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    return " and ".join(filter(None, (", ".join(items[:-1]), items[-1]))) if items else ""


def numbered(noun: str, numbers: Sequence[int]) -> str:
    """``axle 2``, ``axles 1 and 3``, ``axles 1 to 3``."""
    if len(numbers) == 1:
        return f"{noun} {numbers[0]}"
    consecutive = list(numbers) == list(range(numbers[0], numbers[0] + len(numbers)))
    if consecutive and len(numbers) > 2:
        return f"{noun}s {numbers[0]} to {numbers[-1]}"
    return f"{noun}s {listed([str(number) for number in numbers])}"


class Sited(Protocol):
    """Something that is at a place of a vehicle: a brake, or a wheel or an axle on a road."""

    @property
    def name(self) -> str:
        """Its full name."""
    @property
    def unit(self) -> str:
        """The unit that it belongs to."""
    @property
    def axle(self) -> int | None:
        """Number of its axle."""
    @property
    def side(self) -> str | None:
        """Side of the axle, None for both or none."""
    @property
    def title(self) -> str:
        """What people call it."""


def places(run: Run, names: Collection[str]) -> str:
    """Where brakes or wheels sit: ``tractor axle 2 and trailer axles 1 to 3``, ``axle 1 left``.

    An axle is named without a side when all its brakes or wheels are meant; a brake without an axle by its title.
    """
    alike, found = _alike(run, names)
    words: list[str] = []
    for unit in dict.fromkeys(one.unit for one in found):
        words += _in_unit(alike, unit, [one for one in found if one.unit == unit])
    return listed(words)


def subject(run: Run, noun: str, names: Collection[str]) -> str:
    """What did something: ``the wheels of axle 1``, ``trailer axles 1 and 2``, ``the tractor and trailer``."""
    if noun == "vehicle":
        return the_units(run, names)
    where = places(run, names)
    return where if noun == "axle" else f"the {noun}{'s' if len(names) > 1 else ''} of {where}"


def the_units(run: Run, names: Collection[str]) -> str:
    """``the tractor and trailer``; ``the vehicle`` in a circuit of one without a name."""
    units = [vehicle.name for vehicle in run.circuit.vehicles if vehicle_name(vehicle.name) in names]
    return f"the {listed([unit_title(unit) or 'vehicle' for unit in units])}"


def _alike(run: Run, names: Collection[str]) -> tuple[list[Sited], list[Sited]]:
    """What is like those that are named, and those themselves, both from the front."""
    components = run.circuit.components
    brakes = [components[name] for name in names if name in components]
    if len(brakes) == len(names):
        brakes.sort(key=lambda component: vehicle_order(run, component))
        return list(brake_components(run)), list(brakes)
    rolling = list(sites(run).values())
    own = [site for site in rolling if site.name in names]
    return [site for site in rolling if (site.side is None) == (own[0].side is None)], list(own)


def title(run: Run, component: Component) -> str:
    """What people call a component; with its unit before it where another unit has one of the same title."""
    return run.circuit.title_of(component)


def _in_unit(alike: Sequence[Sited], unit: str, found: Sequence[Sited]) -> list[str]:
    names = {one.name for one in found}
    whole, single = [], []
    for axle in dict.fromkeys(one.axle for one in found):
        here = [one for one in found if one.axle == axle]
        everything = {one.name for one in alike if one.unit == unit and one.axle == axle}
        if axle is not None and everything <= names:
            whole.append(axle)
        else:
            single += [one.title if axle is None else f"axle {axle} {one.side or one.title}" for one in here]
    words = [numbered("axle", whole)] if whole else []
    prefix = f"{unit_title(unit)} " if unit else ""
    return [f"{prefix}{word}" for word in words] + [_with_prefix(prefix, word) for word in single]


def _with_prefix(prefix: str, word: str) -> str:
    return word if word.startswith(prefix) else f"{prefix}{word}"


def unit_title(unit: str) -> str:
    """A unit's name in words."""
    return unit.replace(".", " ").replace("_", " ")


NOISE = {"pressure": 10.0, "pressure_difference": 10.0, "force": 1.0}
"""Values nearer to zero are what rounding leaves of nothing [SI]."""


def amount(value: float, dimension: str, system: str = "si") -> str:
    """A value with its unit; rounding noise is told as zero.

    Examples
    --------
    >>> amount(-1.5e-11, "pressure"), amount(612e3, "pressure")
    ('0 kPa', '612 kPa')
    """
    return express(0.0 if abs(value) < NOISE.get(dimension, 0.0) else value, dimension, system)


def span(values: Sequence[float], dimension: str, system: str = "si") -> str:
    """``605 kPa``, or ``597 kPa to 629 kPa`` when the values differ as printed."""
    low, high = amount(min(values), dimension, system), amount(max(values), dimension, system)
    return low if low == high else f"{low} to {high}"


def moment(time: float) -> str:
    """A time of the scenario as people say it: two decimals."""
    return f"{time:.2f} s"


def moments(times: Sequence[float]) -> str:
    """``at 5.37 s``, or ``between 5.37 s and 5.41 s``."""
    first, last = moment(min(times)), moment(max(times))
    return f"at {first}" if first == last else f"between {first} and {last}"


_AFTER, _FROM, _AT = "after the control moves", "after the release begins", "time of the run"
_STOP, _OFF = "from the first movement of the control, or from the failure", "from the moment at which it came off"
_TURNS = "application|spring_application|spring_release"
_MEASURE = re.compile(rf"(?P<owner>.+?)\.(?:(?P<turn>{_TURNS})_(?P<n>\d+)\.)?(?P<word>\w+)")
_OF: dict[str, dict[str, tuple[str, str]]] = {
    "application": {
        "time_to_10": ("time to 10 % of the pressure held", _AFTER),
        "time_to_75": ("time to 75 % of the pressure held", _AFTER),
        "time_to_414": ("time to 414 kPa", _AFTER),
        "asymptotic_pressure": ("pressure held", ""),
        "highest_pressure": ("highest pressure", ""),
        "highest_force": ("highest pushrod force by service air", ""),
        "release_time": ("release to 34.5 kPa", _FROM),
        "lag_10": ("lag at 10 % of the pressure held", "behind the first"),
        "lag_75": ("lag at 75 % of the pressure held", "behind the first"),
    },
    "spring_application": {
        "begins": ("begins to move", _AT),
        "touches": ("presses on the brake", _AT),
        "force_90": ("90 % of its force", _AT),
        "final_force": ("its force", ""),
    },
    "spring_release": {
        "begins": ("begins to move back", _AT),
        "force_10": ("10 % of its force left", _AT),
        "lets_go": ("lets go of the brake", _AT),
    },
    "": {
        "highest_pressure": ("highest service pressure", ""),
        "highest_force": ("highest pushrod force", ""),
        "final_force": ("pushrod force at the end", ""),
        "lowest": ("lowest pressure", ""),
        "kept": ("share of its pressure kept", ""),
        "highest_braking_ratio": ("highest braking ratio", ""),
        "parking_force": ("force that the springs hold", ""),
        "parking_ratio": ("share of the load that the springs hold", ""),
        "grade_held": ("grade that the springs hold", ""),
        "stopping_distance": ("stopping distance", _STOP),
        "stopping_time": ("stopping time", _STOP),
        "mean_deceleration": ("mean fully developed deceleration", ""),
        "distance_lost_to_lag": ("distance lost to lag", ""),
        "lag_share": ("share of the stopping distance lost to lag", ""),
        "rest_distance": ("distance to rest", _OFF),
        "rest_time": ("time to rest", _OFF),
        "rolled": ("largest distance from where it stood", ""),
        "highest_hitch_push": ("largest push against the unit before it", ""),
        "highest_hitch_pull": ("largest pull at the unit before it", ""),
        "locked_time": ("time locked above 15 km/h", ""),
        "longest_lock": ("longest lock above 15 km/h", ""),
        "first_lock": ("first lock above 15 km/h", _AT),
        "highest_slip": ("largest slip above 15 km/h", ""),
        "highest_adhesion_used": ("largest share of its load used for braking", ""),
        "lowest_load": ("lowest load", ""),
        "lock_rank": ("place in the order in which axles lock", ""),
        "highest_ratio_difference": ("largest difference of braking ratios between units above 15 km/h", ""),
        "divergence_rate": ("fastest growth of a swing with locked axles, a linear indicator", ""),
        "control_time": ("time in control", ""),
        "control_share": ("share of the stop in control", ""),
        "air_used": ("air that reservoirs lost during control (litres of the reference atmosphere)", ""),
        "cycles": ("releases after an application", ""),
    },
}
"""What automatic measures are, and from when their times count: by turn, then by the last word of their names."""


def measure_words(run: Run, name: str, system: str = "si") -> str:
    """What a measure is, in words: ``brake of trailer axle 1 left: pressure held, application 1``.

    Those that the file asks for have their title, or their name in words.
    """
    asked = next((measure for measure in run.scenario.measures if measure.name == name), None)
    parts = _MEASURE.fullmatch(name)
    if asked is not None or parts is None:
        return asked.title if asked is not None and asked.title else unit_title(name)
    turn, word = parts["turn"] or "", parts["word"]
    if word not in _OF.get(turn, {}):
        return _happening(run, parts["owner"], word)
    what, since = _OF[turn][word]
    number = f", {turn.removeprefix('spring_')} {parts['n']}" if turn else ""
    told = f"{_owner(run, parts['owner'], turn)}: {what}{number}{f' ({since})' if since else ''}"
    return restate(told, system)


def _owner(run: Run, name: str, turn: str) -> str:
    """Who a measure belongs to: a brake or its spring by its place, another component by its title."""
    component = run.circuit.components.get(name)
    if component is None:
        return unit_title(name.removesuffix(".vehicle"))
    if component not in brake_components(run):
        return title(run, component)
    return f"{'spring' if turn.startswith('spring') else 'brake'} of {places(run, [name])}"


def _happening(run: Run, owner: str, word: str) -> str:
    """What came when a warning or a trip came: ``trailer supply control: popped out (time of the run)``."""
    kind, _, number = word.rpartition("_") if word.rpartition("_")[2].isdigit() else (word, "", "1")
    own = [event for event in run.events if (event.component, event.kind) == (owner, kind)]
    component = run.circuit.components.get(owner)
    who = unit_title(owner) if component is None else title(run, component)
    did = re.split(", because |: ", own[0].text.removeprefix(f"{who} "))[0] if own else unit_title(kind)
    return f"{who}: {did}{f', number {number}' if number != '1' else ''} ({_AT})"
