"""Which flows a figure shows: those that carry most air while it lasts, each way of air once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from pneusim.results.run import Channel, Run
from pneusim.show.figures.curves import Curve, coloured

MOST = 6
"""So many flows are shown."""

ALIKE = 0.15
"""Flows that differ by less than this share of the air carried are one way of air."""

NOTHING = 1e-4
"""Less air than this is no flow worth a curve [kg], about 0.1 L ANR."""


def of_flows(run: Run, start: float, end: float) -> list[Curve]:
    """The flows that carry most air between two times [s], the largest first.

    Of lines and valves in a row, and of lines that carry the same to several brakes, one stands for all.
    """
    found = [channel for channel in run.channels.values() if channel.dimension in ("mass_flow", "flow")]
    ranked = sorted(((_carried(channel, start, end), channel) for channel in found), key=lambda pair: -pair[0])
    groups: list[list[Channel]] = []
    for carried, channel in ranked:
        if carried < NOTHING:
            break
        near = next((group for group in groups if _apart(group[0], channel, start, end) < ALIKE * carried), None)
        if near is not None:
            near.append(channel)
        elif len(groups) < MOST:
            groups.append([channel])
    return coloured(_curve(run, group) for group in groups)


def _curve(run: Run, group: Sequence[Channel]) -> Curve:
    first = group[0]
    owners = {channel.name.rpartition(".")[0] for channel in group}
    owner, _, quantity = first.name.rpartition(".")
    line = run.circuit.lines.get(owner)
    end = {"flow_in": ", at its start", "flow_out": ", at its end"}.get(quantity, "") if line else ""
    label = f"{run.circuit.title_of(line)}{end}" if line else first.label.replace(": mass flow", ":")
    others = len(owners) - 1
    also = f" ({others} more with the same flow)" if others else ""
    return Curve(f"{label}{also}", first.times, first.values, first.dimension, channels=tuple(c.name for c in group))


def _carried(channel: Channel, start: float, end: float) -> float:
    """Air that passes either way [kg]."""
    return _area(channel.times, np.abs(channel.values), start, end)


def _apart(a: Channel, b: Channel, start: float, end: float) -> float:
    """By how much air two flows differ, whichever way each is counted [kg]."""
    return min(_area(a.times, np.abs(a.values - sign * b.values), start, end) for sign in (1.0, -1.0))


def _area(times: npt.NDArray[np.float64], values: npt.NDArray[np.float64], start: float, end: float) -> float:
    within = (times >= start) & (times <= end)
    t, v = times[within], values[within]
    return float(0.5 * np.sum((v[1:] + v[:-1]) * np.diff(t)))
