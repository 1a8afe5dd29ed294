"""What the circuit does at some values of the unknowns, as the file would have measured it, and its derivatives."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from pneusim.errors import PneusimError
from pneusim.results.run import Channel
from pneusim.simulate.session import Session
from pneusim.studies.fit.problem import OFFSET, Fit

Floats = npt.NDArray[np.float64]

FINE = 0.02
"""Share of the usual error of interpolation between samples: a pressure is then known to 1 Pa between them."""

CLOCK_STEP = 1e-4
"""Step of the offset, as a share of the run: no other run is needed for it, so it may be short."""


def forward_step(rtol: float) -> float:
    """Step of one-sided differences, as a share of the bounds.

    A run is known to about ``rtol``, so a difference over a step h errs by rtol/h, and by h for the bend of the
    curve: together least at the square root (Press et al., Numerical Recipes, section 5.7, from memory).
    """
    return float(rtol**0.5)


def central_step(rtol: float) -> float:
    """Step of two-sided differences, which err by h squared for the bend: the cube root, by the same reasoning."""
    return float(rtol ** (1.0 / 3.0))


class Model:
    """Runs a fit's circuit; the last run is remembered.

    Parameters
    ----------
    fit : Fit
    scales : sequence of float
        What the residuals of each trace are divided by [SI].
    """

    def __init__(self, fit: Fit, scales: Sequence[float]) -> None:
        self.fit, self.scales = fit, tuple(scales)
        self.runs = 0
        self._names = frozenset(trace.channel for trace in fit.traces)
        self._known: dict[tuple[float, ...], dict[str, Channel]] = {}

    def traces(self, shares: Floats) -> list[Floats]:
        """What the channels show when the file's rows were taken [SI].

        Raises
        ------
        UsageError, RunFailed
            If the values do not go together, or their run does not work.
        """
        channels = self._channels(shares)
        return self._shown(channels, self.fit.offset_at(shares))

    def residuals(self, shares: Floats) -> Floats:
        """Measured less computed, each in its scale; infinite where the run does not work."""
        try:
            return self.scaled(self.traces(shares))
        except PneusimError:
            return np.full(self.fit.size, np.inf)

    def scaled(self, shown: Sequence[Floats]) -> Floats:
        """Measured less computed, each in its scale."""
        parts = [(t.values - found) / scale for t, found, scale in zip(self.fit.traces, shown, self.scales)]
        return np.concatenate(parts)

    def jacobian(self, shares: Floats, central: bool = False) -> Floats:
        """Derivatives of the residuals by the shares, shape (values, unknowns).

        Raises
        ------
        UsageError, RunFailed
            If the runs beside this one do not work.
        """
        here = np.asarray(shares, float)
        step = central_step(self.fit.rtol) if central else forward_step(self.fit.rtol)
        columns = []
        channels = self._channels(here)
        base = self.scaled(self._shown(channels, self.fit.offset_at(here)))
        for k, unknown in enumerate(self.fit.unknowns):
            if unknown.name == OFFSET:
                columns.append(self._by_offset(channels, here) * unknown.slope(here[k]))
                continue
            first, second = [*self._beside(here, k, step, central), (here[k], base)][:2]
            columns.append((first[1] - second[1]) / (first[0] - second[0]))
        return np.column_stack(columns)

    def _beside(self, here: Floats, k: int, step: float, central: bool) -> list[tuple[float, Floats]]:
        """Share and residuals a step away, on both sides or on one: where there is a bound, or no run, on the other."""
        found: list[tuple[float, Floats]] = []
        failure: PneusimError | None = None
        for share in (here[k] + step, here[k] - step):
            if not 0.0 <= share <= 1.0 or (found and not central):
                continue
            moved = here.copy()
            moved[k] = share
            try:
                found.append((share, self.scaled(self.traces(moved))))
            except PneusimError as error:
                failure = error
        if not found and failure is not None:
            raise failure
        return found

    def _by_offset(self, channels: dict[str, Channel], here: Floats) -> Floats:
        """Derivative of the residuals by the offset [1/s]."""
        offset = self.fit.offset_at(here)
        step = CLOCK_STEP * self.fit.scenario.lasts
        later, earlier = (self.scaled(self._shown(channels, offset + way * step)) for way in (1.0, -1.0))
        slope: Floats = (later - earlier) / (2.0 * step)
        return slope

    def _shown(self, channels: dict[str, Channel], offset: float) -> list[Floats]:
        found = ((trace.times - offset, channels[trace.channel]) for trace in self.fit.traces)
        return [np.interp(times, channel.times, channel.values) for times, channel in found]

    def _channels(self, shares: Floats) -> dict[str, Channel]:
        key = tuple(float(share) for u, share in zip(self.fit.unknowns, shares) if u.name != OFFSET)
        if key not in self._known:
            self._known = {key: self._run(shares)}
        return self._known[key]

    def _run(self, shares: Floats) -> dict[str, Channel]:
        self.runs += 1
        circuit, scenario = self.fit.with_changes(self.fit.changes(shares))
        scenario = replace(scenario, measures=(), expectations=())
        with closing(Session(circuit, scenario, "rodas4", self.fit.rtol, keep=self._names.__contains__)) as session:
            finer = [FINE if name in self._names else 1.0 for name in session.compiled.channels]
            session.sampler.refine(np.array(finer))
            session.schedule()
            session.advance(scenario.lasts)
            return dict(session.computed().channels)
