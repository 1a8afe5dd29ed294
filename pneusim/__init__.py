"""pneusim: computes what a heavy vehicle's air-brake circuit does.

>>> import pneusim as ps
>>> circuit = ps.load("circuits/tractor-semitrailer.yaml")   # doctest: +SKIP
>>> run = ps.run(circuit, "trailer_separates")               # doctest: +SKIP
>>> run["trailer.rear_left.spring_pressure"](6.0)            # doctest: +SKIP

Public names are loaded when they are first used, so that ``import pneusim`` costs nothing.
"""

from importlib import import_module as _import_module

_HOMES = {
    "add_parts": "pneusim.parts.registry",
    "load": "pneusim.reading",
    "read": "pneusim.reading",
    "lint": "pneusim.lints.registry",
    "run": "pneusim.simulate",
    "Stepper": "pneusim.simulate",
    "warmup": "pneusim.simulate",
    "judge": "pneusim.rules",
    "Report": "pneusim.rules",
    "compare": "pneusim.studies.compare",
    "sweep": "pneusim.studies.sweep.sweep",
    "fit": "pneusim.studies.fit.fit",
    "plot": "pneusim.show.figures.plots",
    "draw": "pneusim.show.schematic.picture",
    "report": "pneusim.show.paper.report",
    "replay": "pneusim.show.replay.page",
    "handout": "pneusim.show.paper.handout",
    "store": "pneusim.results.store",
    "read_result": "pneusim.results.stored",
    "Circuit": "pneusim.circuit.circuit",
    "Component": "pneusim.circuit.circuit",
    "Line": "pneusim.circuit.circuit",
    "Scenario": "pneusim.circuit.scenario",
    "Step": "pneusim.circuit.scenario",
    "Run": "pneusim.results.run",
    "Channel": "pneusim.results.run",
    "Event": "pneusim.results.run",
    "MeasureResult": "pneusim.results.run",
    "Fault": "pneusim.errors",
    "PneusimError": "pneusim.errors",
    "UsageError": "pneusim.errors",
    "InvalidFile": "pneusim.errors",
    "RunFailed": "pneusim.errors",
    "ExpectationNotMet": "pneusim.errors",
}
"""Where each public name lives."""

__all__ = ["__version__", *sorted(_HOMES)]


def __getattr__(name: str) -> object:
    if name == "__version__":
        from importlib.metadata import version

        return version("pneusim")
    if name not in _HOMES:
        raise AttributeError(f"module 'pneusim' has no attribute {name!r}")
    value = getattr(_import_module(_HOMES[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return __all__
