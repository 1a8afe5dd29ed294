"""The last step of a run: from channels and raw events to measures, the brakes' own events, and the story."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

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
    measures = measure(run)
    derived = [m.event(run) for m in mechanics(run, measures)]
    events = tuple(sorted((*run.events, *derived), key=lambda event: event.time))
    run = replace(run, measures=measures, events=events)
    return replace(run, narrative=tell(run))


def with_errors(run: Run, finer: Run) -> Run:
    """Return the run with the numerical error of each measure: its distance from the same, finer run.

    Parameters
    ----------
    run, finer : Run
        Both finished; ``finer`` was computed at half the tolerance.
    """
    other: Mapping[str, float | None] = {result.name: result.value for result in finer.measures}
    measures = tuple(
        result
        if result.value is None or other.get(result.name) is None
        else replace(result, error=abs(result.value - other[result.name]))
        for result in run.measures
    )
    return replace(run, measures=measures)
