"""How it ended: which brakes are on and by what, what the reservoirs kept, which warnings came, which limits
were missed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pneusim.quantities import unit_of
from pneusim.results.measures.application import NO_PRESSURE
from pneusim.results.measures.brakes import CONTACT, Brake, brakes
from pneusim.results.measures.reservoirs import EMPTY, reservoirs
from pneusim.results.measures.spring_brakes import VENTED
from pneusim.results.mechanics import APPLIED
from pneusim.results.restate import restate
from pneusim.results.road.rolling import REST
from pneusim.results.road.rolling import units as road_units
from pneusim.results.run import Run
from pneusim.results.words import amount, listed, measure_words, moment, places, span, title, unit_title

WARNERS = ("pressure_switch",)
"""Types of part that warn."""

RELEASED, SERVICE, SPRING, DRAG, BOTH = "released", "service", "spring", "drag", "both"


@dataclass(frozen=True)
class Stand:
    """How one brake stands at a time: ``state`` is one of the five words above, ``force`` that at its pushrod [N]."""

    brake: Brake
    state: str
    force: float


def outcome(run: Run, system: str) -> tuple[str, ...]:
    """The closing sentences."""
    ends = [stand(brake, run.span[1]) for brake in brakes(run)]
    sentences = [*_brakes(run, ends, system), *_held(run, ends), *_reservoirs(run, system), *_warnings(run)]
    if run.status != "ok":
        sentences.append(f"The run failed: {run.message}")
    return (*sentences, *_limits(run, system))


def stand(brake: Brake, time: float) -> Stand:
    """By what a brake is on at a time [s], if it is."""
    force, air = brake.force(time), brake.pressure(time) > NO_PRESSURE
    if force <= APPLIED:
        return Stand(brake, RELEASED, force)
    if brake.spring_travel is None or brake.spring_pressure is None:
        return Stand(brake, SERVICE, force)
    if brake.spring_travel(time) < brake.stroke(time) - CONTACT:
        return Stand(brake, SERVICE, force)
    if air:
        return Stand(brake, BOTH, force)
    return Stand(brake, DRAG if brake.spring_pressure(time) > VENTED else SPRING, force)


_STATE = {
    SPRING: "the springs hold the brakes of {places} with {force} at the pushrod",
    DRAG: "the springs, partly held off, drag on the brakes of {places} with {force} at the pushrod",
    BOTH: "service air and springs together apply the brakes of {places} with {force} at the pushrod",
    SERVICE: "service air applies the brakes of {places} with {force} at the pushrod",
    RELEASED: "the brakes of {places} are off",
}


def _brakes(run: Run, ends: Sequence[Stand], system: str) -> Iterator[str]:
    clauses = []
    for state, words in _STATE.items():
        here = [end for end in ends if end.state == state]
        for group in _alike(here) if state != RELEASED else [here]:
            if group:
                force = span([end.force for end in group], "force", system)
                where = places(run, [end.brake.name for end in group])
                clauses.append(words.format(places=where, force=force))
    if clauses:
        yield f"At the end ({moment(float(ends[0].brake.force.times[-1]))}) {'; '.join(clauses)}."


def _alike(ends: Sequence[Stand]) -> list[list[Stand]]:
    """Groups whose forces differ by less than a tenth."""
    groups: list[list[Stand]] = []
    for end in sorted(ends, key=lambda end: -end.force):
        if groups and end.force >= 0.9 * groups[-1][0].force:
            groups[-1].append(end)
        else:
            groups.append([end])
    return groups


def _held(run: Run, ends: Sequence[Stand]) -> Iterator[str]:
    """Which vehicles stand on their springs."""
    units = dict.fromkeys(end.brake.component.unit for end in ends)
    sprung = [unit for unit in units if any(e.state == SPRING for e in ends if e.brake.component.unit == unit)]
    moving = {unit.site.unit for unit in road_units(run) if abs(float(unit.speed.values[-1])) > REST}
    slips = [unit for unit in sprung if unit in moving]
    if slips:
        who = listed([f"the {unit_title(unit) or 'vehicle'}" for unit in slips])
        yield f"The springs of {who} are applied and do not hold {'it' if len(slips) == 1 else 'them'}."
    held = [unit for unit in sprung if unit not in moving]
    if held == [""]:
        yield "The vehicle is held by its springs."
    elif held:
        stands = "is held by its springs" if len(held) == 1 else "are held by their springs"
        yield f"The {listed([unit_title(unit) for unit in held])} {stands}."


def _reservoirs(run: Run, system: str) -> Iterator[str]:
    parts = []
    for component in reservoirs(run):
        values = run.channels[f"{component.name}.pressure"].values
        first, last, low = float(values[0]), float(values[-1]), float(values.min())
        text = f"{title(run, component)} {amount(last, 'pressure', system)} "
        if first > EMPTY:
            text += f"of {amount(first, 'pressure', system)} ({100.0 * last / first:.0f} %)"
        else:
            text += "from empty"
        if low < min(first, last) - 5e3:
            text += f", lowest {amount(low, 'pressure', system)}"
        parts.append(text)
    if parts:
        yield f"Pressure left in the reservoirs: {'; '.join(parts)}."


def _warnings(run: Run) -> Iterator[str]:
    warned = any(event.category == "warning" for event in run.events)
    can_warn = any(component.type in WARNERS for component in run.circuit.components.values())
    if can_warn and not warned:
        yield "No warning came on."


def _limits(run: Run, system: str) -> Iterator[str]:
    judged = [result for result in run.measures if result.met is not None]
    failed = [result for result in judged if not result.met]
    for result in failed:
        limit = restate(result.limit, system)
        if result.value is None:
            seen = f"has no value: {restate(result.reason, system)}"
        else:
            seen = f"is {_told_apart(result.value, result.dimension, limit, system)}"
        yield f"Not met: {measure_words(run, result.name, system)} is expected to be {limit}, but {seen}."
    if judged and not failed:
        yield _MET.get(len(judged), f"All {len(judged)} expectations are met.")


def _told_apart(value: float, dimension: str, limit: str, system: str) -> str:
    """The value in words, with more digits if it reads like the limit that it misses."""
    words = amount(value, dimension, system)
    if words not in limit:
        return words
    unit = unit_of(dimension, system)
    return f"{(value - unit.offset) / unit.factor:.6g} {unit.symbol}".rstrip()


_MET = {1: "The expectation is met.", 2: "Both expectations are met."}
