"""Where two runs are furthest apart, channel by channel."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from pneusim.results.run import Run


@dataclass(frozen=True)
class ChannelDifference:
    """The largest difference of a channel: when [s, on the clock of A], and both values then [SI]."""

    name: str
    label: str
    dimension: str
    time: float
    a: float
    b: float

    @property
    def difference(self) -> float:
        """B less A [SI]."""
        return self.b - self.a


def channel_differences(a: Run, b: Run) -> tuple[ChannelDifference, ...]:
    """The largest difference of every channel that both runs have, over the time that both last.

    ``b`` is on the clock of ``a`` already.
    """
    common = [name for name in a.channels if name in b.channels]
    start, end = max(a.span[0], b.span[0]), min(a.span[1], b.span[1])
    if not common or start > end:
        return ()
    times = np.union1d(a.channels[common[0]].times, b.channels[common[0]].times)
    times = times[(times >= start) & (times <= end)]
    found = []
    for name in common:
        ours, theirs = a.channels[name], b.channels[name]
        if ours.dimension == theirs.dimension:
            first, second = (np.interp(times, one.times, one.values) for one in (ours, theirs))
            k = int(np.argmax(np.nan_to_num(np.abs(second - first))))
            found.append(
                ChannelDifference(
                    name, ours.label, ours.dimension, float(times[k]), float(first[k]), float(second[k])
                )
            )
    return tuple(found)


def furthest(differences: Iterable[ChannelDifference], dimension: str) -> list[ChannelDifference]:
    """Those of a dimension, the largest first."""
    found = [one for one in differences if one.dimension == dimension]
    return sorted(found, key=lambda one: (-abs(one.difference), one.name))
