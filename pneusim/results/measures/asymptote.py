"""The asymptotic value of a channel: what is held before release, or the end value if it has settled."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pneusim.quantities import express
from pneusim.results.measures.applications import Application
from pneusim.results.measures.crossing import before, highest
from pneusim.results.run import Channel

PRESSURE_DRIFT = 1e3
"""Largest drift of a settled pressure [Pa/s]."""

RELATIVE_DRIFT = 1e-3
"""The same for any other quantity, as a share of its largest magnitude per second [1/s]."""

DRIFT_WINDOW = 0.5
"""Time over which the drift is taken [s]."""

SETTLES = 2.0
"""Time after the control's last movement from which on what is held must not be lost [s]."""

LOST = 0.1
"""Share of the highest value since then by which it must not have fallen to count as held ..."""

LONG = 5.0
"""... if that is more than the drift allowed makes in this time [s]."""


@dataclass(frozen=True)
class Asymptote:
    """The value, or None; ``remark`` says why there is none, or that it was still changing when released."""

    value: float | None
    remark: str = ""


def asymptote(channel: Channel, start: float, application: Application | None) -> Asymptote:
    """Asymptotic value of what follows ``start`` [s], where ``application`` is the one that it belongs to."""
    release = None if application is None or application.release is None else application.release
    released = release is not None and release > start
    end = release if release is not None and released else float(channel.times[-1])
    value, change = drift(channel, start, end)
    top = _highest_held(channel, start, end, application)
    if top is not None and top - value > max(LOST * top, LONG * _limit(channel)):
        fall = f"{express(top, channel.dimension, 'si')} to {express(value, channel.dimension, 'si')}"
        return Asymptote(None, f"it fell from {fall} while the control was held")
    if change <= _limit(channel):
        return Asymptote(value)
    if released:
        return Asymptote(value, f"still changing by {_rate(channel, change)} when released")
    return Asymptote(None, f"still changing by {_rate(channel, change)} at the end of the run: let it last longer")


def _highest_held(channel: Channel, start: float, end: float, application: Application | None) -> float | None:
    """Highest value since the control was set and the channel had time to follow; None without that."""
    if application is None or (since := max(start, application.holds) + SETTLES) >= end:
        return None
    return highest(channel, since, end)


def drift(channel: Channel, start: float, end: float) -> tuple[float, float]:
    """Value at the end of a time [s], and by how much it changes per second there."""
    span = min(DRIFT_WINDOW, 0.5 * (end - start))
    value = before(channel, end)
    return value, abs(value - channel(end - span)) / span if span > 0.0 else 0.0


def _limit(channel: Channel) -> float:
    if channel.dimension == "pressure":
        return PRESSURE_DRIFT
    return RELATIVE_DRIFT * float(np.abs(channel.values).max(initial=0.0))


def _rate(channel: Channel, drift: float) -> str:
    return f"{express(drift, channel.dimension, 'si')} per second"
