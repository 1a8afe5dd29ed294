"""The asymptotic value of a channel: what is held before release, or the end value if it has settled."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pneusim.quantities import express
from pneusim.results.measures.applications import Application
from pneusim.results.measures.crossing import before
from pneusim.results.run import Channel

PRESSURE_DRIFT = 1e3
"""Largest drift of a settled pressure [Pa/s]."""

RELATIVE_DRIFT = 1e-3
"""The same for any other quantity, as a share of its largest magnitude per second [1/s]."""

DRIFT_WINDOW = 0.5
"""Time over which the drift is taken [s]."""


@dataclass(frozen=True)
class Asymptote:
    """The value, or None; ``remark`` says why there is none, or that it was still changing when released."""

    value: float | None
    remark: str = ""


def asymptote(channel: Channel, start: float, application: Application | None) -> Asymptote:
    """Asymptotic value of what follows ``start`` [s], where ``application`` is the one that it belongs to."""
    if application is not None and application.release is not None and application.release > start:
        value, drift = _drift(channel, start, application.release)
        settled = drift <= _limit(channel)
        return Asymptote(value, "" if settled else f"still changing by {_rate(channel, drift)} when released")
    value, drift = _drift(channel, start, float(channel.times[-1]))
    if drift <= _limit(channel):
        return Asymptote(value)
    return Asymptote(None, f"still changing by {_rate(channel, drift)} at the end of the run: let it last longer")


def _drift(channel: Channel, start: float, end: float) -> tuple[float, float]:
    span = min(DRIFT_WINDOW, 0.5 * (end - start))
    value = before(channel, end)
    return value, abs(value - channel(end - span)) / span if span > 0.0 else 0.0


def _limit(channel: Channel) -> float:
    if channel.dimension == "pressure":
        return PRESSURE_DRIFT
    return RELATIVE_DRIFT * float(np.abs(channel.values).max(initial=0.0))


def _rate(channel: Channel, drift: float) -> str:
    return f"{express(drift, channel.dimension, 'si')} per second"
