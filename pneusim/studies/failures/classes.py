"""Classes of consequences, worst first: a failure belongs to the first that applies."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pneusim.studies.failures.judge import FREE, IN_TIME, LIMITS, Consequences
from pneusim.studies.failures.owners import Owners


@dataclass(frozen=True)
class Class:
    """A class: its name, a heading, what it means in a line, and its test."""

    name: str
    words: str
    means: str
    applies: Callable[[Consequences, Owners], bool]


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f} %"


def _whole(c: Consequences, o: Owners) -> float:
    return c.braking.get(o.whole, 1.0)


def _axles(c: Consequences, o: Owners) -> list[float]:
    """Shares of the axles that are still there."""
    return [c.braking[axle] for axle in o.axles_without(c.stops) if axle in c.braking]


def _braked(c: Consequences, o: Owners) -> list[float]:
    """Shares of the vehicles of a combination that are still there and whose brakes did not come on by themselves."""
    alone = set(c.by_itself)
    there = [name for name, unit in o.units.items() if unit not in c.stops and not alone & set(o.vehicles[name])]
    return [c.braking[name] for name in there if len(o.units) > 1 and name in c.braking]


def _vehicles(c: Consequences, o: Owners) -> list[float]:
    """Shares of the parking force of the vehicles that are still there."""
    return [c.parking[name] for name, unit in o.units.items() if name in c.parking and unit not in c.stops]


def _parks(c: Consequences, o: Owners) -> float:
    return c.parking.get(o.whole, 1.0)


CLASSES = (
    Class("no_brakes", "no service brakes",
          f"with the pedal down the whole brakes with less than {_percent(LIMITS.lost)} of the intact force",
          lambda c, o: _whole(c, o) < LIMITS.lost),
    Class("below_half", "less than half of the braking force",
          f"with the pedal down the whole brakes with less than {_percent(LIMITS.half)} of the intact force",
          lambda c, o: _whole(c, o) < LIMITS.half),
    Class("runs_away", "a vehicle that came away does not stop",
          "when the pedal is pressed, a vehicle that separated has less than half of what parks or brakes it",
          lambda c, o: not all(c.stops.values())),
    Class("vehicle_half", "a vehicle brakes with less than half of its force",
          "with the pedal down a vehicle of a combination, whose brakes did not come on by themselves, brakes with "
          f"less than {_percent(LIMITS.half)} of its own intact force: it pushes, or is pushed",
          lambda c, o: any(share < LIMITS.half for share in _braked(c, o))),
    Class("on_unwarned", "brakes come on by themselves, unwarned",
          "before the pedal is pressed, or by their springs before parking, and no warning came first",
          lambda c, o: bool(c.by_itself) and c.warning != IN_TIME),
    Class("came_away", "a vehicle came away and stops by itself",
          "when the pedal is pressed, a vehicle that separated has half or more of what parks or brakes it",
          lambda c, o: bool(c.stops)),
    Class("no_parking", "cannot be parked",
          f"parked, the whole holds less than {_percent(LIMITS.parks)} of the intact force, or a vehicle less than "
          f"{_percent(LIMITS.lost)}",
          lambda c, o: _parks(c, o) < LIMITS.parks or any(share < LIMITS.lost for share in _vehicles(c, o))),
    Class("axle_lost", "an axle does not brake",
          f"with the pedal down an axle brakes with less than {_percent(LIMITS.lost)} of its intact force",
          lambda c, o: any(share < LIMITS.lost for share in _axles(c, o))),
    Class("lopsided", "an axle brakes lopsidedly",
          f"the sides of an axle differ by more than {_percent(LIMITS.lopsided)} of the stronger one",
          lambda c, o: any(share > LIMITS.lopsided for share in c.lopsided.values())),
    Class("axle_half", "an axle brakes with less than half of its force",
          f"with the pedal down an axle brakes with less than {_percent(LIMITS.half)} of its intact force",
          lambda c, o: any(share < LIMITS.half for share in _axles(c, o))),
    Class("on_warned", "brakes come on by themselves, after a warning",
          "before the pedal is pressed, or by their springs before parking, but the driver was warned first",
          lambda c, o: bool(c.by_itself) and c.warning == IN_TIME),
    Class("stuck_on", "brakes do not come off",
          "a brake is still on when the driver begins to park, long after the pedal was released",
          lambda c, o: bool(c.stuck_on)),
    Class("cannot_move", "cannot be driven off",
          "after parking, with the controls put in again, a brake is still on at the end of the cycle",
          lambda c, o: c.drives.get(o.whole, FREE) != FREE),
    Class("weak", "less braking force",
          f"with the pedal down an axle brakes with less than {_percent(LIMITS.weak)} of its intact force",
          lambda c, o: any(share < LIMITS.weak for share in _axles(c, o))),
    Class("late", "brakes late",
          f"a wheel has 75 % of its force more than {LIMITS.late:g} s later",
          lambda c, o: any(time > LIMITS.late for time in c.later.values())),
    Class("parks_weakly", "less parking force",
          f"parked, a vehicle holds less than {_percent(LIMITS.weak)} of the intact force",
          lambda c, o: any(share < LIMITS.weak for share in (*_vehicles(c, o), _parks(c, o)))),
    Class("strong", "more braking force",
          f"with the pedal down an axle brakes with more than {_percent(LIMITS.strong)} of its intact force",
          lambda c, o: any(share > LIMITS.strong for share in _axles(c, o))),
    Class("air_lost", "air lost",
          f"at the end a reservoir has less than {_percent(LIMITS.weak)} of what it has in the intact vehicle",
          lambda c, o: any(share < LIMITS.weak for share in c.air.values())),
    Class("none", "no effect in this cycle",
          "nothing of the above: the driver does not notice, whatever has been lost of the reserve",
          lambda c, o: True),
)  # fmt: skip
"""All classes of failures that could be computed, worst first."""

NOT_COMPUTED = Class("not_computed", "could not be computed", "the run failed, see its message", lambda c, o: False)


def all_classes(found: Consequences, owners: Owners) -> tuple[str, ...]:
    """Names of all classes that apply, worst first; ``none`` alone if no other does."""
    names = [kind.name for kind in CLASSES[:-1] if kind.applies(found, owners)]
    return tuple(names) or (CLASSES[-1].name,)


def class_named(name: str) -> Class:
    """A class."""
    return next(kind for kind in (NOT_COMPUTED, *CLASSES) if kind.name == name)


def rank(name: str) -> int:
    """Place of a class in the order, worst first; what could not be computed comes before all."""
    return [NOT_COMPUTED.name, *(kind.name for kind in CLASSES)].index(name)
