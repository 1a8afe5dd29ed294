"""Runs a case with the channels of brakes, reservoirs and controls alone: all that facts and stories are made of."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from pneusim.circuit.braking import ACTUATORS
from pneusim.engine.sampling import Sampler
from pneusim.results.measures.applications import CONTROLS
from pneusim.results.run import Run
from pneusim.simulate.compiled import ChannelValue
from pneusim.simulate.session import INTERPOLATION, Session
from pneusim.studies.case import Case

KEPT = (*ACTUATORS, *CONTROLS, "reservoir")
"""Types of part whose channels are kept."""

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
    session.loop.sink = sampler.take
    sampler.now()  # what happens at 0 s has a limit from the left too
    session.advance(case.scenario.lasts)
    run = session.result()
    session.loop.sink = lambda steps: None  # the loop is in a circle of references, and so would be the samples
    return run


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
