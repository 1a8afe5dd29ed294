"""A run that is told whatever becomes of it."""

from __future__ import annotations

from collections.abc import Callable

from pneusim import simulate
from pneusim.circuit.circuit import Circuit
from pneusim.errors import RunFailed
from pneusim.results import Run, finish
from pneusim.results.run import failed
from pneusim.simulate.runner import varied


def finished(
    circuit: Circuit,
    name: str,
    *,
    variant: str | None = None,
    engine: str = "rodas4",
    error_bar: bool = False,
    band: bool = False,
    progress: Callable[[float], None] | None = None,
) -> Run:
    """Run a scenario of a circuit; of a run that fails what there is, measured and told.

    Parameters are those of `pneusim.simulate.run`.

    Raises
    ------
    UsageError
    """
    try:
        return simulate.run(
            circuit, name, variant=variant, engine=engine, error_bar=error_bar, band=band, progress=progress
        )
    except RunFailed as failure:
        partial = failure.partial
        if not isinstance(partial, Run):
            partial = failed(varied(circuit, variant), circuit.scenarios[name], str(failure), engine, variant)
        return finish(partial)
