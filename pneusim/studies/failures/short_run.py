"""Runs a case with the channels of brakes, reservoirs and controls alone: all that facts and stories are made of."""

from __future__ import annotations

from contextlib import closing

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.rolling import road_channels
from pneusim.errors import RunFailed
from pneusim.results.measures.applications import CONTROLS
from pneusim.results.run import Run
from pneusim.simulate.session import Session
from pneusim.studies.case import Case

KEPT = (*ACTUATORS, *CONTROLS, "reservoir")
"""Types of part whose channels are kept."""

NO_MATTER = ("temperature", "flow")
"""Quantities of theirs that are not."""

MOST_STEPS = 50_000
"""Steps after which a run is given up: a cycle takes one or two thousand; more means that something flutters."""


def short_run(case: Case) -> Run:
    """Run a case, measured and told.

    Raises
    ------
    UsageError, RunFailed
    """
    owners = {name for name, component in case.circuit.components.items() if component.type in KEPT}
    if case.scenario.road:
        owners |= {channel.owner for channel in road_channels(case.circuit.vehicles)}

    def keep(channel: str) -> bool:
        owner, _, quantity = channel.rpartition(".")
        return owner in owners and quantity not in NO_MATTER

    def give_up(time: float) -> None:
        if session.method.accepted > MOST_STEPS:
            raise RunFailed(
                f"after {MOST_STEPS} steps the run had come to {time:.4g} s only: something flutters, most likely the "
                "piston of a valve on a very short piece of line. 'pneusim run' computes it, however long it takes"
            )

    with closing(Session(case.circuit, case.scenario, "rodas4", case.rtol, keep=keep)) as session:
        session.schedule()
        session.advance(case.scenario.lasts, give_up)
        return session.result()
