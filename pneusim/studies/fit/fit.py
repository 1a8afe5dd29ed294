"""Carries out a fit: searches from all starts, weighs the columns by their residuals, and tells how sure it is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import numpy.typing as npt

from pneusim.errors import PneusimError
from pneusim.studies.executor import executor_for
from pneusim.studies.fit.certainty import certainty
from pneusim.studies.fit.file import load_fit
from pneusim.studies.fit.model import Model, central_step
from pneusim.studies.fit.problem import Fit
from pneusim.studies.fit.report import write
from pneusim.studies.fit.result import Comparison, Fitted
from pneusim.studies.fit.search import Ended, first_scales, scales_of, search, starts
from pneusim.studies.store import Store
from pneusim.studies.study import Progress

Floats = npt.NDArray[np.float64]


def fit(
    study: Fit | str | Path,
    *,
    measured: str | Path | None = None,
    on: str = "threads",
    threads: int | None = None,
    folder: str | Path | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> Fitted:
    """Find the parameters with which a circuit follows measured traces best.

    Parameters
    ----------
    study : Fit or path of a fit file
    measured : path, optional
        A file of measured columns in place of the one that the fit file names.
    on : str
        ``threads`` of this machine, ``serial``, ``dask`` (the scheduler of Dask's configuration) or ``tcp://...``.
        Results are the same to the bit.
    threads : int, optional
        Number of threads; that of the processors by default.
    folder : path, optional
        Summary, residuals and patch go there, and every search below ``cases`` as it finishes: the same call continues
        what was interrupted.
    progress : callable, optional
        Told after every search.

    Returns
    -------
    Fitted

    Raises
    ------
    InvalidFile
        If the fit file, the measured file or the circuit has faults.
    UsageError
        For a cluster that does not answer, or a folder that cannot be written.
    RunFailed
        If no search came to an end.
    """
    chosen = study if isinstance(study, Fit) else load_fit(study, measured)
    executor = executor_for(on, threads)
    store = None if folder is None else Store(Path(folder) / "cases")
    scales = first_scales(chosen)
    ends = search(chosen, scales, starts(chosen), executor, store, progress)
    shares = ends[0].shares
    if len(chosen.traces) > 1 and any(trace.noise is None for trace in chosen.traces):
        scales = scales_of(chosen, shares, scales)
        (weighed,) = search(chosen, scales, [shares], executor, store, None)
        shares, ends[0] = weighed.shares, replace(ends[0], converged=weighed.converged)
    found = _judged(chosen, scales, shares, tuple(ends))
    if folder is not None:
        write(found, Path(folder))
    return found


def _judged(fit: Fit, scales: tuple[float, ...], shares: Floats, ends: tuple[Ended, ...]) -> Fitted:
    model = Model(fit, scales)
    shown = model.traces(shares)
    jacobian = model.jacobian(shares, central=True)
    # Differences over a step h of runs known to rtol err by rtol/h, relative to changes of the order of the trace.
    blur = fit.rtol / central_step(fit.rtol)
    sure = certainty(jacobian, model.scaled(shown), blur)
    pairs = zip(fit.traces, shown, _guessed(model, starts(fit)[0]))
    return Fitted(fit, ends, shares, sure, tuple(Comparison(*pair) for pair in pairs))


def _guessed(model: Model, start: Floats) -> Sequence[Floats | None]:
    """What the starts give; nothing if they do not run."""
    try:
        return model.traces(start)
    except PneusimError:
        return [None] * len(model.fit.traces)
