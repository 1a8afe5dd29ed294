"""What is measured from a run: the automatic measures, one kind a file, then those the file asks for."""

from __future__ import annotations

from pneusim.results.measures import (
    application,
    asked,
    braking,
    expectations,
    extremes,
    happenings,
    lag,
    parking,
    reservoirs,
    spring_brakes,
)
from pneusim.results.road import measures as road
from pneusim.results.run import MeasureResult, Run


def measure(run: Run) -> tuple[MeasureResult, ...]:
    """All measures of a run: the file's own first, then the automatic ones, with expectations judged."""
    rises = application.measure(run)
    results = [
        *asked.measure(run),
        *rises,
        *lag.measure(run, {result.name: result for result in rises}),
        *spring_brakes.measure(run),
        *extremes.measure(run),
        *braking.measure(run),
        *parking.measure(run),
        *reservoirs.measure(run),
        *road.measure(run),
        *happenings.measure(run),
    ]
    return tuple(expectations.judge(results, run.scenario.expectations))
