"""A test bench: small circuits put together from primitives, and runs of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pneusim.engine.assembly import ATMOSPHERE, Assembly, EventSpec
from pneusim.engine.lines import AssembledLine, LineSpec, add_line
from pneusim.engine.machine import Machine
from pneusim.engine.methods import RTOL, Radau, Rosenbrock
from pneusim.engine.sampling import Sampler
from pneusim.engine.segments import Loop

PA = 101_325.0
ROOM = 293.15
C = 1e-8  # 1 dm3/(s bar)
ISOTHERMAL, ADIABATIC = float("inf"), 0.0
METHODS = {"rodas4": Rosenbrock, "radau": Radau}

# A type 30 chamber with a spring: areas, strokes, springs and friction as a part would hand them over.
ROD = {
    "area": 193.5e-4, "s_max": 63.5e-3, "decline": 0.35, "return_preload": 387.0, "return_rate": 3e3,
    "brake_stiffness": 5e5, "friction_base": 39.0, "friction_share": 0.06,
}  # fmt: skip
SPRING_ROD = ROD | {"piston_area": 193.5e-4, "z_max": 57e-3, "spring_friction": 150.0}


@dataclass
class Trace:
    """What was watched during a run, and the events that fired."""

    machine: Machine
    method: Rosenbrock | Radau
    times: NDArray[np.float64]
    values: dict[str, NDArray[np.float64]]
    events: list[tuple[str, float]]

    def __getitem__(self, name: str) -> NDArray[np.float64]:
        return self.values[name]

    def at(self, name: str, time: float) -> float:
        return float(np.interp(time, self.times, self.values[name]))

    def when(self, name: str) -> float:
        """Time of the only event of that name."""
        (time,) = [t for event, t in self.events if event == name]
        return time


@dataclass
class Bench:
    """An assembly with words for what tests need; ``watch`` names the values that a run records."""

    p_ambient: float = PA
    T_ambient: float = ROOM
    watch: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.a = Assembly(self.p_ambient, self.T_ambient)

    def volume(
        self, name: str, volume: float, pressure: float | None = None, film: float = ADIABATIC, storage: bool = False
    ) -> int:
        """A rigid volume; its gauge pressure and its temperature are watched."""
        node = self.a.node(name)
        if volume > 0.0:
            self.a.air(node, volume, film, pressure, storage)
        elif pressure is not None:
            self.a.nodes[node].start = pressure
        self.watch[name] = self.a.pressure(node)
        self.watch[f"{name}.T"] = self.a.temperature(node)
        return node

    def walled(self, name: str, volume: float, conductance: float, pressure: float | None = None) -> int:
        """A rigid volume with a wall conductance [W/K]."""
        node = self.volume(name, volume, pressure)
        self.a.nodes[node].wall = conductance
        return node

    def source(self, name: str, pressure: float) -> tuple[int, int]:
        """An ideal source of a gauge pressure; returns its node and the input that moves it."""
        node = self.a.node(name)
        value = self.a.tape.input(name, pressure)
        self.a.ideal(node, value)
        self.watch[name] = value
        return node, value

    def valve(self, name: str, a: int, b: int, conductance: float, ratio: float = 0.3, opening: float = 1.0) -> int:
        """A restriction times a setting; returns the setting. Its flow is watched."""
        setting = self.a.tape.setting(f"{name}.opening", opening)
        self.watch[name] = self.a.restriction(name, a, b, conductance, ratio, setting)
        return setting

    def line(self, name: str, start: int, end: int, length: float, bore: float, **more: object) -> AssembledLine:
        """A line with a roughness of 1.5 um; its end flows are watched."""
        spec = LineSpec(name, length, bore, more.pop("roughness", 1.5e-6), **more)  # type: ignore[arg-type]
        line = add_line(self.a, spec, start, end)
        self.watch[f"{name}.in"], self.watch[f"{name}.out"] = line.flow_in, line.flow_out
        return line

    def passes(self, name: str, value: int, level: float, sign: float) -> None:
        """Note when a value first passes a level."""
        self.a.event((name, name), value, level, sign)

    def machine(self) -> Machine:
        return Machine.of(self.a)

    def run(
        self,
        lasts: float,
        machine: Machine | None = None,
        *,
        rtol: float = RTOL,
        engine: str = "rodas4",
        actions: Sequence[tuple[float, Callable[[], object]]] = (),
        tolerance: float = 1.0,
    ) -> Trace:
        """Run from the machine's time for ``lasts`` and record what is watched (pressures to ``tolerance``)."""
        machine = machine or self.machine()
        return run(machine, lasts, self.watch, rtol=rtol, engine=engine, actions=actions, tolerance=tolerance)


def run(
    machine: Machine,
    lasts: float,
    watch: Mapping[str, int],
    *,
    rtol: float = RTOL,
    engine: str = "rodas4",
    actions: Sequence[tuple[float, Callable[[], object]]] = (),
    tolerance: float = 1.0,
) -> Trace:
    """Run a machine through timed actions; see :meth:`Bench.run`."""
    method = METHODS[engine](machine, rtol)
    places = np.array([machine.place(value) for value in watch.values()], np.int64)
    sampler = Sampler(machine, places, np.full(len(places), tolerance))
    events: list[tuple[str, float]] = []

    def happened(event: EventSpec) -> None:
        events.append((event.key[1], machine.time))

    loop = Loop(machine, method, sampler.take, happened)
    for time, action in actions:
        loop.at(time, action)
    sampler.now()
    loop.run(machine.time + lasts)
    sampler.now()
    times, rows = sampler.samples()
    return Trace(machine, method, times, {name: rows[:, k] for k, name in enumerate(watch)}, events)


def closure(machine: Machine, kind: str) -> float:
    """Relative change of the sum of a conserved kind since the start of the program."""
    states, start = machine.program.states, machine.program.start()
    kept = [i for i, s in enumerate(states) if s.kind == kind]
    scale = machine.program.scale[kept]
    before, after = (start[kept] * scale).sum(), (machine.state[kept] * scale).sum()
    return float(abs(after - before) / before)


__all__ = ["ADIABATIC", "ATMOSPHERE", "ISOTHERMAL", "PA", "ROD", "ROOM", "SPRING_ROD", "Bench", "C", "Trace",
           "closure", "run"]  # fmt: skip
