"""The last step of a run: from channels and raw events to measures, what brakes and vehicles did, and the story."""

from __future__ import annotations

from dataclasses import replace

from pneusim.results.begins import begun
from pneusim.results.measures import measure
from pneusim.results.mechanics import mechanics
from pneusim.results.narrative import tell
from pneusim.results.run import Run


def finish(run: Run) -> Run:
    """Return the run with its measures, its mechanical events among the others, and its narrative.

    Parameters
    ----------
    run : Run
        With channels and the events of scenario and parts; a failed run may be cut short.
    """
    if not run.channels:
        return run
    run = replace(run, events=begun(run))
    measures = measure(run)
    derived = [m.event(run) for m in mechanics(run, measures)]
    events = tuple(sorted((*run.events, *derived), key=lambda event: event.time))
    run = replace(run, measures=measures, events=events)
    return replace(run, narrative=tell(run))
