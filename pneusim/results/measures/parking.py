"""Parking: what the springs of axles, vehicles and the combination hold when they hold last in a run.

That is the end of the run, or the last moment before they are lifted again. A static check of what the brakes hold:
the adhesion of the tyres is left aside, and so are rolling resistance and the load that a grade shifts between axles.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from pneusim.circuit.braking import COMBINATION, braked_axles, load_of, vehicle_name
from pneusim.circuit.circuit import Vehicle
from pneusim.circuit.statics import as_loaded
from pneusim.quantities import express
from pneusim.results.measures.application import NO_PRESSURE
from pneusim.results.measures.brakes import Brake, brakes
from pneusim.results.measures.crossing import before
from pneusim.results.measures.spring_brakes import TOUCHES
from pneusim.results.measures.turns import MOVED, turns
from pneusim.results.run import MeasureResult, Run

ASKED = {
    "us": "20 % is asked of a vehicle alone (49 CFR 571.121 S5.6.2, from memory)",
    "un13": "18 % is asked of a vehicle alone, 12 % of a combination that its towing vehicle holds "
    "(UN R13 Annex 4, 2.3, from memory)",
}
"""Grades of the regulations, by practice."""

STEEPEST = 0.999
"""Force over weight from which a grade is as good as a wall: no grade above 2234 % is told [-]."""


def measure(run: Run) -> list[MeasureResult]:
    """``<owner>.parking_force`` [N] and ``.parking_ratio`` [-] of axles, vehicles and the combination with spring
    brakes, and ``.grade_held`` [-] of all but axles."""
    circuit, found = run.circuit, {brake.name: brake for brake in brakes(run)}
    vehicles = as_loaded(circuit.vehicles, run.scenario.road)
    results = []
    for axle in braked_axles(vehicles, circuit.components):
        members = [found[name] for name in axle.actuators if name in found]
        results += _held(run, axle.name, members, axle.axle.load)
    owners: list[tuple[str, Sequence[Vehicle]]] = [(vehicle_name(v.name), [v]) for v in vehicles]
    for owner, those in [*owners, (COMBINATION, vehicles)]:
        units = [vehicle.name for vehicle in those]
        members = [brake for brake in found.values() if brake.component.unit in units]
        results += _with_grade(_held(run, owner, members, load_of(those)), those)
    return results


def _held(run: Run, owner: str, members: Sequence[Brake], load: float | None) -> list[MeasureResult]:
    """Force that the springs among some brakes hold, and over a load [N] where this is known."""
    force = run.channels.get(f"{owner}.brake_force")
    if force is None or not any(brake.spring_travel for brake in members):
        return []
    time = _holds_last(members)
    reason = "the springs never hold in this run" if time is None else _service_air(run, members, time)
    held = None if time is None or reason else before(force, time)
    results = [MeasureResult(f"{owner}.parking_force", held, "force", reason)]
    if load:
        ratio = None if held is None else held / load
        results.append(MeasureResult(f"{owner}.parking_ratio", ratio, "fraction", reason))
    return results


def _holds_last(members: Sequence[Brake]) -> float | None:
    """Last moment at which all springs that hold at some time still do [s]; None if none ever does."""
    return min((end for b in members if (end := _end(b)) is not None), default=None)


def _end(brake: Brake) -> float | None:
    """Last moment at which one spring holds [s]: the end of the run, or when it begins to move back."""
    travel = brake.spring_travel
    if travel is not None and float(travel.values[-1]) > MOVED:
        return float(travel.times[-1])
    return next((turn.rests for turn in reversed(turns(brake)) if turn.direction < 0), None)


def _service_air(run: Run, members: Sequence[Brake], time: float) -> str:
    """Which brake is pressed by service air too, "" if none is."""
    for brake in members:
        pressure = before(brake.pressure, time)
        if pressure > NO_PRESSURE and before(brake.force, time) > TOUCHES:
            told = express(pressure, "pressure", "si")
            return f"{run.circuit.title_of(brake.component)} has {told} of service air while the springs hold"
    return ""


def _with_grade(results: list[MeasureResult], vehicles: Sequence[Vehicle]) -> list[MeasureResult]:
    """Beside the ratio, the steepest grade tan(alpha) on which the force holds the weight: W sin(alpha) = F."""
    ratio = results[-1] if results else None
    if ratio is None or ratio.dimension != "fraction":
        return results
    name = ratio.name.replace(".parking_ratio", ".grade_held")
    if ratio.value is None:
        return [*results, replace(ratio, name=name)]
    grade = math.tan(math.asin(min(ratio.value, STEEPEST)))
    remark = f"tyre adhesion aside; {ASKED[vehicles[0].practice]}"
    return [*results, MeasureResult(name, grade, "fraction", remark)]
