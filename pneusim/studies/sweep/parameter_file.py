"""The section ``parameters`` of a study file."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase
from typing import Any

from pneusim import quantities
from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.errors import Place
from pneusim.reading.context import Context
from pneusim.reading.faults import nearest
from pneusim.reading.fields import Fields, bound_in_words, check_name, quantity_of
from pneusim.reading.parameters import convert
from pneusim.reading.tree import ListNode, MapNode, Node, Scalar, kind_in_words
from pneusim.studies.sweep.parameter import DISTRIBUTIONS, NORMAL, SIGMAS, UNIFORM, Parameter, Spread
from pneusim.studies.sweep.targets import Target, matching, paths, refused, target

MOST_PARAMETERS, MOST_POINTS = 200, 10_000
_RANGE = ("from", "to")
_SPREAD_ONLY = ("distribution", "sigma", "steps")
INSTEAD = {"not more than": "more than", "less than": "at least", "more than": "at most"}
"""What to write of what is on the wrong side of a bound."""

_KEYS = ("of", "values", *_RANGE, "tolerance", "nominal", *_SPREAD_ONLY, "correlation")


@dataclass
class ParameterReader:
    """Reads parameters against a circuit and a scenario."""

    circuit: Circuit
    scenario: Scenario
    context: Context

    def __post_init__(self) -> None:
        self._known = paths(self.circuit, self.scenario)
        self._taken: dict[str, Place] = {}

    def read(self, section: MapNode) -> tuple[Parameter, ...]:
        """All parameters; those at fault are left out."""
        if not section.entries:
            fix = "add one, such as 'feed.length: {values: [5 m, 9 m]}'"
            self._report("S02", section, "no parameter is given", fix)
        if len(section.entries) > MOST_PARAMETERS:
            self._report("S10", section, f"there are more than {MOST_PARAMETERS} parameters", "vary fewer")
            return ()
        found = []
        for entry in section:
            if not isinstance(entry.node, MapNode):
                problem = f"{entry.key!r} holds {kind_in_words(entry.node)}, not keys with values"
                fix = "write {from: ..., to: ...}, {values: [...]} or {tolerance: ...}"
                self._report("S05", entry.node, problem, fix)
                continue
            parameter = self._parameter(entry.key, entry.place, entry.node)
            if parameter:
                found.append(parameter)
        return tuple(found)

    def _parameter(self, name: str, place: Place, node: MapNode) -> Parameter | None:
        fields = Fields(node, self.context.faults, (), _KEYS, ambient=self.context.ambient.pressure, missing_at=place)
        if "of" not in fields:
            texts = [Scalar(place, f"parameters.{name}", name, name)]
        elif not check_name(name, place, node.path, self.context.faults):
            return None
        else:
            texts = self._of(fields)
        targets = [found for text in texts for found in self._targets(text)]
        ways = [way for way in ("values", "from", "tolerance") if way in fields or (way == "from" and "to" in fields)]
        if len(ways) != 1:
            seen = f"{' and '.join(ways)} stand together" if ways else "it is not said how it varies"
            fix = "write one of 'values: [...]', 'from: ...' with 'to: ...', and 'tolerance: ...'"
            self._report("S02", node, seen, fix, place if not ways else None)
            return None
        if not targets or not self._alike(targets, texts[0]):
            return None
        correlation = fields.quantity("correlation", "fraction", low=0.0, high=1.0)
        steps = fields.integer("steps", 2, MOST_POINTS)
        made = Parameter(
            name, tuple(t.path for t in targets), targets[0].dimension, tuple(t.nominal for t in targets),
            steps=3 if steps is None else steps, correlation=1.0 if correlation is None else correlation,
        )  # fmt: skip
        if ways == ["values"]:
            return self._listed(made, fields, targets)
        return self._spread(made, fields, targets)

    # ---- what is changed

    def _of(self, fields: Fields) -> list[Scalar]:
        node = fields.get("of")
        if isinstance(node, ListNode):
            return fields.texts("of")
        fields.text("of")
        return [node] if isinstance(node, Scalar) and node.value is not None else []

    def _targets(self, text: Scalar) -> list[Target]:
        found = matching(text.text, self._known) if "*" in text.text else [text.text]
        targets = []
        for path in found:
            try:
                targets.append(target(path, self.circuit, self.scenario))
            except KeyError:
                found = []
                break
            earlier = self._taken.setdefault(path, text.place)
            if earlier != text.place:
                problem = f"{path!r} is varied already in line {earlier.line}"
                self._report("N02", text, problem, "vary it once")
        if not found:
            near = _nearest(text.text, self._known)
            kinds = "component.parameter, line.length, step_1.over or ambient.temperature"
            problem = f"there is nothing {text.text!r} in the circuit that can be varied"
            self._report("T16", text, problem, f"write {near!r}" if near else f"write {kinds}")
        return targets

    def _alike(self, targets: Sequence[Target], text: Scalar) -> bool:
        first = targets[0]
        for other in targets[1:]:
            if other.dimension != first.dimension:
                problem = f"{first.path} is {_kind(first)} and {other.path} is {_kind(other)}"
                self._report("U03", text, f"{problem}; they cannot vary alike", "make two parameters of them")
                return False
        return True

    # ---- a list

    def _listed(self, made: Parameter, fields: Fields, targets: Sequence[Target]) -> Parameter | None:
        for key in (*_SPREAD_ONLY, "nominal"):
            if key in fields:
                fields.report("S01", key, f"{key!r} does not belong to a list of values", "leave it out")
        scalars = fields.texts("values")
        if not scalars:
            if "values" in fields and isinstance(fields.get("values"), ListNode):
                fields.report("S05", "values", "the list is empty", "write two values or more, such as [6 mm, 8 mm]")
            return None
        values = [given.value for item in scalars if (given := convert(item, made.dimension, self.context))]
        if len(values) < len(scalars):
            return None
        for value, scalar in zip(values, scalars):
            self._check(value, scalar, targets)
        return replace(made, values=tuple(values))

    # ---- a spread

    def _spread(self, made: Parameter, fields: Fields, targets: Sequence[Target]) -> Parameter | None:
        first = targets[0]
        if not made.numeric or first.whole:
            key = "tolerance" if "tolerance" in fields else "from" if "from" in fields else "to"
            takes = "whole numbers" if made.numeric else f"a {made.dimension}"
            fields.report("P01", key, f"{first.path} takes {takes}, which has no range", "write 'values: [...]'")
            return None
        nominal = self._nominal(fields, targets)
        if "tolerance" in fields:
            bounds = self._tolerance(fields, nominal, made.dimension)
        else:
            bounds = self._from_to(fields, made, targets)
        if bounds is None:
            return None
        ends = fields.get("tolerance") or fields.get("from")
        assert isinstance(ends, Scalar)
        spreads = self._distributed(fields, made, bounds, nominal)
        key_of_high = ends if "tolerance" in fields else fields.get("to")
        for spread, one in zip(spreads, targets):
            self._check(spread.low, ends, [one])
            if isinstance(key_of_high, Scalar):
                self._check(spread.high, key_of_high, [one])
        return replace(made, nominal=nominal, spreads=spreads)

    def _nominal(self, fields: Fields, targets: Sequence[Target]) -> tuple[Any, ...]:
        if "nominal" not in fields:
            return tuple(one.nominal for one in targets)
        given = fields.quantity("nominal", targets[0].dimension)
        return tuple(given for _ in targets)

    def _from_to(
        self, fields: Fields, made: Parameter, targets: Sequence[Target]
    ) -> list[tuple[float, float]] | None:
        missing = [key for key in _RANGE if key not in fields]
        if missing:
            self._report("S02", fields.node, f"the key {missing[0]!r} is missing", f"add '{missing[0]}: ...'")
            return None
        low, high = (fields.quantity(key, made.dimension) for key in _RANGE)
        if low is None or high is None:
            return None
        if low >= high:
            fields.report("M08", "to", "'to' is not more than 'from'", "exchange them, or write 'values: [...]'")
            return None
        return [(low, high)] * len(targets)

    def _tolerance(
        self, fields: Fields, nominal: tuple[Any, ...], dimension: str
    ) -> list[tuple[float, float]] | None:
        if any(value is None for value in nominal):
            if "nominal" not in fields:
                problem = "the circuit gives no value that the tolerance could be of"
                fields.report("S02", "tolerance", problem, "add 'nominal: ...'")
            return None
        halves = self._half_widths("tolerance", fields, nominal, dimension)
        if halves is None:
            return None
        return [(value - half, value + half) for value, half in zip(nominal, halves)]

    def _half_widths(
        self, key: str, fields: Fields, nominal: tuple[Any, ...], dimension: str
    ) -> list[float] | None:
        """A difference for each nominal value: absolute, or a percentage of it."""
        scalar = fields.get(key)
        if not isinstance(scalar, Scalar) or scalar.value is None:
            fields.text(key)
            return None
        if quantities.symbol_in(scalar.text) == "%":
            share = quantity_of(scalar, "fraction", self.context.faults, self.context.ambient.pressure)
            halves = None if share is None else [share * abs(value) for value in nominal]
        else:
            if dimension == "temperature" and quantities.symbol_in(scalar.text) != "K":
                fields.report("U03", key, f"{scalar.text!r} is no difference of temperatures", "write it in K")
                return None
            difference = "pressure_difference" if dimension == "pressure" else dimension
            half = quantity_of(scalar, difference, self.context.faults, self.context.ambient.pressure)
            halves = None if half is None else [half] * len(nominal)
        if halves is not None and not all(half > 0.0 for half in halves):
            fields.report("U07", key, f"{scalar.text!r} leaves nothing to vary", "write more than zero")
            return None
        return halves

    def _distributed(
        self, fields: Fields, made: Parameter, bounds: Sequence[tuple[float, float]], nominal: tuple[Any, ...]
    ) -> tuple[Spread, ...]:
        kind = fields.word("distribution", DISTRIBUTIONS) or UNIFORM
        if kind != NORMAL:
            if "sigma" in fields:
                fields.report("S01", "sigma", f"'sigma' does not belong to {kind!r}", "write 'distribution: normal'")
            return tuple(Spread(low, high) for low, high in bounds)
        ranged = "tolerance" not in fields and "nominal" not in fields
        centres = [0.5 * (low + high) for low, high in bounds]
        means = [centre if ranged or value is None else value for centre, value in zip(centres, nominal)]
        sigmas: Sequence[float] | None = [(high - low) / (2.0 * SIGMAS) for low, high in bounds]
        if "sigma" in fields:
            sigmas = self._half_widths("sigma", fields, tuple(means), made.dimension)
        if sigmas is None:
            return ()
        return tuple(
            Spread(low, high, NORMAL, mean, sigma) for (low, high), mean, sigma in zip(bounds, means, sigmas)
        )

    # ---- bounds, told with both places

    def _check(self, value: Any, scalar: Scalar, targets: Sequence[Target]) -> None:
        for one in targets:
            there = f" ({one.path}: {one.place})" if one.place.line else f" ({one.path})"
            numeric = isinstance(value, int | float) and not isinstance(value, bool)
            bound = _bound(value, one) if numeric else None
            if bound is not None:
                side, limit, inwards = bound
                words = bound_in_words(limit, one.dimension, scalar.text, inwards)
                seen = quantities.express(value, one.dimension) if one.dimension != "number" else f"{value:g}"
                problem = f"{scalar.text!r} leads to {seen}, which is {side} {words}{there}"
                self._report("U07", scalar, problem, f"write {INSTEAD[side]} {words}")
            elif one.whole and not isinstance(value, int):
                self._report("S07", scalar, f"{scalar.text!r} is not a whole number{there}", "write it without a point")
            elif why := refused(self.circuit, self.scenario, {one.path: value}):
                self._report("P01", scalar, f"{scalar.text!r} does not fit: {why}{there}", "write another value")

    def _report(self, code: str, node: Node, problem: str, fix: str, place: Place | None = None) -> None:
        self.context.faults.report(code, place or node.place, node.path, problem, fix)


def _nearest(path: str, known: Sequence[str]) -> str | None:
    """The known path that is meant; of a pattern, the pattern with a word that there is."""
    if "*" not in path:
        return nearest(path, known)
    owner, _, word = path.rpartition(".")
    near = nearest(word, {one.rpartition(".")[2] for one in known if fnmatchcase(one.rpartition(".")[0], owner)})
    return near and f"{owner}.{near}"


def _bound(value: float, one: Target) -> tuple[str, float, int] | None:
    """The bound that a value passes: in words, its number, and which way is inside."""
    if not math.isfinite(value):
        return None
    if one.above is not None and value <= one.above:
        return "not more than", one.above, 1
    if one.low is not None and value < one.low:
        return "less than", one.low, 1
    if one.high is not None and value > one.high:
        return "more than", one.high, -1
    return None


def _kind(one: Target) -> str:
    known = quantities.DIMENSIONS
    return known[one.dimension].words if one.dimension in known else f"a {one.dimension}"
