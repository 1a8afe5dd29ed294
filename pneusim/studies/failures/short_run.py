"""Runs a case with the channels of brakes, reservoirs and controls alone: all that facts and stories are made of."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np

from pneusim.circuit.braking import ACTUATORS
from pneusim.engine.sampling import Sampler
from pneusim.engine.segments import Steps
from pneusim.errors import RunFailed
from pneusim.results.measures.applications import CONTROLS
from pneusim.results.run import Run
from pneusim.simulate.compiled import ChannelValue
from pneusim.simulate.session import INTERPOLATION, Session
from pneusim.studies.case import Case

KEPT = (*ACTUATORS, *CONTROLS, "reservoir")
"""Types of part whose channels are kept."""

MOST_STEPS = 50_000
"""Steps after which a run is given up: a cycle takes one or two thousand; more means that something flutters."""

NO_MATTER = ("temperature", "flow")
"""Quantities of theirs that are not."""


def short_run(case: Case) -> Run:
    """Run a case, measured and told.

    Raises
    ------
    UsageError, RunFailed
    """
    session = Session(case.circuit, case.scenario, "rodas4", case.rtol)
    session.player.schedule()
    session.compiled.channels = dict(_kept(session))
    sampler = session.sampler = _sampler(session)
    session.loop.sink = partial(_take, session)
    sampler.now()  # what happens at 0 s has a limit from the left too
    session.advance(case.scenario.lasts)
    run = session.result()
    session.loop.sink = lambda steps: None  # the loop is in a circle of references, and so would be the samples
    return run


def _take(session: Session, steps: Steps) -> None:
    session.sampler.take(steps)
    if session.method.accepted > MOST_STEPS:
        raise RunFailed(
            f"after {MOST_STEPS} steps the run had come to {session.time:.4g} s only: something flutters, most likely "
            f"the piston of a valve on a very short piece of line. 'pneusim run' computes it, however long it takes"
        )


def _kept(session: Session) -> Iterator[tuple[str, ChannelValue]]:
    names = {name for name, component in session.circuit.components.items() if component.type in KEPT}
    for name, channel in session.compiled.channels.items():
        owner, _, quantity = name.rpartition(".")
        if owner in names and quantity not in NO_MATTER:
            yield name, channel


def _sampler(session: Session) -> Sampler:
    channels = session.compiled.channels.values()
    places = np.array([session.machine.place(c.value) for c in channels], np.int64)
    bends = [np.inf if c.derived else INTERPOLATION.get(c.dimension, np.inf) for c in channels]
    return Sampler(session.machine, places, np.array(bends))
