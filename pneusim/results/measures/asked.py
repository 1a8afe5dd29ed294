"""The measures that the file itself asks for."""

from __future__ import annotations

import numpy as np

from pneusim.circuit.scenario import Measure, Trigger
from pneusim.quantities import express
from pneusim.results.measures.applications import Application, applications
from pneusim.results.measures.asymptote import asymptote
from pneusim.results.measures.brakes import brakes
from pneusim.results.measures.crossing import first_crossing, highest, lowest
from pneusim.results.run import Channel, MeasureResult, Run


class _NotReachedError(Exception):
    """Why a measure has no value, as a sentence."""


def measure(run: Run) -> list[MeasureResult]:
    """Results in the order of the file; one that has no value says why."""
    return [_one(run, asked) for asked in run.scenario.measures]


def _one(run: Run, asked: Measure) -> MeasureResult:
    dimension = "time" if asked.kind == "time" else _dimension(run, asked.channel)
    try:
        return MeasureResult(asked.name, _KINDS[asked.kind](run, asked), dimension)
    except _NotReachedError as reason:
        return MeasureResult(asked.name, None, dimension, str(reason))


def _time(run: Run, asked: Measure) -> float:
    start = _since(run, asked.since)
    return max(_reached(run, asked, channel, start) for channel in _reach(run, asked.reach)) - start


def _highest(run: Run, asked: Measure) -> float:
    return highest(_channel(run, asked.channel), _since(run, asked.since), _end(run))


def _lowest(run: Run, asked: Measure) -> float:
    return lowest(_channel(run, asked.channel), _since(run, asked.since), _end(run))


def _value_at(run: Run, asked: Measure) -> float:
    time = asked.at or 0.0
    if time > _end(run):
        raise _NotReachedError(f"the run ends at {_end(run):g} s, before {time:g} s")
    return _channel(run, asked.channel)(time)


_KINDS = {"time": _time, "max": _highest, "min": _lowest, "value_at": _value_at}


def _since(run: Run, since: str | Trigger | None) -> float:
    """Time zero of a measure [s]: the start, first movement of an input, or a channel passing a level."""
    if since is None:
        return 0.0
    if isinstance(since, Trigger):
        channel = _channel(run, since.channel)
        time = first_crossing(channel, since.level, since.direction, float(channel.times[0]), _end(run))
        if time is None:
            verb = "rose above" if since.direction > 0 else "fell below"
            raise _NotReachedError(f"{since.channel} never {verb} {express(since.level, channel.dimension, 'si')}")
        return time
    channel = _channel(run, since)
    moved = np.flatnonzero(np.diff(channel.values) != 0.0)
    if len(moved) == 0:
        raise _NotReachedError(f"{since} was never moved")
    return float(channel.times[int(moved[0])])


def _reached(run: Run, asked: Measure, channel: Channel, start: float) -> float:
    """Time at which one channel has reached the level [s]."""
    level = _level(run, asked, channel, start)
    direction = -1 if asked.falling else +1
    words = express(level, channel.dimension, "si")
    if direction * (channel(start) - level) >= 0.0:
        raise _NotReachedError(f"{channel.name} was already at {words} at {start:g} s")
    time = first_crossing(channel, level, direction, start, _end(run))
    if time is None:
        extreme = lowest if asked.falling else highest
        best = express(extreme(channel, start, _end(run)), channel.dimension, "si")
        raise _NotReachedError(f"{channel.name} never reached {words}; it came to {best}")
    return time


def _level(run: Run, asked: Measure, channel: Channel, start: float) -> float:
    """The level in SI; a relative one counts from the asymptotic value, falling ones from what was held."""
    if not asked.relative:
        return asked.level
    if asked.falling:
        return asked.level * channel(start)
    held = asymptote(channel, start, _application(run, asked.since, start))
    if held.value is None:
        raise _NotReachedError(f"{channel.name} has no asymptotic value: {held.remark}")
    return asked.level * held.value


def _application(run: Run, since: str | Trigger | None, time: float) -> Application | None:
    """The application that a moment belongs to; where the control is named, one of that control."""
    running = [application for application in applications(run) if application.start <= time < application.end]
    own = [application for application in running if application.input == since]
    return next(iter(own or running), None)


def _reach(run: Run, reach: str | None) -> list[Channel]:
    if reach != "all_brakes":
        return [_channel(run, reach)]
    found = [brake.pressure for brake in brakes(run)]
    if not found:
        raise _NotReachedError("the circuit has no brakes")
    return found


def _channel(run: Run, name: str | None) -> Channel:
    if name is None or name not in run.channels:
        raise _NotReachedError(f"the run has no channel {name}")
    return run.channels[name]


def _dimension(run: Run, name: str | None) -> str:
    return run.channels[name].dimension if name is not None and name in run.channels else "number"


def _end(run: Run) -> float:
    return run.span[1]
