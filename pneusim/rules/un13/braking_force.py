"""Annex 4: service and automatic braking of a trailer, by the sum of its braking forces at rest."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.results.run import Run
from pneusim.rules.bench import Bench, exactly
from pneusim.rules.finding import Finding, NotJudged, held_against
from pneusim.rules.quotient import STATIC, braking_quotient
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED
from pneusim.rules.un13.kinds import FRONT, in_front, rigs
from pneusim.rules.un13.supply_line import emptied

APPLY, RAMP, END = 0.5, 0.2, 5.5
"""When the control line begins to rise, for how long it does, and when the forces are read [s]."""

ROWS = {"semitrailer": "semi", "full_trailer": "full", "centre_axle_trailer": "full"}


def service(bench: Bench) -> Iterator[Finding]:
    """The control line at 650 kPa, the supply line at 700 kPa, laden."""
    kind = bench.subject.vehicle.kind
    if kind not in ROWS:
        raise NotJudged(f"the text has no figure for a {kind} by itself")
    control, supply = bench.value("service.control"), bench.value("service.supply")
    step = Step("set", at=APPLY, target=f"{FRONT}.control.pressure", to=control, over=RAMP)
    run = bench.run("Service braking", (step,), END, in_front(bench, supply, supply), rigs(bench))
    what = f"control line at {exactly(control)}, supply line at {exactly(supply)}"
    yield held_against(bench.limits[f"service.{ROWS[kind]}"], _last(bench, run), what, STATIC)


def automatic(bench: Bench) -> Iterator[Finding]:
    """The supply line is empty."""
    quotient = _last(bench, emptied(bench))
    yield held_against(bench.limits["automatic"], quotient, "supply line empty, control line too", STATIC)


def _last(bench: Bench, run: Run) -> float:
    return float(braking_quotient(bench.subject, run).values[-1])


SERVICE = Procedure("service_braking", "Service braking of a trailer", "Annex 4, 3.1", service, TOWED, 160)
AUTOMATIC = Procedure("automatic_braking", "Automatic braking of a trailer", "Annex 4, 3.3", automatic, TOWED, 170)
PROCEDURES = (SERVICE, AUTOMATIC)
