"""Fewer samples of a run: as many as a page can draw, no extreme lost and no event blurred."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pneusim.results.run import Run

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

FINEST = 1e-3
"""Samples nearer to each other than this are thinned [s]."""

BINS = 20_000
"""So many bins at most divide a run."""

MOST_ROLLING = 6_000
"""Most samples of a run on a road: its control units and wheels never rest, bins become wider until it holds."""

WIDEST = 0.02
"""No bin of such a run is wider [s]."""


@dataclass(frozen=True)
class Samples:
    """Thinned samples.

    Attributes
    ----------
    times : ndarray, shape (n,)
        [s]; at an event a time stands twice, with the limits from both sides.
    values : mapping of str to ndarray, shape (n,)
        By channel, SI.
    width : float
        Width of a bin [s].
    found : int
        Number of samples of the run.
    """

    times: Floats
    values: Mapping[str, Floats]
    width: float
    found: int


def thin(run: Run, names: Iterable[str]) -> Samples:
    """Samples of some channels of a run.

    A bin of time with more than two samples keeps the lowest and the highest of every channel, in their order, at its
    first and last time.  No bin goes across a time that stands twice; the samples on both sides of one, and of a gap
    that is wider than a bin, are kept as they are.

    Examples
    --------
    >>> from pneusim.circuit.circuit import Circuit
    >>> from pneusim.circuit.scenario import Scenario
    >>> from pneusim.results.run import Channel, failed
    >>> from dataclasses import replace
    >>> times = np.array([0.0, 1e-4, 3e-4, 5e-4, 9e-4, 1.0])
    >>> spike = Channel("a.pressure", times, np.array([0.0, 0.0, 9.0, 2.0, 1.0, 1.0]), "pressure", "a")
    >>> run = replace(failed(Circuit("", {}, {}), Scenario(""), "", ""), channels={"a.pressure": spike})
    >>> samples = thin(run, ["a.pressure"])
    >>> samples.times.tolist(), samples.values["a.pressure"].tolist()
    ([0.0, 0.0001, 0.0005, 0.0009, 1.0], [0.0, 0.0, 9.0, 1.0, 1.0])
    """
    chosen = {name: run.channels[name].values for name in names}
    times = next(iter(run.channels.values())).times
    width = max(FINEST, float(times[-1] - times[0]) / BINS)
    starts, sizes, kept = _bins(times, width)
    while run.scenario.road is not None and len(kept) > MOST_ROLLING and 2.0 * width <= WIDEST:
        width *= 2.0
        starts, sizes, kept = _bins(times, width)
    full = _Full.of(starts, sizes, kept)
    values = {name: full.extremes_in(whole, whole[kept]) for name, whole in chosen.items()}
    return Samples(times[kept], values, width, len(times))


def _bins(times: Floats, width: float) -> tuple[Ints, Ints, Ints]:
    """Index of the first sample of every bin, numbers of samples in them, and the samples that are kept."""
    starts = _starts(times, width)
    sizes = np.diff(starts, append=len(times))
    return starts, sizes, np.sort(np.concatenate([starts, (starts + sizes - 1)[sizes > 1]]))


def _starts(times: Floats, width: float) -> Ints:
    """Index of the first sample of every bin; the samples at both ends and beside an event or a gap are bins alone."""
    gaps = np.diff(times)
    before = np.flatnonzero((gaps == 0.0) | (gaps > width))
    alone = np.unique(np.concatenate([[0, len(times) - 1], before, before + 1]))
    bins = np.floor((times - times[0]) / width)
    begins = np.flatnonzero(np.diff(bins) != 0.0) + 1
    starts = np.unique(np.concatenate([begins, alone, alone + 1])).astype(np.int64)
    return starts[starts < len(times)]


@dataclass(frozen=True)
class _Full:
    """The bins with more than two samples: the samples in them, and the place of each one's first among the kept."""

    inside: Ints
    starts: Ints
    sizes: Ints
    places: Ints

    @classmethod
    def of(cls, starts: Ints, sizes: Ints, kept: Ints) -> _Full:
        """Those among all bins."""
        full = sizes > 2
        inside = np.flatnonzero(np.repeat(full, sizes))
        own = sizes[full]
        return cls(inside, np.cumsum(own) - own, own, np.searchsorted(kept, starts[full]))

    def extremes_in(self, values: Floats, kept: Floats) -> Floats:
        """The values kept, those of full bins replaced by the extremes in their order."""
        if not len(self.sizes):
            return kept
        own = values[self.inside]
        low, high = np.minimum.reduceat(own, self.starts), np.maximum.reduceat(own, self.starts)
        rises = self._first(own, low) <= self._first(own, high)
        kept[self.places] = np.where(rises, low, high)
        kept[self.places + 1] = np.where(rises, high, low)
        return kept

    def _first(self, own: Floats, wanted: Floats) -> Ints:
        """Index of the first sample of every bin that has the wanted value."""
        found = np.flatnonzero(own == np.repeat(wanted, self.sizes))
        first: Ints = found[np.searchsorted(found, self.starts)]
        return first
