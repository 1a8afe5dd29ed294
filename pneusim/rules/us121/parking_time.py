"""S5.6.3.3: parking brake application time, with and without a single failure in the service brake system."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.circuit import Component
from pneusim.circuit.scenario import Step
from pneusim.quantities import express
from pneusim.results.run import Channel, Run
from pneusim.rules.bench import Bench, named, time_to
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.readings import SLACK
from pneusim.rules.regulation import Procedure
from pneusim.rules.us121.kinds import PARKED, RIG_REMARK, losses, trailer_start, vented

FAILURE, PARK, END = 0.5, 10.0, 20.0
"""When the failure happens, when the brake is parked, and when the test ends [s]."""

HOLDS = 0.9
"""Share of its final force with which a brake counts as holding mechanically: our reading, the text has no figure."""

FAILURES = "of the single failures only the loss of each service reservoir is tried"
REMARK = f"a brake holds when its pushrod has {HOLDS:.0%} of its final force: our reading of the clause"


def judge(bench: Bench) -> Iterator[Finding]:
    """The slowest spring brake, without a failure and with each service reservoir lost."""
    yield _case(bench, None)
    for lost in losses(bench):
        yield _case(bench, lost)


def _case(bench: Bench, lost: Component | None) -> Finding:
    subject, limit = bench.subject, bench.limits["parking.time"]
    run = parked_run(bench, lost)
    forces = [named(run[f"{brake.name}.pushrod_force"], subject.title(brake)) for brake in subject.spring_brakes]
    times = [_holds(force) for force in forces]
    slack = [force.label for force, time in zip(forces, times, strict=True) if time is None]
    case = f"{subject.title(lost)} lost" if lost else "no failure"
    picture = f"parking_{lost.name.rpartition('.')[2]}_lost" if lost else "parking"
    bench.show(_picture(picture, f"Parking, {case}, S5.6.3.3", forces, limit.value))
    if slack:
        return held_against(limit, None, f"{case}: {slack[0]}", "it does not brake at all", picture)
    slowest = max(range(len(forces)), key=lambda k: times[k] or 0.0)
    remark = "; ".join([REMARK, *([FAILURES] if lost else []), *([RIG_REMARK] if subject.towed else [])])
    return held_against(limit, times[slowest], f"{case}: {forces[slowest].label}, the slowest", remark, picture)


def parked_run(bench: Bench, lost: Component | None = None) -> Run:
    """Park at `PARK`, a trailer by venting its supply line; a service reservoir may be lost before."""
    subject, start = bench.subject, bench.value("parking.start")
    failure = (Step("fault", at=FAILURE, target=f"{lost.name}.lost", to=0.012),) if lost else ()
    behind = ("supply_vessel_behind",) if subject.vehicle.tows else ()
    if subject.towed:
        steps = (*failure, *vented(PARK))
        return bench.run("Parking", steps, END, trailer_start(bench, start), ("trailer_rig", *behind))
    control, parked = subject.parking_control()
    steps = (*failure, Step("set", at=PARK, target=control, to=parked))
    return bench.run("Parking", steps, END, bench.ready(start), behind)


def _holds(force: Channel) -> float | None:
    """Time after parking at which a brake holds [s]; None if it does not brake at all."""
    final = float(force.values[-1])
    return time_to(force, HOLDS * final, +1, PARK) if final > SLACK else None


def _picture(name: str, title: str, forces: list[Channel], limit: float) -> Picture:
    mark = Mark(f"{HOLDS:.0%} of the final force within {express(limit, 'time')}", limit)
    return Picture(name, title, tuple(forces), PARK, (-0.2, 1.6 * limit), (mark,))


PROCEDURE = Procedure("parking_time", "Parking brake application time", "S5.6.3.3", judge, PARKED, 100)
