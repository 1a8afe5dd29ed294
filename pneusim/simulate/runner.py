"""Runs a scenario: compile, settle, play, sample, close the balances, and hand over to the results."""

from __future__ import annotations

import time as clock
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

import numpy as np

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.scenario import Scenario
from pneusim.engine import settle
from pneusim.engine.assembly import EventSpec
from pneusim.engine.machine import Machine
from pneusim.engine.methods import RTOL, Radau, Rosenbrock
from pneusim.engine.sampling import Sampler
from pneusim.engine.segments import Loop
from pneusim.errors import RunFailed, UsageError
from pneusim.parts.catalogue import entry
from pneusim.quantities import express
from pneusim.reading import apply_changes
from pneusim.results import finish
from pneusim.results.run import Channel, Closure, Event, Run, SolverReport
from pneusim.simulate.actions import Player
from pneusim.simulate.compiled import Compiled, compile_circuit

MASS_LIMIT = 1e-12
ENERGY_LIMIT = 1e-10
# Largest error of linear interpolation between samples, by dimension [SI].
INTERPOLATION = {"pressure": 50.0, "force": 20.0, "length": 1e-4, "temperature": 0.5, "fraction": 0.05}
# Where the laws were checked: lines for 1 to 11 bar absolute, air as an ideal gas near ambient temperature; a chamber
# that its spring empties may fall to 0.7 bar [SI, absolute].
CHECKED_PRESSURES = (70e3, 1.1e6)
CHECKED_TEMPERATURES = (200.0, 450.0)
SHARPEST = 1e-10
Result = TypeVar("Result")
METHODS: Mapping[str, Callable[[Machine, float], Any]] = {"rodas4": Rosenbrock, "radau": Radau}


def run(
    circuit: Circuit,
    scenario: str | Scenario,
    *,
    variant: str | None = None,
    engine: str = "rodas4",
    rtol: float = RTOL,
    error_bar: bool = False,
    progress: Callable[[float], None] | None = None,
) -> Run:
    """Run one scenario of a circuit.

    Parameters
    ----------
    circuit : Circuit
    scenario : str or Scenario
        Name of a scenario of the circuit, or one made in Python.
    variant : str, optional
        Name of a variant of the circuit.
    engine : {"rodas4", "radau"}
        ``radau`` is scipy's method on the same equations: slow, for checking.
    rtol : float
        Relative tolerance, 1e-10 to 1e-2.
    error_bar : bool
        Run again at half the tolerance and give every measure its numerical error.
    progress : callable, optional
        Told the share of the scenario done, 0..1.

    Returns
    -------
    Run

    Raises
    ------
    UsageError
        For an unknown scenario, variant or engine, or a tolerance out of range.
    RunFailed
        If the run did not settle or converge, or does not conserve mass or energy; ``partial`` holds what there is.
    """
    chosen = _scenario(circuit, scenario)
    if engine not in METHODS:
        raise UsageError(f"engine {engine!r} is unknown (allowed: {', '.join(METHODS)})")
    if not SHARPEST <= rtol <= 1e-2:
        raise UsageError(f"tolerance {rtol:g} is out of range (allowed: 1e-10 to 1e-2)")
    varied = _varied(circuit, variant)
    result = _Runner(varied, chosen, engine, rtol, progress, variant).run()
    return _with_error_bar(result, engine, 0.5 * rtol) if error_bar else result


def _with_error_bar(result: Run, engine: str, rtol: float) -> Run:
    """Run again at another tolerance; if that fails, the result stays and says so."""
    if rtol < SHARPEST:
        raise UsageError(f"an error bar needs a tolerance of at least {2.0 * SHARPEST:g}")
    try:
        finer = _Runner(result.circuit, result.scenario, engine, rtol, None, result.variant).run()
    except RunFailed as failure:
        return replace(result, message=f"{result.message} There is no error bar: {failure}")
    return with_errors(result, finer)


def _scenario(circuit: Circuit, scenario: str | Scenario) -> Scenario:
    if isinstance(scenario, Scenario):
        return scenario
    if scenario not in circuit.scenarios:
        known = ", ".join(circuit.scenarios) or "none"
        raise UsageError(f"scenario {scenario!r} is not in {circuit.source or circuit.title} (there are: {known})")
    return circuit.scenarios[scenario]


def _varied(circuit: Circuit, variant: str | None) -> Circuit:
    if variant is None:
        return circuit
    if variant not in circuit.variants:
        known = ", ".join(circuit.variants) or "none"
        raise UsageError(f"variant {variant!r} is not in {circuit.source or circuit.title} (there are: {known})")
    return apply_changes(circuit, circuit.variants[variant])


def with_errors(result: Run, finer: Run) -> Run:
    """Give every measure the difference that the finer run makes."""
    finer_values = {measure.name: measure.value for measure in finer.measures}
    measures = []
    for measure in result.measures:
        other = finer_values.get(measure.name)
        error = None if measure.value is None or other is None else abs(measure.value - other)
        measures.append(replace(measure, error=error))
    return replace(result, measures=tuple(measures))


class _Runner:
    """One run, phase by phase."""

    def __init__(
        self, circuit: Circuit, scenario: Scenario, engine: str, rtol: float,
        progress: Callable[[float], None] | None, variant: str | None,
    ) -> None:  # fmt: skip
        self.circuit, self.scenario, self.engine, self.variant = circuit, scenario, engine, variant
        self.rtol, self.progress = rtol, progress
        self.phases: dict[str, float] = {}
        self.events: list[Event] = []
        self._wall, self._cpu = clock.perf_counter(), clock.process_time()

    def run(self) -> Run:
        """Run all phases; a failure carries what has been computed."""
        self.compiled = self._phase("compile", lambda: compile_circuit(self.circuit, self.scenario))
        self.machine = self._phase("lay_out", lambda: Machine.of(self.compiled.assembly))
        if self.machine.total("mass") <= 0.0:
            raise UsageError("nothing in the circuit holds air: add a reservoir, a chamber or a line")
        settling = Rosenbrock(self.machine, settle.RTOL)
        self._phase("settle", lambda: settle.settle(self.machine, self.compiled.assembly, settling, self._happened))
        self.smallest_time_constant = smallest_time_constant(self.machine)
        self.start = {kind: self.machine.total(kind) for kind in ("mass", "energy")}
        self.method = METHODS[self.engine](self.machine, self.rtol)
        self._prepare()
        try:
            self._phase("integrate", lambda: self.loop.run(self.scenario.lasts))
        except RunFailed as failure:
            raise RunFailed(str(failure), self._partial(str(failure))) from None
        self.sampler.now()
        result = self._result("ok", "The run reached its end, converged and conserves mass and energy.")
        if self.engine != "radau":
            self._check(result)
        return self._phase("measure", lambda: finish(result))

    def _phase(self, name: str, work: Callable[[], Result]) -> Result:
        begin = clock.perf_counter()
        try:
            return work()
        finally:
            self.phases[name] = clock.perf_counter() - begin

    def _prepare(self) -> None:
        machine, channels = self.machine, self.compiled.channels
        places = np.array([machine.place(c.value) for c in channels.values()], np.int64)
        tolerance = np.array([INTERPOLATION.get(c.dimension, np.inf) for c in channels.values()])
        self.sampler = Sampler(machine, places, tolerance)
        told = None
        if self.progress:
            report, lasts = self.progress, self.scenario.lasts
            told = lambda t: report(min(t / lasts, 1.0))  # noqa: E731
        self.loop = Loop(machine, self.method, self.sampler.take, self._happened, told)
        Player(self.compiled, machine, self.loop, self.events.append).schedule()
        self.sampler.now()  # what happens at 0 s has a limit from the left too

    def _happened(self, event: EventSpec) -> None:
        component, name = event.key
        if name == "when":
            return
        spec = next(spec for spec in self.compiled.parts[component].events if spec.name == name)
        title = self.circuit.title_of(self.circuit.components[component])
        text = spec.sentence.format(title=title, level=express(event.level, "pressure"))
        during = getattr(self, "loop", None)  # what changes while settling stands at the start
        self.events.append(Event(self.machine.time if during else 0.0, name, component, text, spec.category))

    def _check(self, result: Run) -> None:
        """Fail a run that does not conserve."""
        for kind, error, limit in (
            ("mass", result.closure.mass, MASS_LIMIT),
            ("energy", result.closure.energy, ENERGY_LIMIT),
        ):
            if not error < limit:
                message = (
                    f"The run does not conserve {kind}: its sum drifted by {error:.1e} of itself (allowed "
                    f"{limit:.0e}). This is a fault of the program; please report the circuit."
                )
                raise RunFailed(message, self._partial(message))

    def _partial(self, message: str) -> Run:
        return self._result("failed", message)

    def _result(self, status: str, message: str) -> Run:
        times, values = self.sampler.samples()
        channels = {
            name: Channel(name, times, np.ascontiguousarray(values[:, k]), c.dimension, c.label)
            for k, (name, c) in enumerate(self.compiled.channels.items())
        }
        closure = Closure(
            *[abs(self.machine.total(kind) - self.start[kind]) / self.start[kind] for kind in ("mass", "energy")]
        )
        solver = SolverReport(
            self.engine, len(self.machine.state), self.method.accepted, self.method.rejected, self.loop.segments,
            self.smallest_time_constant, self.phases, clock.perf_counter() - self._wall,
            clock.process_time() - self._cpu,
        )  # fmt: skip
        return Run(
            self.circuit, self.scenario, channels, tuple(self.events), closure, solver, status, message,
            sources=sources_of(self.compiled), variant=self.variant,
            extrapolated=extrapolated(channels, self.circuit.ambient.pressure),
        )  # fmt: skip


def extrapolated(channels: Mapping[str, Channel], ambient: float) -> tuple[str, ...]:
    """Where the run left the range in which its laws were checked, one sentence a channel."""
    pressures = (CHECKED_PRESSURES[0] - ambient, CHECKED_PRESSURES[1] - ambient)
    told = []
    for dimension, (low, high) in {"pressure": pressures, "temperature": CHECKED_TEMPERATURES}.items():
        for name, channel in channels.items():
            if channel.dimension == dimension and len(channel.values):
                least, most = float(channel.values.min()), float(channel.values.max())
                if least < low or most > high:
                    span = f"{express(least, dimension)} to {express(most, dimension)}"
                    allowed = f"{express(low, dimension)} to {express(high, dimension)}"
                    told.append(f"{name} ran over {span}; the laws were checked for {allowed}")
    return tuple(told)


def smallest_time_constant(machine: Machine) -> float:
    """Smallest time constant at the start [s], from the largest diagonal entry of the Jacobian."""
    program = machine.program
    dy, jv = np.zeros_like(machine.state), np.zeros(program.symbolic.nnz + len(machine.state))
    machine.kernel.jacobian(
        machine.time, machine.state, dy, jv, program.integers, machine.floats, machine.values, machine.gradients
    )
    return float(1.0 / np.max(np.abs(jv[program.symbolic.diag])))


def sources_of(compiled: Compiled) -> tuple[str, ...]:
    """Where the default values in use come from: one sentence per source word."""
    keys: dict[str, set[str]] = {}
    for name, part in compiled.parts.items():
        given = compiled.circuit.components[name].parameters
        for parameter in type(part).model_fields:
            key = part.catalogue_key(parameter)
            if parameter not in given and key is not None:
                keys.setdefault(entry(key).source, set()).add(key)
    return tuple(f"{source}: defaults {', '.join(sorted(found))}" for source, found in sorted(keys.items()))
