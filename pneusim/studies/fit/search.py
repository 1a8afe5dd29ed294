"""The search from several starts, each a case of a study: in parallel, stored as it finishes."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pneusim.errors import RunFailed
from pneusim.studies.case import Case, canonical
from pneusim.studies.executor import Executor
from pneusim.studies.fit.model import Model
from pneusim.studies.fit.problem import Fit
from pneusim.studies.outcome import OK, Outcome
from pneusim.studies.store import Store
from pneusim.studies.study import Progress, work

Floats = npt.NDArray[np.float64]

ENOUGH = 1e-6
"""The search ends when a step changes the sum of squares, or the shares, by less than this part."""

MOST_STEPS = 60
FIRST_SCALE = 0.01
"""Scale of a column whose noise is not given, before its residuals are known: a share of its range."""


@dataclass(frozen=True)
class Ended:
    """Where a search ended.

    Attributes
    ----------
    start, shares : ndarray, shape (n,)
    cost : float
        Half the sum of the squared residuals in their scales.
    runs : int
        Runs of the circuit.
    converged : bool
    failure : str
        Why it came to nothing, "" if it did not.
    """

    start: Floats
    shares: Floats
    cost: float
    runs: int
    converged: bool
    failure: str = ""


@dataclass(frozen=True)
class Searching:
    """The judge of a fit's cases: searches from the start that the case asks for."""

    fit: Fit
    scales: tuple[float, ...]

    def __call__(self, case: Case) -> Outcome:
        """Search by the trust-region reflective method for least squares within bounds (Branch, Coleman and Li 1999).

        A run that fails on the way makes the step shorter.
        """
        from scipy.optimize import least_squares

        model = Model(self.fit, self.scales)
        start = np.array(json.loads(case.asks)["start"])
        model.traces(start)  # a start that does not run tells why
        found = least_squares(
            model.residuals, start, model.jacobian, (0.0, 1.0), "trf", ENOUGH, ENOUGH, ENOUGH, max_nfev=MOST_STEPS
        )
        shares = [float(share) for share in found.x]
        extra = {"shares": shares, "cost": float(found.cost), "runs": model.runs, "converged": bool(found.status > 0)}
        return Outcome(extra=extra)


def starts(fit: Fit) -> list[Floats]:
    """Where the searches begin: the starts given, then points of a Latin hypercube."""
    from scipy.stats import qmc

    given = np.array([unknown.share(unknown.start) for unknown in fit.unknowns])
    others = qmc.LatinHypercube(len(given), seed=fit.seed).random(fit.starts - 1) if fit.starts > 1 else []
    return [given, *(np.asarray(point) for point in others)]


def first_scales(fit: Fit) -> tuple[float, ...]:
    """Scales of the residuals before any are known: the noise given, else a share of the column's range."""
    return tuple(trace.noise or FIRST_SCALE * (float(np.ptp(trace.values)) or 1.0) for trace in fit.traces)


def scales_of(fit: Fit, shares: Floats, earlier: Sequence[float]) -> tuple[float, ...]:
    """Scales after a search: the noise given, else the root mean square of the column's residuals."""
    shown = Model(fit, earlier).traces(shares)
    spreads = [float(np.sqrt(np.mean((t.values - found) ** 2))) for t, found in zip(fit.traces, shown)]
    least = [1e-9 * scale for scale in earlier]  # data that the circuit follows exactly
    return tuple(t.noise or max(spread, low) for t, spread, low in zip(fit.traces, spreads, least))


def search(
    fit: Fit,
    scales: tuple[float, ...],
    points: Sequence[Floats],
    executor: Executor,
    store: Store | None,
    progress: Callable[[Progress], None] | None,
) -> list[Ended]:
    """Search from all points, the best end first.

    Raises
    ------
    RunFailed
        If every search failed; it says why the first one did.
    """
    data = fit.digest()
    cases = [
        Case(str(k), fit.circuit, fit.scenario, fit.rtol,
             canonical({"fit": data, "scales": scales, "start": point}))
        for k, point in enumerate(points, 1)
    ]  # fmt: skip
    outcomes = work(cases, Searching(fit, scales), executor=executor, store=store, progress=progress)
    ends = [_ended(point, outcome) for point, outcome in zip(points, outcomes)]
    if all(end.failure for end in ends):
        raise RunFailed(f"no search came to an end: {ends[0].failure}")
    return sorted(ends, key=lambda end: end.cost)


def _ended(start: Floats, outcome: Outcome) -> Ended:
    if outcome.status != OK:
        return Ended(start, start, float("inf"), 0, False, outcome.message)
    extra = outcome.extra
    return Ended(start, np.array(extra["shares"]), extra["cost"], extra["runs"], extra["converged"])
