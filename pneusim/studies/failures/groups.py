"""Failures with the same consequence are one group; what it is, in words."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from pneusim.circuit.braking import vehicle_name
from pneusim.quantities import express
from pneusim.results.words import listed, numbered, span, unit_title
from pneusim.studies.failures.classes import CLASSES, NOT_COMPUTED
from pneusim.studies.failures.judge import FREE, LIMITS, NEVER, Consequences
from pneusim.studies.failures.owners import Owners
from pneusim.studies.failures.study import Row, Study


@dataclass(frozen=True)
class Group:
    """Rows of one class whose wheels, springs, warnings and reservoirs are in the same states, numbered from 1.

    What has no effect is one group a kind of failure: leaks are not among switches.
    """

    number: int
    rows: tuple[Row, ...]

    @property
    def worst(self) -> str:
        """Name of its class."""
        return self.rows[0].worst


def grouped(study: Study) -> list[Group]:
    """The groups of a study, worst first."""
    found: dict[Any, list[Row]] = {}
    for row in study.rows:
        found.setdefault(_signature(row, study.owners), []).append(row)
    return [Group(number, tuple(rows)) for number, rows in enumerate(found.values(), 1)]


def _signature(row: Row, owners: Owners) -> tuple[Any, ...]:
    """What the rows of a group agree in; left and right are alike in it."""
    c = row.consequences
    if row.worst == NOT_COMPUTED.name:
        return (row.classes,)
    return (
        row.classes,
        tuple(_state(c.braking[axle]) for axle in owners.axles if axle in c.braking),
        tuple(share > LIMITS.lopsided for share in c.lopsided.values()),
        axles_with(c.by_itself, owners), axles_with(c.springs, owners), axles_with(c.stuck_on, owners), c.warning,
        tuple(_state(share) for share in c.parking.values()), tuple(c.drives.values()), tuple(c.stops.items()),
        tuple(min(_state(share), 3) for share in c.air.values()),
        row.failure.kind if row.worst == CLASSES[-1].name else "",
    )  # fmt: skip


def _state(share: float) -> int:
    """0 lost, 1 less than half, 2 weak, 3 as intact, 4 more."""
    return sum(share >= limit for limit in (LIMITS.lost, LIMITS.half, LIMITS.weak, LIMITS.strong))


def axles_with(wheels: Collection[str], owners: Owners) -> tuple[str, ...]:
    """Axles that some wheels are on."""
    return tuple(axle for axle, names in owners.axles.items() if set(names) & set(wheels))


def consequence_in_words(rows: Sequence[Row], study: Study) -> str:
    """What the rows of a group come to, with the ranges of their values."""
    if rows[0].worst == NOT_COMPUTED.name:
        return rows[0].outcome.message
    found = [row.consequences for row in rows]
    owners = study.owners
    parts = [*_away(found, owners), *_braking(found, owners), *_distances(found, study), *_alone(found, owners),
             *_parking(found, owners), *_drives(found[0], owners), *_air(found, study)]  # fmt: skip
    return "; ".join(parts) or f"within {100.0 * (1.0 - LIMITS.weak):.0f} % of the intact vehicle"


def _away(found: Sequence[Consequences], owners: Owners) -> Iterator[str]:
    for unit, stops in found[0].stops.items():
        share = percent([c.braking[vehicle_name(unit)] for c in found if vehicle_name(unit) in c.braking] or [0.0])
        yield f"the {unit_title(unit)} {'stops' if stops else 'does not stop'} by itself, braked with {share}"


def _braking(found: Sequence[Consequences], owners: Owners) -> Iterator[str]:
    whole = [c.braking[owners.whole] for c in found if owners.whole in c.braking]
    if whole and not all(LIMITS.weak <= share <= LIMITS.strong for share in whole):
        yield f"brakes with {percent(whole)}"
    there = owners.axles_without(found[0].stops)
    for state, words in ((0, "{axles} not at all"), (1, "{axles} with {share}"), (2, "{axles} with {share}"),
                         (4, "{axles} with {share}")):  # fmt: skip
        axles = [axle for axle in there if axle in found[0].braking and _state(found[0].braking[axle]) == state]
        if axles and len(owners.axles) > 1:
            share = percent([c.braking[axle] for c in found for axle in axles])
            yield words.format(axles=axle_words(axles, owners), share=share)
    lopsided = [axle for axle, share in found[0].lopsided.items() if share > LIMITS.lopsided]
    if lopsided:
        share = percent([c.lopsided[axle] for c in found for axle in lopsided])
        yield f"{axle_words(lopsided, owners)} lopsided by {share}"
    late = [most for c in found if (most := max(c.later.values(), default=0.0)) > LIMITS.late]
    if late:
        yield f"up to {span([max(late)], 'time')} later"


def _distances(found: Sequence[Consequences], study: Study) -> Iterator[str]:
    """Stopping distances where they are longer than the intact vehicle's, those of vehicles that stay together once."""
    told: dict[str, list[str]] = {}
    for name, usual in study.intact.extra["stops"].items():
        known = [c.distances[name] for c in found if name in c.distances]
        ways = [way for way in known if way is not None]
        if len(ways) < len(known):
            words = "does not come to rest"
        elif ways and not any(ways):
            words = "stands before the pedal is pressed"
        elif usual is not None and ways and max(ways) > usual / LIMITS.weak:
            words = f"stops after {span([min(ways), max(ways)], 'distance')} instead of {express(usual, 'distance')}"
        else:
            continue
        told.setdefault(words, []).append(unit_title(study.owners.units.get(name, "")))
    for words, who in told.items():
        yield words if len(who) == len(study.intact.extra["stops"]) else f"the {listed(who)} {words}"


def _alone(found: Sequence[Consequences], owners: Owners) -> Iterator[str]:
    first = found[0]
    if first.by_itself:
        times = [time for c in found for time in c.by_itself.values()]
        by = "springs" if set(first.springs) == set(first.by_itself) else "brakes"
        axles = axle_words(axles_with(first.by_itself, owners), owners)
        when = f"at {_times(times)}" if any(times) else "from the start"
        yield f"{by} of {axles or 'the vehicle'} come on by themselves {when}"
    if first.stuck_on:
        yield f"{axle_words(axles_with(first.stuck_on, owners), owners) or 'brakes'} still on before parking"
    if first.warning == NEVER:
        yield "no warning"
    elif first.warning:
        warned = [c.warned for c in found if c.warned is not None]
        yield f"warned {first.warning}" + (f" ({_times(warned)})" if warned else "")


def _parking(found: Sequence[Consequences], owners: Owners) -> Iterator[str]:
    names = [owners.whole] if len(owners.vehicles) == 1 else [*owners.vehicles]
    for name in (name for name in names if owners.units.get(name) not in found[0].stops):
        shares = [c.parking[name] for c in found if name in c.parking]
        if shares and _state(shares[0]) != 3:
            who = f"{unit_title(owners.units[name])} " if len(names) > 1 else ""
            yield f"{who}parks with {percent(shares)}"


def _drives(first: Consequences, owners: Owners) -> Iterator[str]:
    for name, state in first.drives.items():
        if state != FREE and (name != owners.whole or len(owners.vehicles) == 1):
            who = unit_title(owners.units[name]) or "vehicle"
            yield f"the {who} {'is held' if state == 'held' else 'drags'} when it should drive off"


def _air(found: Sequence[Consequences], study: Study) -> Iterator[str]:
    for name, share in found[0].air.items():
        if _state(share) < 3:
            title = study.circuit.title_of(study.circuit.components[name])
            yield f"{title} keeps {percent([c.air[name] for c in found])}"


def axle_words(axles: Collection[str], owners: Owners) -> str:
    """``tractor axle 2 and trailer axles 1 to 3``."""
    words = []
    for unit in owners.units.values():
        prefix = f"{unit}.axle_" if unit else "axle_"
        numbers = [int(name.removeprefix(prefix)) for name in axles if name.startswith(prefix)]
        if numbers:
            words.append(" ".join(filter(None, (unit_title(unit), numbered("axle", numbers)))))
    return listed(words)


def percent(shares: Sequence[float]) -> str:
    """``62 %``, ``58 to 62 %``.

    Examples
    --------
    >>> percent([0.62]), percent([0.584, 0.62])
    ('62 %', '58 to 62 %')
    """
    low, high = (f"{100.0 * share:.0f}" for share in (min(shares), max(shares)))
    return f"{low} %" if low == high else f"{low} to {high} %"


def _times(times: Sequence[float]) -> str:
    low, high = f"{min(times):.1f}", f"{max(times):.1f}"
    return f"{low} s" if low == high else f"{low} to {high} s"


