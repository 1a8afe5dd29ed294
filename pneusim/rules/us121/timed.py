"""A full application and its release, as both timed tests need it."""

from __future__ import annotations

from dataclasses import dataclass

from pneusim.circuit.scenario import Step
from pneusim.results.measures.crossing import highest
from pneusim.results.run import Channel, Run
from pneusim.rules.bench import Bench, named
from pneusim.rules.finding import NotJudged
from pneusim.rules.readings import FED
from pneusim.rules.us121.kinds import TREADLE_TIME, rigs_for, service_pressure

START, HOLD, END = 0.5, 3.5, 7.5
"""When the control is moved, when it is moved back, and when the test ends [s]."""

VESSEL = "vessel_behind.vessel.pressure"


@dataclass(frozen=True)
class Timed:
    """A run of the test: chambers by the name of the brake, the vessel behind a towing vehicle, and brakes that get no
    pressure from a full application."""

    run: Run
    chambers: dict[str, Channel]
    vessel: Channel | None
    unfed: tuple[str, ...] = ()

    @property
    def curves(self) -> tuple[Channel, ...]:
        """All of them, for a picture."""
        return (*self.chambers.values(), *([self.vessel] if self.vessel else ()))


def timed(bench: Bench, start: float, source: float) -> Timed:
    """Apply fully, hold, release: reservoirs start at ``start``, of a towed vehicle the rig's at ``source`` [Pa]."""
    subject, rigs = bench.subject, rigs_for(bench)
    begin = bench.ready(start)
    if subject.towed:
        begin |= {
            "trailer_rig.source.pressure": source,
            "trailer_rig.feed.position": 0.0,
            "trailer_rig.exhaust.position": 0.0,
            "trailer_rig.vent.position": 0.0,
        }
        steps: tuple[Step, ...] = (
            Step("set", at=START, target="trailer_rig.feed.position", to=1.0),
            Step("set", at=HOLD, target="trailer_rig.feed.position", to=0.0),
            Step("set", at=HOLD, target="trailer_rig.exhaust.position", to=1.0),
        )
    else:
        foot = f"{subject.one('foot_valve').name}.travel"
        steps = (
            Step("set", at=START, target=foot, to=1.0, over=TREADLE_TIME),
            Step("set", at=HOLD, target=foot, to=0.0, over=TREADLE_TIME),
        )
    run = bench.run("Full application and release", steps, END, begin, rigs)
    chambers = {b.name: named(run[service_pressure(b)], subject.title(b)) for b in subject.brakes}
    vessel = named(run[VESSEL], "vessel of 50 in3 on the control line") if "vessel_behind" in rigs else None
    fed = {name: curve for name, curve in chambers.items() if highest(curve, START, HOLD) > FED}
    if not fed:
        raise NotJudged("no brake gets pressure from a full application")
    return Timed(run, fed, vessel, tuple(name for name in chambers if name not in fed))
