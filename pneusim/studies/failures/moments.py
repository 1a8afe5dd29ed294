"""The moments of a cycle at which failures are judged, as the intact vehicle shows them."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass

from pneusim.results.measures.applications import applications
from pneusim.results.measures.brakes import brakes
from pneusim.results.measures.turns import MOVED, turns
from pneusim.results.mechanics import APPLIED
from pneusim.results.run import Run
from pneusim.studies.failures.cycle import PEDAL


@dataclass(frozen=True)
class Moments:
    """Times of a cycle [s]; None where the cycle has no such moment.

    Attributes
    ----------
    fails : float
        The failure.
    pedal, held : float or None
        The first application of a foot valve that begins after the failure: its beginning, and the last moment before
        the pedal goes back.
    parks, parked : float or None
        When the driver first does what makes springs apply after that, and the last moment at which all of them hold.
    drives : float or None
        The end of the cycle, if the intact vehicle is free then after it was parked, or has never been.
    """

    fails: float
    pedal: float | None
    held: float | None
    parks: float | None
    parked: float | None
    drives: float | None

    @property
    def known(self) -> dict[str, float]:
        """Those that the cycle has, by name."""
        return {name: time for name, time in asdict(self).items() if time is not None}

    def text(self) -> str:
        """As it stands in a case."""
        return json.dumps(asdict(self))

    @classmethod
    def read(cls, text: str) -> Moments:
        """What `text` wrote."""
        return cls(**json.loads(text))


def moments_of(intact: Run, fails: float) -> Moments:
    """The moments of a cycle, from the run of the intact vehicle."""
    end = intact.span[1]
    pedal, held = _application(intact, fails)
    after = fails if held is None else held
    parks, parked = _parking(intact, after)
    free = all(float(brake.force.values[-1]) <= APPLIED for brake in brakes(intact))
    return Moments(fails, pedal, held, parks, parked, end if free else None)


def _application(run: Run, after: float) -> tuple[float | None, float | None]:
    for application in applications(run):
        serves = run.circuit.components[application.control].type == PEDAL
        if serves and application.start >= after and not application.already:
            return application.start, application.end if application.release is None else application.release
    return None, None


def _parking(run: Run, after: float) -> tuple[float | None, float | None]:
    """When the driver first does what makes springs apply after a time, and until when all that do still hold."""
    begins, holds = [], []
    for brake in brakes(run):
        found = turns(brake)
        applies = next((turn for turn in found if turn.direction > 0 and turn.rests >= after), None)
        if brake.spring_travel is None or applies is None:
            continue
        back = next((turn for turn in found if turn.direction < 0 and turn.rests > applies.begins), None)
        if back is not None or float(brake.spring_travel.values[-1]) > MOVED:
            begins.append(applies.rests)
            holds.append(back.rests if back else float(brake.spring_travel.times[-1]))
    if not begins:
        return None, None
    moved, held = min(begins), min(holds)
    done = [step.at for step in run.scenario.steps if step.action == "set" and step.at is not None]
    hand = [step.at for step in run.scenario.steps if step.at in done and not _is_pedal(run, step.target)]
    causes = [at for at in hand if after < at <= moved]
    ends = [at for at in done if moved < at <= held]
    return min(causes, default=moved), max(ends, default=held)


def _is_pedal(run: Run, target: str) -> bool:
    owner = run.circuit.components.get(target.rpartition(".")[0])
    return owner is not None and owner.type == PEDAL
