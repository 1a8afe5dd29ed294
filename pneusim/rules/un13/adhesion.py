"""Annex 10, 3.1.1: adhesion that each axle uses against the braking rate, by forces in a slow application at rest."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pneusim.circuit.braking import axle_name
from pneusim.circuit.road import Road
from pneusim.circuit.scenario import Step
from pneusim.circuit.statics import stand
from pneusim.quantities import STANDARD_GRAVITY
from pneusim.results.run import Channel
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture, held_against, not_judged
from pneusim.rules.regulation import Procedure
from pneusim.rules.road.loads import Load, sensed
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.kinds import cut_in, pedal, ready, rigs
from pneusim.rules.un13.road import both_loads

BEGIN, RISE = 0.5, 20.0
"""When the pedal begins to move, and for how long it does [s]: slowly."""

RATES = np.linspace(0.02, 0.98, 97)
"""Braking rates at which the curves are drawn [-]."""

Array = npt.NDArray[np.float64]

HOW = "by forces in a slow application at rest and the loads that statics gives; bands of compatibility are not shipped"


@dataclass(frozen=True)
class Used:
    """Adhesion used by each axle [-], by its number, at braking rates [-]."""

    rates: Array
    axles: dict[int, Array]
    rear: frozenset[int]

    @property
    def most(self) -> Array:
        """The largest of all axles."""
        highest: Array = np.max(list(self.axles.values()), axis=0)
        return highest


def judge(bench: Bench) -> Iterator[Finding]:
    """Laden and unladen: enough braking rate for the adhesion used, and which axle would lock first."""
    if bench.subject.all("anti_lock_control"):
        raise NotJudged("it is for vehicles without an anti-lock system (from memory)")
    for load in both_loads(bench, "Annex 10, 3.1.1", "adhesion used"):
        if isinstance(load, Finding):
            yield load
            continue
        used = utilisation(bench, load)
        state = load.words.partition(",")[0]
        shown = _picture(bench, used, load, state)
        yield _rate(bench, used, load, shown)
        yield _order(bench, used, load, shown)


def utilisation(bench: Bench, load: Load) -> Used:
    """Adhesion used against the braking rate, of a vehicle by itself."""
    step = Step("set", at=BEGIN, target=pedal(bench.subject), to=1.0, over=RISE)
    begin = ready(bench, cut_in(bench)[0]) | sensed(bench.subject, load)
    run = bench.run("Slow application", (step,), BEGIN + RISE, begin, rigs(bench))
    (unit,) = load.units
    names = {axle.number: f"{axle_name(unit.name, axle.number)}.brake_force" for axle in unit.axles}
    if missing := [str(number) for number, name in names.items() if name not in run.channels]:
        raise NotJudged(f"axle {missing[0]} has no braking force: a brake, a tyre radius or a load is missing")
    forces = {number: np.maximum.accumulate(run[name].values) for number, name in names.items()}
    weight = STANDARD_GRAVITY * stand(load.units, Road(loading=load.loading))[0].mass
    reached: Array = np.sum(list(forces.values()), axis=0) / weight
    rates = RATES[float(np.max(reached)) >= RATES]
    axles: dict[int, Array] = {number: np.interp(rates, reached, force) for number, force in forces.items()}
    loads = [{stood.axle.number: stood.load for stood in standing.axles} for standing in
             (stand(load.units, Road(loading=load.loading), float(z))[0] for z in rates)]  # fmt: skip
    rear = frozenset(a.axle.number for a in stand(load.units)[0].axles if a.support == 1)
    return Used(rates, {n: force / np.maximum([at[n] for at in loads], 1.0) for n, force in axles.items()}, rear)


def _rate(bench: Bench, used: Used, load: Load, shown: str) -> Finding:
    """z >= 0.1 + 0.85 (k - 0.2) for k of 0.2 to 0.8: the least of z - 0.85 (k - 0.2)."""
    limit, what = bench.limits["adhesion.rate"], f"braking rate less 0.85 (k - 0.2), k the adhesion used, {load.words}"
    counts = (used.most >= bench.value("adhesion.from")) & (used.most <= bench.value("adhesion.to"))
    if not counts.any():
        return not_judged(limit.clause, what, "no axle uses an adhesion of 0.2 to 0.8")
    slope, zero = bench.value("adhesion.slope"), bench.value("adhesion.from")
    margin = used.rates[counts] - slope * (used.most[counts] - zero)
    worst = int(np.argmin(margin))
    rate, k = float(used.rates[counts][worst]), float(used.most[counts][worst])
    why = f"least at a braking rate of {rate:.2f}, where the adhesion used is {k:.2f}; {HOW}"
    return held_against(limit, float(margin[worst]), what, why, shown)


def _order(bench: Bench, used: Used, load: Load, shown: str) -> Finding:
    """A front axle uses more than a rear one between 0.15 and 0.30, or all curves keep to the band."""
    limit, what = bench.limits["adhesion.order"], f"adhesion used by the front less that by the rear, {load.words}"
    low, high = bench.value("adhesion.order.from"), bench.value("adhesion.order.to")
    counts = (used.rates >= low) & (used.rates <= high)
    front = [curve for number, curve in used.axles.items() if number not in used.rear]
    rear = [curve for number, curve in used.axles.items() if number in used.rear]
    if not front or not rear or not counts.any():
        return not_judged(limit.clause, what, "no front and rear axle that brake at a rate of 0.15")
    lead = np.max(front, axis=0) - np.min(rear, axis=0)
    value = float(lead[counts].min())
    if value < limit.value and _in_band(bench, used, counts, np.max(rear, axis=0)):
        why = "a rear axle uses more, but all curves lie in the band of 0.08 and the rear one keeps to its line"
        band, what = bench.limits["adhesion.band"], f"farthest of the adhesion used from the braking rate, {load.words}"
        return held_against(band, _farthest(used, counts), what, f"{why}; {HOW}", shown)
    return held_against(limit, value, what, f"one front axle above one rear axle is enough; {HOW}", shown)


def _in_band(bench: Bench, used: Used, counts: npt.NDArray[np.bool_], rear: Array) -> bool:
    """Curves within z +- 0.08, and above 0.30 z >= 0.3 + 0.74 (k - 0.38) of the rear axle."""
    beyond = used.rates >= bench.value("adhesion.order.to")
    line = 0.3 + bench.value("adhesion.rear.slope") * (rear - bench.value("adhesion.rear.zero"))
    kept = bool(np.all(used.rates >= line, where=beyond))
    return kept and _farthest(used, counts) <= bench.limits["adhesion.band"].value


def _farthest(used: Used, counts: npt.NDArray[np.bool_]) -> float:
    return max(float(np.abs(curve - used.rates)[counts].max()) for curve in used.axles.values())


def _picture(bench: Bench, used: Used, load: Load, state: str) -> str:
    """Adhesion used over the braking rate, with the line of the ideal."""
    def curve(values: Array, words: str) -> Channel:
        return Channel(words, used.rates, values, "number", words)

    curves = [curve(values, f"axle {number}") for number, values in used.axles.items()]
    ideal, limit = curve(used.rates, "as much as the braking rate"), _line(bench, used)
    title = f"Adhesion used, {load.words}, Annex 10, 3.1.1"
    span = (0.0, float(used.rates[-1]))
    marks = (Mark("most of the test range", level=bench.value("adhesion.to")),)
    return bench.show(Picture(f"adhesion_{state}", title, (*curves, ideal, curve(limit, "limit of the adhesion used")),
                              0.0, span, marks, "braking rate", "adhesion used"))  # fmt: skip


def _line(bench: Bench, used: Used) -> Array:
    """The largest k that a braking rate allows, 0.2 + (z - 0.1)/0.85."""
    zero, slope = bench.value("adhesion.from"), bench.value("adhesion.slope")
    return zero + (used.rates - bench.limits["adhesion.rate"].value) / slope


PROCEDURE = Procedure("adhesion", "Adhesion used by the axles", "Annex 10, 3.1.1", judge, POWERED, 148)
