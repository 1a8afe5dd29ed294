"""393.47(e): pushrod stroke of every brake in a full application."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pneusim.circuit.circuit import Component
from pneusim.quantities import express
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, NotJudged, Picture, held_against
from pneusim.rules.limits import Limit
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us393.service import PRESS, gauged, level, pedal, ready
from pneusim.simulate.stepper import Stepper

BEFORE, HELD, TRIES = 0.5, 15.0, 3
"""When the pedal moves, for how long it is held [s], and how often the start is chosen anew."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Stroke of every brake, reservoirs at 80 to 90 psi with the brakes applied."""
    stepper, pressures = _applied(bench)
    state, run = stepper.state(), stepper.run()
    remark = f"reservoirs with the brakes applied at {exactly(min(pressures))} to {exactly(max(pressures))}"
    brakes = bench.subject.brakes
    limits = {brake.name: _limit(bench, brake) for brake in brakes}
    for limit in dict.fromkeys(limits.values()):
        these = [brake for brake in brakes if limits[brake.name] == limit]
        curves = tuple(named(run[f"{brake.name}.stroke"], bench.subject.title(brake)) for brake in these)
        name = f"strokes_{limit.name.removeprefix('strokes.').replace('.', '_')}"
        curves += (level(curves[0], limit.value, f"limit: at most {express(limit.value, 'length')}"),)
        title = f"Pushrods, {limit.words}, 393.47(e)"
        picture = bench.show(Picture(name, title, curves, BEFORE, (-BEFORE, HELD)))
        for brake in these:
            yield held_against(limit, state[f"{brake.name}.stroke"], bench.subject.title(brake), remark, picture)


def _applied(bench: Bench) -> tuple[Stepper, list[float]]:
    """Full application from so much pressure that the gauges then stand between 80 and 90 psi."""
    low, high = bench.value("strokes.low"), bench.value("strokes.high")
    middle = 0.5 * (low + high)
    start, names = middle, [f"{tank.name}.pressure" for tank in gauged(bench.subject)]
    for _ in range(TRIES):
        stepper = bench.stepper(ready(bench, start))
        stepper.advance(BEFORE)
        stepper.set(pedal(bench.subject), 1.0, PRESS)
        stepper.advance(HELD)
        left = [stepper.value(name) for name in names]
        if low <= min(left) and max(left) <= high:
            return stepper, left
        start += middle - 0.5 * (min(left) + max(left))
    raise NotJudged(
        f"a full application does not leave the service reservoirs between {exactly(low)} and {exactly(high)} "
        f"together: they come to {exactly(min(left))} to {exactly(max(left))}"
    )


def _limit(bench: Bench, brake: Component) -> Limit:
    """The row of the table for a brake's type and class of stroke, or 80 % of its rated stroke."""
    subject, limits = bench.subject, bench.limits
    size, rated = str(subject.figure(brake, "size")).partition("/")[0], float(subject.figure(brake, "stroke"))
    word = str(subject.figure(brake, "stroke_class"))
    if word == "long" and rated >= bench.value("strokes.rated") and f"strokes.rated.{size}" in limits:
        return limits[f"strokes.rated.{size}"]
    if f"strokes.{word}.{size}" in limits:
        return limits[f"strokes.{word}.{size}"]
    other = limits["strokes.other"]
    words = f"stroke of type {size}, {word} stroke, not listed: 80 % of {express(rated, 'length')}"
    name = f"strokes.other.{size}.{word}"
    return replace(other, name=name, words=words, value=other.value * rated, dimension="length")


PROCEDURE = Procedure("strokes", "Pushrod strokes", "393.47(e)", judge, POWERED, 10)
