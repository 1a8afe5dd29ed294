"""Circuits in primitives that, between them, use every family and every turn of a line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pneusim.engine.lines import AssembledLine, add_leak, block_line, break_line
from pneusim.engine.machine import Machine
from pneusim.engine.road import Chain, GripSpec, UnitSpec, WheelSpec, add_chain
from tests.engine.bench import ATMOSPHERE, ISOTHERMAL, ROD, SPRING_ROD, Bench, C


@dataclass
class Case:
    """A machine ready to run, its bench, and its lines."""

    bench: Bench
    machine: Machine
    lines: tuple[AssembledLine, ...] = ()
    chain: Chain | None = None


def valves() -> Case:
    """Every signal, every kind of valve, a compressor and an ideal source, driven by moving inputs."""
    b = Bench()
    a, tape = b.a, b.a.tape
    tank = b.volume("tank", 20e-3, 7e5, film=25.0)
    supply, supply_pressure = b.source("supply", 6e5)
    plenum, pilot, out = b.volume("plenum", 0.2e-3), b.volume("pilot", 0.05e-3, 1e5), b.volume("out", 0.5e-3, 2e5)
    cold = b.volume("cold", 1e-3, 3e5, film=ISOTHERMAL)
    travel, speed = tape.input("travel", 0.4), tape.input("speed", 20.0)
    stuck = tape.setting("stuck", 0.0)
    loaded = tape.setting("loaded", 1.0)
    lever = tape.setting("lever", 1.0)
    target = a.table(travel, [(0.0, -40e3), (0.06, 0.0), (0.85, 620e3), (1.0, 1300e3)])
    target = a.frozen("foot", target, stuck)
    limited = a.minimum(a.maximum(target, a.affine(-50e3, (0.9, b.watch["pilot"]))), a.affine(550e3))
    inlet, exhaust = a.follower("foot", target, b.watch["pilot"], 5e3, 30e3, 0.0)
    a.restriction("foot.in", tank, pilot, 9 * C, 0.3, inlet)
    a.restriction("foot.out", pilot, ATMOSPHERE, 9 * C, 0.3, exhaust)
    inlet, exhaust = a.follower("relay", limited, b.watch["plenum"], 5e3, 30e3, 4e-3)
    a.restriction("relay.in", tank, plenum, 14 * C, 0.3, inlet)
    a.restriction("relay.out", plenum, ATMOSPHERE, 14 * C, 0.3, exhaust)
    one, other = a.exclusive("double", plenum, cold, out, 3e3)
    a.restriction("double.1", plenum, out, 10 * C, 0.3, one)
    a.restriction("double.2", cold, out, 10 * C, 0.3, other)
    gate = a.product(a.play("protection", b.watch["cold"], 276e3, 207e3, 40e3, 10e-3), a.travel("park", lever, 20e-3))
    a.restriction("gate", supply, cold, 3 * C, 0.3, gate)
    relief = a.ramp(b.watch["tank"], 6.8e5, 50e3)
    a.restriction("relief", tank, ATMOSPHERE, 5 * C, 0.3, relief)
    a.hole("leak", out, tape.setting("hole", 1.5e-3), 0.7)
    a.open_end("open", out, 6e-3, tape.setting("open", 0.3))
    a.compressor("compressor", tank, speed, loaded, 3.6e-4, 0.85, 0.045, 313.0)
    machine = b.machine()
    machine.move(travel, 0.4, 1.5)
    machine.move(speed, 20.0, -3.0)
    machine.move(supply_pressure, 6e5, -1e5)
    return Case(b, machine)


def actuators() -> Case:
    """A brake chamber and a spring brake on rising and falling pressures."""
    b = Bench()
    tank = b.volume("tank", 20e-3, 8e5, film=25.0)
    chamber, service, spring = (b.volume(n, 0.2e-3, p, film=60.0) for n, p in (("c", 0.0), ("s", 1e5), ("h", 6e5)))
    free, force, rate = (
        b.a.tape.setting(n, x) for n, x in (("free", 14e-3), ("force", 7600.0), ("rate", 45e3))
    )
    b.a.chamber("chamber", chamber, ROD, free)
    b.a.spring_brake("spring", service, spring, SPRING_ROD, free, force, rate)
    b.valve("to_chamber", tank, chamber, 5 * C)
    b.valve("to_service", tank, service, 2 * C)
    b.valve("from_spring", spring, ATMOSPHERE, 3 * C)
    return Case(b, b.machine())


def lines(fault: str = "") -> Case:
    """Lines between a tank, a tee, a dead end, the atmosphere and an ideal source; one may have a fault."""
    b = Bench()
    tank = b.volume("tank", 10e-3, 7e5, film=25.0)
    tee = b.volume("tee", 0.0, 3e5)
    end = b.volume("end", 0.3e-3, 1e5, film=60.0)
    source, _ = b.source("source", 5e5)
    where = {"fault_at": 0.4} if fault in ("break", "leak") else {}
    made = (
        b.line("first", tank, tee, 4.0, 9e-3, loss=1.2, **where),
        b.line("back", tee, source, 3.0, 6e-3, film=40.0),
        b.line("single", tee, end, 0.5, 9e-3, cells=1),
        b.line("vent", tee, ATMOSPHERE, 2.0, 4e-3, friction_factor=0.03, film=0.0),
        b.line("lump", end, tee, 2.0, 9e-3, lumped=True),
    )
    hole = b.a.tape.setting("hole", 2e-3)
    if fault == "leak":
        add_leak(b.a, made[0], hole)
    machine = b.machine()
    if fault == "break":
        break_line(machine, b.a, made[0])
    if fault == "block":
        block_line(machine, made[0])
    return Case(b, machine, made)


def road() -> Case:
    """A truck and a semitrailer, on two surfaces and with two laws of friction, braked, on a slope.

    Torques are inputs; ``hitched`` and speeds are left to whoever runs it.
    """
    b = Bench()
    b.volume("tank", 1e-3, 1e5)  # a circuit holds some air
    torque = b.a.tape.input("torque", 4e3)
    laws = GripSpec("burckhardt", (0.9, 24.0, 0.36, 0.006)), GripSpec("magic", (15.0, 1.65, 0.3, 0.6, 0.01))
    grips = ((0.0, laws[0]), (0.1, laws[1]), (3.0, laws[0]))

    def wheels(name: str, *places: tuple[float, int, float]) -> tuple[WheelSpec, ...]:
        return tuple(
            WheelSpec(f"{name}.{n}{side}", support, 0.5 * share, place, 0.5, 13.0, torque, 0.007, 0.3, 0.08, 4e4, grips)
            for n, (place, support, share) in enumerate(places)
            for side in ("left", "right")
        )

    def unit(name: str, mass: float, centre: float, loads: tuple[float, float], carried: bool, own: tuple) -> UnitSpec:
        supports = (0.0, 7.0) if carried else (0.0, 3.8)
        return UnitSpec(name, mass, centre, 1.2, supports, loads, carried, 1.2, 3.4, 1.2, 3.6, 0.4, own)

    truck = unit("truck", 8e3, 1.6, (6e4, 9e4), False, wheels("truck", (0.0, 0, 1.0), (3.8, 1, 1.0)))
    trailer = unit("trailer", 2e4, 4.5, (7e4, 1.2e5), True, wheels("trailer", (10.0, 1, 1.0)))
    chain = add_chain(b.a, (truck, trailer), 20.0, (0.06, 0.998))
    machine = b.machine()
    machine.move(torque, 4e3, 2e4)
    return Case(b, machine, chain=chain)


def parted() -> Case:
    """The same with the semitrailer on its nose."""
    case = road()
    assert case.chain is not None
    case.machine.set(case.chain.units[1].hitched, 0.0)
    return case


CASES: dict[str, Callable[[], Case]] = {
    "valves": valves,
    "actuators": actuators,
    "lines": lines,
    "broken line": lambda: lines("break"),
    "leaking line": lambda: lines("leak"),
    "blocked line": lambda: lines("block"),
    "road": road,
    "parted on the road": parted,
}


def scatter(machine: Machine, rng: np.random.Generator) -> None:
    """Put every state somewhere else, within what it may be: flows and strokes over all of their range."""
    for i, state in enumerate(machine.program.states):
        if state.kind in ("mass", "energy"):
            machine.state[i] *= rng.uniform(0.8, 1.25)
        elif state.kind == "flow":
            machine.state[i] = rng.uniform(-3.0, 3.0)  # x 10 g/s
        elif state.kind == "stroke":
            machine.state[i] = rng.uniform(-0.02, 1.3)  # x 50 mm: from before one stop to beyond the other
        elif state.kind == "load":
            machine.state[i] *= rng.uniform(0.5, 1.5)
        else:
            machine.state[i] = rng.uniform(-0.1, 1.1)
