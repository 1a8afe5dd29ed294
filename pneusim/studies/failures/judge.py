"""What a failure costs: the facts of its run held against those of the intact vehicle.

The consequences are defined in docs/failures.md; their order, worst first, is in `classes`.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

from pneusim.results.measures.reservoirs import EMPTY
from pneusim.results.mechanics import APPLIED
from pneusim.studies.failures.failure import Failure
from pneusim.studies.failures.owners import Owners, total

FREE, DRAGS, HELD = "free", "drags", "held"
IN_TIME, LATE, NEVER = "in time", "too late", "never"

HALF = 0.5
"""Share of the intact parking force from which a vehicle is held."""

NOTHING = 1.0
"""A force that is none [N]."""

DIGITS = 2
"""Shares are rounded to these, to whole per cent as they are shown."""

Facts = Mapping[str, Any]
Shares = Mapping[str, float]


@dataclass(frozen=True)
class Consequences:
    """What a failure costs, as shares of what the intact vehicle has at the same moment of the cycle [-].

    Attributes
    ----------
    braking : Mapping[str, float]
        By wheel, axle, vehicle and whole: force with the pedal down.
    later : Mapping[str, float]
        By wheel that still brakes: how much later it has 75 % of the force it holds [s]; negative: earlier.
    lopsided : Mapping[str, float]
        By axle: difference of the sides over the stronger one.
    by_itself : Mapping[str, float]
        By wheel: when it came on by itself before the pedal, or its spring before parking [s].
    springs : Collection[str]
        Those of them that their springs pressed on.
    stuck_on : tuple of str
        Wheels that did not come off after the pedal was released.
    warned : float or None
        First warning of the driver after the failure [s].
    warning : str
        Whether it came in time: ``in time``, ``too late``, ``never``; "" if there was nothing to warn of.
    matters : float or None
        When the failure first mattered: a brake came on by itself, or the pedal was pressed and gave too little [s].
    air : Mapping[str, float]
        By reservoir: pressure at the end of the cycle.
    parking : Mapping[str, float]
        By axle, vehicle and whole: force when parked.
    drives : Mapping[str, str]
        By vehicle that is still there, and whole, when it should drive off again: ``free``, ``drags`` or ``held``.
    stops : Mapping[str, bool]
        By vehicle that separated: whether it stopped by itself.
    distances : Mapping[str, float | None]
        By vehicle on a road: stopping distance [m]; None if it does not come to rest.
    """

    braking: Shares = field(default_factory=dict)
    later: Shares = field(default_factory=dict)
    lopsided: Shares = field(default_factory=dict)
    by_itself: Shares = field(default_factory=dict)
    springs: tuple[str, ...] = ()
    stuck_on: tuple[str, ...] = ()
    warned: float | None = None
    warning: str = ""
    matters: float | None = None
    air: Shares = field(default_factory=dict)
    parking: Shares = field(default_factory=dict)
    drives: Mapping[str, str] = field(default_factory=dict)
    stops: Mapping[str, bool] = field(default_factory=dict)
    distances: Mapping[str, float | None] = field(default_factory=dict)


@dataclass(frozen=True)
class Limits:
    """From where a difference counts as a consequence."""

    lost: float = 0.10  # share of the intact force below which a brake does not brake
    half: float = 0.50
    parks: float = 0.40
    weak: float = 0.90
    strong: float = 1.10
    lopsided: float = 0.30
    late: float = 0.1  # [s]


LIMITS = Limits()


def judge(failure: Failure, facts: Facts, intact: Facts, owners: Owners, pedal: float | None) -> Consequences:
    """Consequences of a failure.

    Parameters
    ----------
    failure : Failure
    facts, intact : mapping
        Of its run and of the intact vehicle's, as `facts_of` makes them.
    owners : Owners
    pedal : float or None
        When the pedal is pressed [s].
    """
    there = {name: names for name, names in owners.vehicles.items() if owners.units[name] not in failure.parted}
    present = [name for names in there.values() for name in names]
    groups = {**owners.axles, **owners.vehicles, owners.whole: tuple(present)}
    wheels = {name: (name,) for name in owners.brakes}
    braking = _shares("held", facts, intact, {**groups, **wheels})
    lopsided = _lopsided(facts, intact, owners, failure.parted) if "held" in intact["forces"] else {}
    alone = {n: t for n, t in _by_itself(facts, intact).items() if n in present}
    few = braking.get(owners.whole, 1.0) < LIMITS.weak or any(s > LIMITS.lopsided for s in lopsided.values())
    causes = [*alone.values(), *([pedal] if few and pedal is not None else [])]
    matters = min(causes, default=None)
    return Consequences(
        braking, _later(facts, intact, braking), lopsided, alone,
        tuple(n for n in alone if facts["springs"].get(n) is not None), _stuck_on(facts, intact, present),
        facts["warned"], _warning(facts["warned"], matters), matters,
        _air(facts, intact),
        _shares("parked", facts, intact, groups), _drives(facts, intact, {**there, owners.whole: present}),
        {unit: _stops(facts, intact, owners, unit) for unit in failure.parted if unit in owners.units.values()},
        dict(facts["stops"]),
    )  # fmt: skip


def _shares(moment: str, facts: Facts, intact: Facts, groups: Mapping[str, Collection[str]]) -> dict[str, float]:
    """Forces over intact forces at a moment, where the intact vehicle has any."""
    if moment not in intact["forces"]:
        return {}
    now, then = facts["forces"][moment], intact["forces"][moment]
    usual = {name: total(then, own) for name, own in groups.items()}
    return {name: round(total(now, groups[name]) / usual[name], DIGITS) for name in groups if usual[name] > NOTHING}


def _lopsided(facts: Facts, intact: Facts, owners: Owners, parted: Collection[str]) -> dict[str, float]:
    """Difference of the sides of every axle that is still there, where at least one of them brakes."""
    found, forces = {}, facts["forces"]["held"]
    for axle in owners.axles_without(parted):
        names = owners.axles[axle]
        sides = [total(forces, [n for n in names if owners.sides.get(n) == side]) for side in ("left", "right")]
        full = total(intact["forces"]["held"], names)
        if {"left", "right"} <= {owners.sides.get(n) for n in names}:
            brakes = max(sides) > LIMITS.lost * full / 2
            found[axle] = round(abs(sides[0] - sides[1]) / max(sides), DIGITS) if brakes else 0.0
    return found


def _later(facts: Facts, intact: Facts, braking: Shares) -> dict[str, float]:
    found = {}
    for name, time in facts["time_75"].items():
        usual = intact["time_75"][name]
        if time is not None and usual is not None and braking.get(name, 0.0) >= LIMITS.half:
            found[name] = time - usual
    return found


def _by_itself(facts: Facts, intact: Facts) -> dict[str, float]:
    found: dict[str, float] = {}
    for kind in ("acts", "springs"):
        for name, time in facts[kind].items():
            if time is not None and intact[kind].get(name) is None:
                found[name] = min(time, found.get(name, time))
    return found


def _stuck_on(facts: Facts, intact: Facts, present: Collection[str]) -> tuple[str, ...]:
    pushes, usual = facts["pushes"].get("parks", {}), intact["pushes"].get("parks", {})
    return tuple(name for name in present if pushes.get(name, 0.0) > APPLIED >= usual.get(name, 0.0))


def _warning(warned: float | None, matters: float | None) -> str:
    if matters is None:
        return ""
    if warned is None:
        return NEVER
    return IN_TIME if warned <= matters else LATE


def _air(facts: Facts, intact: Facts) -> dict[str, float]:
    usual = {name: air["end"] for name, air in intact["air"].items()}
    return {n: round(air["end"] / usual[n], DIGITS) for n, air in facts["air"].items() if usual.get(n, 0.0) > EMPTY}


def _drives(facts: Facts, intact: Facts, groups: Mapping[str, Collection[str]]) -> dict[str, str]:
    if "drives" not in intact["forces"]:
        return {}
    found = {}
    for name, own in groups.items():
        on = [n for n in own if facts["pushes"]["drives"][n] > APPLIED]
        usual = total(intact["forces"].get("parked", intact["forces"]["drives"]), own)
        held = total(facts["forces"]["drives"], own) >= HALF * usual
        found[name] = FREE if not on else HELD if held else DRAGS
    return found


def _stops(facts: Facts, intact: Facts, owners: Owners, unit: str) -> bool:
    """Whether a vehicle that came away has, when the pedal is pressed, half of the force that parks or brakes it."""
    names = next(names for owner, names in owners.vehicles.items() if owners.units[owner] == unit)
    usual = [force for m in ("held", "parked") if (force := total(intact["forces"].get(m, dict.fromkeys(names, 0.0)),
                                                                  names)) > NOTHING]  # fmt: skip
    moment = next((m for m in ("pedal", "parks", "drives") if m in facts["forces"]), None)
    return moment is not None and total(facts["forces"][moment], names) >= HALF * min(usual, default=0.0) > 0.0
