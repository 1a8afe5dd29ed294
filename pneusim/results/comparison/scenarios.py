"""What differs in two scenarios: how they begin, their steps, what is measured and expected."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from itertools import zip_longest
from typing import Any

from pneusim.circuit.automatic import AUTOMATIC
from pneusim.circuit.circuit import NOWHERE, Circuit
from pneusim.circuit.scenario import Expectation, Measure, Scenario, Step, Trigger
from pneusim.quantities import DIMENSIONS, express
from pneusim.results.comparison.description import Change, compared, dimension_of_path, value_in_words
from pneusim.results.comparison.figures import choices_of
from pneusim.results.comparison.rolling import ROAD, road_figures
from pneusim.results.measures.expectations import limit_in_words


@dataclass(frozen=True)
class Played:
    """A scenario, and the circuit that it is played on."""

    circuit: Circuit
    scenario: Scenario


def scenario_changes(a: Played, b: Played) -> tuple[Change, ...]:
    """What differs between two scenarios; titles and places in files do not count."""
    name = a.scenario.name
    lasts = {"lasts": a.scenario.lasts}, {"lasts": b.scenario.lasts}
    return (
        *compared("scenarios", name, *lasts, {"lasts": "time"}),
        *compared("scenarios", name, road_figures(a.scenario.road), road_figures(b.scenario.road), ROAD),
        *compared("scenarios", f"{name}.begin", _begin(a), _begin(b), _begin_dimensions(a, b)),
        *_steps(a, b),
        *compared("scenarios", f"{name}.measure", _measures(a), _measures(b), {}),
        *compared("scenarios", f"{name}.expect", _expectations(a), _expectations(b), {}),
    )


def _begin(one: Played) -> dict[str, Any]:
    return {path: _worded(one.circuit, path, value) for path, value in one.scenario.begin.items()}


def _begin_dimensions(a: Played, b: Played) -> dict[str, str]:
    return {path: dimension_of_path(one.circuit, path) for one in (b, a) for path in one.scenario.begin}


def _worded(circuit: Circuit, path: str, value: object) -> object:
    """The word for an input's value that has one."""
    owner, _, word = path.rpartition(".")
    component = circuit.components.get(owner)
    choices = choices_of(component.type, word) if component is not None else {}
    return next((name for name, one in choices.items() if one == value), value)


def _steps(a: Played, b: Played) -> Iterator[Change]:
    ours, theirs = (
        [(step_in_words(one.circuit, step), repr(replace(step, place=NOWHERE))) for step in one.scenario.steps]
        for one in (a, b)
    )
    matcher = SequenceMatcher(None, ours, theirs, autojunk=False)
    for tag, i, j, k, n in matcher.get_opcodes():
        if tag != "equal":
            for number, (one, other) in enumerate(zip_longest(ours[i:j], theirs[k:n]), 1):
                name = f"{a.scenario.name}.step_{(i if one else k) + number}"
                yield Change("scenarios", name, one and one[0], other and other[0])


def step_in_words(circuit: Circuit, step: Step) -> str:
    """``1 s: set tractor.foot.travel to 100 % over 0.05 s``."""
    when = express(step.at or 0.0, "time") if step.when is None else f"when {_trigger(circuit, step.when)}"
    words = [f"{when}: {step.action}", step.target or ", ".join(step.targets)]
    if step.action in ("set", "fault", "leak"):
        words.append(f"to {_to(circuit, step)}")
    if step.over:
        words.append(f"{'apart by' if step.action == 'separate' else 'over'} {express(step.over, 'time')}")
    if step.action in ("break", "leak") and step.target in circuit.lines:
        words.append(f"at {express(step.where, 'fraction')}")
    return " ".join([*filter(None, words), *([repr(step.text)] if step.text else [])])


def _to(circuit: Circuit, step: Step) -> str:
    if step.action == "leak":
        return express(step.to, "length")
    worded = _worded(circuit, step.target, step.to)
    return value_in_words(worded, dimension_of_path(circuit, step.target))


def _trigger(circuit: Circuit, trigger: Trigger) -> str:
    way = "rises above" if trigger.direction > 0 else "falls below"
    return f"{trigger.channel} {way} {value_in_words(trigger.level, dimension_of_path(circuit, trigger.channel))}"


def _measures(one: Played) -> dict[str, str]:
    return {measure.name: _asked(one.circuit, measure) for measure in one.scenario.measures}


_KINDS = {"max": "highest", "min": "lowest", "value_at": "value of"}


def _asked(circuit: Circuit, measure: Measure) -> str:
    if measure.kind != "time":
        at = f" at {express(measure.at, 'time')}" if measure.at is not None else ""
        return f"{_KINDS[measure.kind]} {measure.channel}{at}"
    since = _trigger(circuit, measure.since) if isinstance(measure.since, Trigger) else measure.since
    dimension = "fraction" if measure.relative else dimension_of_path(circuit, measure.reach or "")
    level = value_in_words(measure.level, dimension)
    start = f"since {since}, " if since else ""
    return f"{start}{measure.reach} {'falls to' if measure.falling else 'reaches'} {level}"


def _expectations(one: Played) -> dict[str, str]:
    words: dict[str, str] = {}
    for expected in one.scenario.expectations:
        limit = limit_in_words(expected, _dimension(one, expected))
        words[expected.measure] = f"{words[expected.measure]} and {limit}" if expected.measure in words else limit
    return words


def _dimension(one: Played, expectation: Expectation) -> str:
    own = {measure.name: measure for measure in one.scenario.measures}.get(expectation.measure)
    if own is None:
        return AUTOMATIC.get(expectation.measure.rpartition(".")[2], "time")
    dimension = "time" if own.kind == "time" else dimension_of_path(one.circuit, own.channel or "")
    return dimension if dimension in DIMENSIONS else "number"
