"""What a run gives: channels, events, measures, the story in sentences, and files."""

from pneusim.results.finish import finish
from pneusim.results.run import CAUTION, Channel, Closure, Event, MeasureResult, Run, SolverReport

__all__ = [
    "CAUTION",
    "Channel",
    "Closure",
    "Event",
    "MeasureResult",
    "Run",
    "SolverReport",
    "finish",
]
