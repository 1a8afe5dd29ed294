"""Single failures of what holds air, and the stop that is left after each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pneusim.circuit.scenario import Step
from pneusim.rules.bench import Bench
from pneusim.rules.finding import NotJudged
from pneusim.rules.road.stops import PRESS, START, Course, Stop, stop
from pneusim.rules.subject import Subject

WAIT = 5.0
"""How long before the stop the part fails [s]: our assumption; 49 CFR 571.121 S6.1.14 lets 1 s to 1 min pass when the
lines of a towing vehicle are vented (from memory, to be read against the official text)."""

MIDDLE = 0.5
"""Where a line breaks, as a share of its length [-]: our choice."""

HOLE = 0.012
"""Diameter of the hole in a reservoir that is lost [m]: our choice."""

READ = (0.5, 3.0)
"""When forces are read to tell failures apart, from the movement of the pedal on [s]."""

MOST = 4
"""So many of the failures that leave least force are tried on the road: our choice."""

SAME = 0.05
"""Forces of axles that differ by less, as a share of the largest without a failure, are the same [-]."""

Array = npt.NDArray[np.float64]

BEFORE = "it fails 5 s before the pedal moves: our assumption; distance corrected to the nominal speed"


@dataclass(frozen=True)
class Failure:
    """A failure in words, and the steps that make it."""

    words: str
    steps: tuple[Step, ...]


def lost_reservoirs(subject: Subject) -> Iterator[Failure]:
    """Every service reservoir is lost."""
    for tank in subject.service_reservoirs:
        step = Step("fault", at=START, target=f"{tank.name}.lost", to=HOLE)
        yield Failure(f"{subject.title(tank)} lost", (step,))


def broken_lines(subject: Subject) -> Iterator[Failure]:
    """Every line of the vehicle breaks; those that only fill or park are among them, and are never the worst."""
    circuit = subject.circuit
    for line in circuit.lines.values():
        if not line.coupling:
            words = f"{circuit.title_of(line)} broken"
            yield Failure(words, (Step("break", at=START, target=line.name, where=MIDDLE),))


def failed_stops(bench: Bench, course: Course, failures: Sequence[Failure]) -> dict[str, Stop]:
    """A full application after each failure, by its words; those are tried that leave least force."""
    if not failures:
        raise NotJudged("the circuit has nothing whose failure could be tried")
    return {f.words: stop(bench, course, before=f.steps, start=START + WAIT) for f in distinct(bench, course, failures)}


def distinct(bench: Bench, course: Course, failures: Sequence[Failure]) -> list[Failure]:
    """Of each group of failures that leaves the same pushrod forces on every axle one, those that leave least first."""
    intact = _forces(bench, course, ())
    known, found = [intact], []
    for failure in failures:
        forces = _forces(bench, course, failure.steps)
        if all(np.abs(forces - other).max() > SAME * intact.max() for other in known):
            known.append(forces)
            found.append((float(forces.sum()), failure))
    ranked = [failure for _, failure in sorted(found, key=lambda pair: pair[0])]
    return ranked[:MOST] or list(failures[:1])


def _forces(bench: Bench, course: Course, steps: Sequence[Step]) -> Array:
    """Pushrod forces by axle, a short and a long while after a full application at rest [N]."""
    press = START + WAIT
    pedal = Step("set", at=press, target=course.pedal, to=1.0, over=PRESS)
    run = bench.run(f"{course.title}: forces", (*steps, pedal), press + READ[-1], course.begin, course.rigs)
    axles: dict[int | None, Array] = {}
    for brake in bench.subject.brakes:
        force = run[f"{brake.name}.pushrod_force"]
        axles[brake.axle] = axles.get(brake.axle, 0.0) + np.array([force(press + later) for later in READ])
    return np.array(list(axles.values()))


def worst(stops: Mapping[str, Stop]) -> str:
    """The failure after which the vehicle goes farthest; one after which it does not stop before all others."""

    def far(words: str) -> tuple[bool, float]:
        distance = stops[words].distance
        return distance is None, distance or 0.0

    return max(stops, key=far)
