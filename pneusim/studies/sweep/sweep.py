"""Carries out a study: the circuit without changes first, then all cases, then the search for worst cases."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

from pneusim.studies.case import Case
from pneusim.studies.executor import Executor, executor_for
from pneusim.studies.outcome import Outcome
from pneusim.studies.store import Store
from pneusim.studies.study import Progress, run_case, work
from pneusim.studies.sweep.file import load_study
from pneusim.studies.sweep.lean import Measuring, wanted_of
from pneusim.studies.sweep.plans import INDICES, salib
from pneusim.studies.sweep.report import write
from pneusim.studies.sweep.result import Sweep
from pneusim.studies.sweep.study import Study
from pneusim.studies.sweep.worst import worst_cases

Told = Callable[[Progress], None]


def sweep(
    study: Study | str | Path,
    *,
    on: str = "threads",
    threads: int | None = None,
    folder: str | Path | None = None,
    progress: Told | None = None,
) -> Sweep:
    """Carry out a study.

    Parameters
    ----------
    study : Study or path of a study file
    on : str
        ``threads`` of this machine, ``serial``, ``dask`` (the scheduler of Dask's configuration) or ``tcp://...``.
        Results are the same to the bit.
    threads : int, optional
        Number of threads; that of the processors by default.
    folder : path, optional
        The table goes there, and every case below ``cases`` as it finishes: the same call continues what was
        interrupted.
    progress : callable, optional
        Told after every case.

    Returns
    -------
    Sweep

    Raises
    ------
    InvalidFile
        If the study or its circuit has faults.
    UsageError
        For a measure that no run knows, a cluster that does not answer, or a folder that cannot be written.
    RunFailed
        If the circuit does not run without any change.
    """
    chosen = study if isinstance(study, Study) else load_study(study)
    if chosen.plan.kind == INDICES:
        salib("analyze.sobol")  # told before anything runs
    executor = executor_for(on, threads)
    store = None if folder is None else Store(Path(folder) / "cases")
    result = _carried_out(chosen, executor, store, progress)
    if folder is not None:
        write(result, Path(folder))
    return result


def _carried_out(study: Study, executor: Executor, store: Store | None, progress: Told | None) -> Sweep:
    run = run_case(study.nominal())
    judge = Measuring(wanted_of(run, study.measures))

    def compute(cases: Iterable[Case | Outcome]) -> list[Outcome]:
        return work(cases, judge, executor=executor, store=store, progress=progress)

    nominal = Outcome.of(run)
    measures = {name: nominal.measures.get(name) for name in study.measures}
    dimensions = {measure.name: measure.dimension for measure in run.measures if measure.name in study.measures}
    dimensions |= {name: "time" for name in study.measures if name not in dimensions}
    result = Sweep(
        study, Outcome(name="nominal", measures=measures), tuple(compute(study.cases())), dimensions
    )
    return replace(result, worst=worst_cases(study, study.worst, compute)) if study.worst else result
