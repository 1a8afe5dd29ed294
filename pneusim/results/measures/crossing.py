"""Where a channel passes a level, by linear interpolation, and its extremes in a window."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from pneusim.results.run import Channel

Array = npt.NDArray[np.float64]


def before(channel: Channel, time: float) -> float:
    """Value at a time [s]; at an event the limit from the left."""
    i = int(np.searchsorted(channel.times, time, side="left"))
    if i == 0 or i == len(channel.times):
        return float(channel.values[min(i, len(channel.times) - 1)])
    t0, t1 = channel.times[i - 1], channel.times[i]
    share = (time - t0) / (t1 - t0)
    return float(channel.values[i - 1] + share * (channel.values[i] - channel.values[i - 1]))


def window(channel: Channel, start: float, end: float) -> tuple[Array, Array]:
    """Times [s] and values from ``start`` (right limit) to ``end`` (left limit), both ends interpolated."""
    i = int(np.searchsorted(channel.times, start, side="right"))
    j = max(i, int(np.searchsorted(channel.times, end, side="left")))
    times = np.concatenate(([start], channel.times[i:j], [end]))
    values = np.concatenate(([channel(start)], channel.values[i:j], [before(channel, end)]))
    return times, values


def first_crossing(channel: Channel, level: float, direction: int, start: float, end: float) -> float | None:
    """First time [s] in ``start..end`` at which the channel passes ``level`` upwards (+1) or downwards (-1).

    A level that already holds at ``start`` is not a crossing.

    Examples
    --------
    >>> ramp = Channel("tank.pressure", np.array([0.0, 1.0]), np.array([0.0, 8e5]), "pressure", "")
    >>> first_crossing(ramp, 2e5, +1, 0.0, 1.0)
    0.25
    """
    times, values = window(channel, start, end)
    height = direction * (values - level)
    passed = np.flatnonzero((height[:-1] < 0.0) & (height[1:] >= 0.0))
    if len(passed) == 0:
        return None
    k = int(passed[0])
    share = height[k] / (height[k] - height[k + 1])
    return float(times[k] + share * (times[k + 1] - times[k]))


def highest(channel: Channel, start: float, end: float) -> float:
    """Largest value in the window."""
    return float(window(channel, start, end)[1].max())


def lowest(channel: Channel, start: float, end: float) -> float:
    """Smallest value in the window."""
    return float(window(channel, start, end)[1].min())
