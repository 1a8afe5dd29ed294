"""One circuit at work: compiled, brought to rest, advanced in time, sampled, its balances closed."""

from __future__ import annotations

import time as clock
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

import numpy as np

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.road_defaults import motion_defaults, surface_sources
from pneusim.circuit.scenario import Scenario, Step
from pneusim.control.protocol import Controller
from pneusim.engine import settle
from pneusim.engine.assembly import EventSpec
from pneusim.engine.machine import Machine
from pneusim.engine.methods import Radau, Rosenbrock
from pneusim.engine.road import descent, heat, kinetic_energy
from pneusim.engine.sampling import Sampler
from pneusim.engine.segments import Loop
from pneusim.engine.tape import Floats
from pneusim.errors import RunFailed, UsageError
from pneusim.parts.catalogue import entry
from pneusim.quantities import express
from pneusim.results import finish
from pneusim.results.run import Channel, Closure, Event, Run, SolverReport
from pneusim.simulate.actions import Player
from pneusim.simulate.compiled import ChannelValue, Compiled, compile_circuit
from pneusim.simulate.controls import wire

SHARPEST, COARSEST = 1e-10, 1e-2  # relative tolerance
MASS_LIMIT = 1e-12
ENERGY_LIMIT = 1e-10
MOTION_LIMIT = 10.0  # of the error in the energy of motion, over the relative tolerance
LEAST_MOTION = 1e3  # energy of motion below which it is not asked for [J]
# Largest error of linear interpolation between samples, by dimension [SI].
INTERPOLATION = {
    "pressure": 50.0, "force": 20.0, "length": 1e-4, "temperature": 0.5, "fraction": 0.05, "speed": 0.02,
}  # fmt: skip
# Sampled control answers each millimetre per second that a wheel is off, so that its runs are a band anyway; they are
# sampled so much more coarsely, and the waves that its modulators send through lines are followed less closely.
UNDER_CONTROL = 10.0
# Where the laws were checked: lines for 1 to 11 bar absolute, air as an ideal gas near ambient temperature; a chamber
# that its spring empties may fall to 0.7 bar [SI, absolute].
CHECKED_PRESSURES = (70e3, 1.1e6)
CHECKED_TEMPERATURES = (200.0, 450.0)
Result = TypeVar("Result")
METHODS: Mapping[str, Callable[..., Any]] = {"rodas4": Rosenbrock, "radau": Radau}


class Session:
    """A circuit under a scenario, at rest at 0 s when made: `advance` as often as wanted, then `result`.

    The scenario's steps are not entered until `schedule`; ``scenario`` may be put anew for what the result tells.
    ``keep`` says of a channel's name whether the result has it; all channels by default.  ``controllers`` take the
    place of those that anti-lock controls have, by the names of these.

    Raises
    ------
    UsageError
        For an unknown engine, a tolerance out of range, or what the circuit cannot make sense of.
    RunFailed
        If the circuit does not come to rest.
    """

    def __init__(
        self,
        circuit: Circuit,
        scenario: Scenario,
        engine: str,
        rtol: float,
        variant: str | None = None,
        keep: Callable[[str], bool] | None = None,
        controllers: Mapping[str, Controller] | None = None,
    ) -> None:
        _refuse_method(engine, rtol)
        self.circuit, self.scenario, self.engine, self.variant = circuit, scenario, engine, variant
        self.rtol = rtol
        self.phases: dict[str, float] = {}
        self.events: list[Event] = []
        self._wall, self._cpu = clock.perf_counter(), clock.process_time()
        self.compiled = self._phase("compile", lambda: compile_circuit(circuit, scenario))
        self.machine = self._phase("lay_out", lambda: Machine.of(self.compiled.assembly))
        if self.machine.total("mass") <= 0.0:
            raise UsageError("nothing in the circuit holds air: add a reservoir, a chamber or a line")
        self._phase("settle", self._settle)
        self.smallest_time_constant = smallest_time_constant(self.machine)
        self.totals = {kind: self.machine.total(kind) for kind in ("mass", "energy")}
        self.kinetic = kinetic_energy(self.machine, self.compiled.chain) if self.compiled.chain else 0.0
        self.controls = wire(self.compiled, self.machine, controllers or {})
        coarse = UNDER_CONTROL if self.controls else 1.0
        self.method = METHODS[engine](self.machine, rtol, ringing=coarse**2)
        channels = self.compiled.channels
        self._kept = [k for k, name in enumerate(channels) if keep is None or keep(name)]
        places = np.array([self.machine.place(c.value) for c in channels.values()], np.int64)
        tolerance = coarse * np.array([_tolerance(c) for c in channels.values()])
        self.sampler = Sampler(self.machine, places, tolerance, np.array(self._kept, np.int64))
        self.loop = Loop(
            self.machine, self.method, self.sampler.take, lambda e: self._tell(e, self.machine.time),
            watch=self.controls,
        )  # fmt: skip
        self.player = Player(self.compiled, self.machine, self.loop, self.events.append)

    @property
    def time(self) -> float:
        """Time since the start [s]."""
        return self.machine.time

    def value(self, channel: str) -> float:
        """A channel now [SI, pressures gauge]; UsageError if there is none of that name."""
        if channel not in self.compiled.channels:
            raise UsageError(f"there is no channel {channel!r}")
        return self.machine.read(self.compiled.channels[channel].value)

    def state(self) -> dict[str, float]:
        """All channels now [SI, pressures gauge]."""
        values = self.machine.observe()
        return {name: float(values[self.machine.place(c.value)]) for name, c in self.compiled.channels.items()}

    def schedule(self) -> None:
        """Enter the scenario's steps."""
        self.player.schedule()
        self.sampler.now()  # what happens at 0 s has a limit from the left too

    def do(self, step: Step) -> None:
        """Do a step now."""
        self.player.do(step)

    def advance(self, until: float, progress: Callable[[float], None] | None = None) -> None:
        """Advance to a time [s]; a failure carries what has been computed."""
        self.loop.progress = progress
        try:
            self._phase("integrate", lambda: self.loop.run(until))
        except RunFailed as failure:
            raise RunFailed(str(failure), self._partial(str(failure))) from None
        self.sampler.now()

    def result(self) -> Run:
        """What has been computed so far, measured and told; it must conserve mass and energy."""
        result = self.computed()
        return self._phase("measure", lambda: finish(result))

    def computed(self) -> Run:
        """What has been computed so far, not measured yet; it must conserve mass and energy."""
        result = self._result("ok", "The run reached its end, converged and conserves mass and energy.")
        if self.engine != "radau":
            self._check(result)
        return result

    def close(self) -> None:
        """Let go of the samples: what plays the scenario knows itself in a circle, which is cleared late."""
        self.sampler.forget()

    def _phase(self, name: str, work: Callable[[], Result]) -> Result:
        begin = clock.perf_counter()
        try:
            return work()
        finally:
            self.phases[name] = self.phases.get(name, 0.0) + clock.perf_counter() - begin

    def _settle(self) -> None:
        """Bring the machine to rest; what changes meanwhile stands at the start."""
        settling = Rosenbrock(self.machine, settle.RTOL)
        settle.settle(self.machine, self.compiled.assembly, settling, lambda event: self._tell(event, 0.0))

    def _tell(self, event: EventSpec, time: float) -> None:
        component, name = event.key
        if name == "when":
            return
        spec = next(spec for spec in self.compiled.parts[component].events if spec.name == name)
        title = self.circuit.title_of(self.circuit.components[component])
        text = spec.sentence.format(title=title, level=express(event.level, "pressure"))
        self.events.append(Event(time, name, component, text, spec.category))

    def _check(self, result: Run) -> None:
        """Fail a run that does not conserve."""
        for kind, error, limit in (
            ("mass", result.closure.mass, MASS_LIMIT),
            ("energy", result.closure.energy, ENERGY_LIMIT),
            ("the energy of motion", result.closure.motion or 0.0, MOTION_LIMIT * self.rtol),
        ):
            if not error < limit:
                message = (
                    f"The run does not conserve {kind}: its sum drifted by {error:.1e} of itself (allowed "
                    f"{limit:.0e}). This is a fault of the program; please report the circuit."
                )
                raise RunFailed(message, self._partial(message))

    def _motion_error(self) -> float | None:
        """Energy of motion that was neither kept nor turned into heat, over what there was; None without a road."""
        chain = self.compiled.chain
        if chain is None:
            return None
        turned, given = heat(self.machine, chain), descent(self.machine, chain)
        moving = kinetic_energy(self.machine, chain)
        return abs(moving + turned - given - self.kinetic) / max(self.kinetic, turned, LEAST_MOTION)

    def _references(self, channels: Mapping[str, Channel], times: Floats) -> dict[str, Channel]:
        """What controls took for the vehicle's speed, which no state knows."""
        found = {}
        for wired in self.controls.wired if self.controls else ():
            channel = channels.get(f"{wired.name}.reference_speed")
            if channel and wired.references:
                told = np.array(wired.references)
                found[channel.name] = replace(channel, values=np.interp(times, told[:, 0], told[:, 1]))
        return found

    def _partial(self, message: str) -> Run:
        return self._result("failed", message)

    def _result(self, status: str, message: str) -> Run:
        times, values = self.sampler.samples()
        offered = list(self.compiled.channels.items())
        channels = {
            name: Channel(name, times, np.ascontiguousarray(values[:, k]), c.dimension, c.label)
            for k, (name, c) in enumerate(offered[place] for place in self._kept)
        }
        channels |= self._references(channels, times)
        mass, energy = (
            abs(self.machine.total(kind) - self.totals[kind]) / self.totals[kind] for kind in ("mass", "energy")
        )
        closure = Closure(mass, energy, self._motion_error())
        solver = SolverReport(
            self.engine, len(self.machine.state), self.method.accepted, self.method.rejected, self.loop.segments,
            self.smallest_time_constant, self.phases, clock.perf_counter() - self._wall,
            clock.process_time() - self._cpu, self.rtol,
        )  # fmt: skip
        told = sorted((e for e in self.events if e.time <= self.machine.time), key=lambda event: event.time)
        return Run(
            self.circuit, self.scenario, channels, tuple(told), closure, solver, status, message,
            sources=sources_of(self.compiled), variant=self.variant,
            extrapolated=extrapolated(channels, self.circuit.ambient.pressure),
        )  # fmt: skip


def _refuse_method(engine: str, rtol: float) -> None:
    if engine not in METHODS:
        raise UsageError(f"engine {engine!r} is unknown (allowed: {', '.join(METHODS)})")
    if not SHARPEST <= rtol <= COARSEST:
        raise UsageError(f"tolerance {rtol:g} is out of range (allowed: {SHARPEST:g} to {COARSEST:g})")


def _tolerance(channel: ChannelValue) -> float:
    """Largest error of interpolation of a channel [SI]."""
    return np.inf if channel.derived else INTERPOLATION.get(channel.dimension, np.inf)


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
    for part in (*compiled.parts.values(), *compiled.brakes.values()):
        for parameter in type(part).model_fields:
            key = part.catalogue_key(parameter)
            if parameter not in part.model_fields_set and key is not None:
                keys.setdefault(entry(key).source, set()).add(key)
    road = compiled.scenario.road
    for default in motion_defaults(compiled.circuit.vehicles) if road else ():
        keys.setdefault(default.source, set()).add(f"motion.{default.key}")
    defaults = [f"{source}: defaults {', '.join(sorted(found))}" for source, found in sorted(keys.items())]
    return (*defaults, *(surface_sources(road) if road else ()))
