"""A tractor with tandem semitrailer put together from primitives: speed and error in real transients.

About 60 vessels, 9 distributed lines (two of them double), four double check valves, seven graded valves, quick
release and protection valves, and ten actuators of five axles.  A full application and release, run to 5, 20 and
600 s, and the trailer coming away.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from functools import cache

import numpy as np

from pneusim.engine.assembly import ATMOSPHERE, Assembly
from pneusim.engine.lines import LineSpec, add_line
from pneusim.engine.machine import Machine
from pneusim.engine.methods import RTOL, Rosenbrock
from pneusim.engine.segments import Loop
from pneusim.physics.plain import tube_conductance
from tests.benchmarks.measure import Error, Floats, Outcome, Ready, Target, run, show

PA, ROOM, C, RATIO = 101_325.0, 293.15, 1e-8, 0.3
LITRE, INCH2, INCH3 = 1e-3, 6.4516e-4, 16.387e-6
BAND, WIDTH, LAG = 5e3, 30e3, 4e-3
FULL_APPLICATION, BREAKAWAY = 689e3, 827e3  # gauge pressure at the start [Pa]
PEDAL = [(0.0, -40e3), (0.06, 0.0), (0.09, 25e3), (0.85, 620e3), (1.0, 1300e3)]
TUBE_FILM, ROUGHNESS = 100.0, 1.5e-6
CHARGED = {
    "dryer", "wet", "primary", "secondary", "dash", "trailer", "park_pipe", "spring_pilot", "spring_relay", "spring_1",
    "spring_2", "supply", "supply_gate", "supply_hose", "supply_head", "supply_end", "spring_line", "spring_3",
    "spring_4", "supply_pipe", "park_end",
}  # fmt: skip
# name: litres, film coefficient
VESSELS = {
    "dryer": (2.0, 40.0), "wet": (20.0, 25.0), "primary": (36.0, 25.0), "secondary": (36.0, 25.0),
    "dash": (0.15, 40.0), "rear_relay": (0.15, 40.0), "front_release": (0.05, 40.0), "spring_pilot": (0.05, 40.0),
    "spring_relay": (0.15, 40.0), "signal": (0.06, 40.0), "control": (0.06, 40.0), "control_gate": (0.05, 40.0),
    "supply_gate": (0.05, 40.0), "trailer": (48.0, 25.0), "spring_line": (0.2, 40.0), "relay_3": (0.15, 40.0),
    "relay_4": (0.15, 40.0), "pilot_3": (0.04, 40.0), "pilot_4": (0.04, 40.0),
    "control_end": (0.02, 40.0), "control_hose": (0.02, 40.0), "pilot_end": (0.03, 40.0), "supply": (0.03, 40.0),
    "supply_hose": (0.02, 40.0), "supply_end": (0.03, 40.0), "park_pipe": (0.02, 40.0), "supply_pipe": (0.02, 40.0),
    "park_end": (0.02, 40.0), "chamber_f": (0.06, 60.0), "chamber_1": (0.10, 60.0), "chamber_2": (0.10, 60.0),
    "chamber_3": (0.10, 60.0), "chamber_4": (0.10, 60.0), "spring_1": (0.06, 60.0), "spring_2": (0.06, 60.0),
    "spring_3": (0.06, 60.0), "spring_4": (0.06, 60.0),
}  # fmt: skip
# Short pipes as one volume each: length [m], bore [m].
PIPES = {
    "foot_primary": (0.5, 9.5e-3), "foot_secondary": (0.5, 9.5e-3), "rear_pilot_1": (2.5, 6.4e-3),
    "rear_pilot_2": (2.5, 6.4e-3), "front_pipe": (2.5, 9.5e-3), "hand": (1.0, 6e-3),
    "control_head": (1.0, 12e-3), "supply_head": (1.0, 12e-3),
}  # fmt: skip
# Distributed lines of 1 m cells: from, to, length [m], bore [m].
LINES = {
    "control_line": ("control", "control_end", 6.0, 9.5e-3),
    "control_coil": ("control_gate", "control_hose", 3.0, 9.5e-3),
    "trailer_control": ("control_head", "pilot_end", 11.0, 9.5e-3),
    "supply_line": ("supply", "supply_pipe", 5.0, 9.5e-3),
    "supply_coil": ("supply_gate", "supply_hose", 3.0, 9.5e-3),
    "trailer_supply": ("supply_head", "supply_end", 11.0, 9.5e-3),
    "park_line": ("park_pipe", "park_end", 4.0, 6e-3),
    **{f"spring_hose_{k}": ("spring_line", f"spring_{k[0]}", 1.5, 9.5e-3) for k in ("3l", "3r", "4l", "4r")},
}  # fmt: skip
# Resistances of short pipes: from, to; how many side by side (a half of a pipe counts sqrt 2), length, bore [m].
TUBES: dict[tuple[str, str], tuple[float, float, float]] = {
    ("foot_primary", "rear_pilot_1"): (math.sqrt(2.0), 2.5, 6.4e-3),
    ("rear_pilot_1", "rear_pilot_2"): (math.sqrt(2.0), 2.5, 6.4e-3),
    ("foot_secondary", "front_pipe"): (1.0, 2.5, 9.5e-3), ("front_release", "chamber_f"): (2.0, 1.0, 9.5e-3),
    ("rear_relay", "chamber_1"): (2.0, 1.0, 9.5e-3), ("rear_relay", "chamber_2"): (2.0, 1.0, 9.5e-3),
    ("spring_relay", "spring_1"): (2.0, 1.0, 9.5e-3), ("spring_relay", "spring_2"): (2.0, 1.0, 9.5e-3),
    ("pilot_end", "pilot_3"): (1.0, 0.6, 9.5e-3), ("pilot_end", "pilot_4"): (1.0, 0.6, 9.5e-3),
    ("relay_3", "chamber_3"): (2.0, 1.5, 9.5e-3), ("relay_4", "chamber_4"): (2.0, 1.5, 9.5e-3),
}  # fmt: skip
SPRING = {"z_max": 57e-3, "spring_friction": 150.0}


class Vehicle:
    """The circuit on an assembly; ``watched`` are the pressures compared, ``feed`` in C supplies the trailer."""

    def __init__(self, feed: float = 2.0) -> None:
        self.a = Assembly(PA, ROOM)
        self.nodes = {"atmosphere": ATMOSPHERE}
        self.feed = feed
        for name, (litres, film) in VESSELS.items():
            self._vessel(name, litres * LITRE, film)
        for name, (length, bore) in PIPES.items():
            volume = math.pi / 4.0 * bore**2 * length
            self._vessel(name, volume, TUBE_FILM * 4.0 / bore * volume / (6.0 * volume ** (2.0 / 3.0)))
        for name, (start, end, length, bore) in LINES.items():
            spec = LineSpec(name, length, bore, ROUGHNESS)
            add_line(self.a, spec, self.nodes[start], self.nodes[end])
        for (start, end), (share, length, bore) in TUBES.items():
            conductance, ratio = tube_conductance(bore, length)
            self.a.restriction(start, self.nodes[start], self.nodes[end], share * conductance, ratio)
        self.pedal = self.a.tape.input("pedal", 0.0)
        self._supply()
        self._service()
        self._park()
        self._trailer()
        self._actuators()
        self.watched = {name: self._p(name) for name in self.nodes if name != "atmosphere"}

    def _vessel(self, name: str, volume: float, film: float) -> None:
        self.nodes[name] = self.a.node(name)
        self.a.air(self.nodes[name], volume, film)

    def _p(self, name: str) -> int:
        return self.a.pressure(self.nodes[name])

    def _gate(self, start: str, end: str, conductance: float, opening: int | None = None, ratio: float = RATIO) -> None:
        self.a.restriction(f"{start}-{end}", self.nodes[start], self.nodes[end], conductance * C, ratio, opening)

    def _over(self, start: str, end: str, crack: float, width: float) -> int:
        """Opening of a check valve."""
        return self.a.ramp(self.a.affine(0.0, (1.0, self._p(start)), (-1.0, self._p(end))), crack, width)

    def _graded(self, name: str, supply: str, delivery: str, target: int, into: float, out: float, band: float) -> None:
        inlet, exhaust = self.a.follower(name, target, self._p(delivery), band, WIDTH, LAG)
        self._gate(supply, delivery, into, inlet)
        self._gate(delivery, "atmosphere", out, exhaust)

    def _relay(self, name: str, supply: str, pilot: str, crack: float, into: float, out: float) -> None:
        above = self.a.affine(-crack, (1.0, self._p(pilot)))
        target = self.a.minimum(above, self.a.affine(0.0, (4.0, above)))
        self._graded(name, supply, name, target, into, out, BAND)

    def _shuttle(self, one: str, other: str, middle: str, conductance: float) -> None:
        openings = self.a.exclusive(middle, self.nodes[one], self.nodes[other], self.nodes[middle], 3e3)
        self._gate(one, middle, conductance, openings[0])
        self._gate(other, middle, conductance, openings[1])

    def _release(self, supply: str, name: str, into: float, out: float, cracks: tuple[float, float]) -> None:
        """A quick release valve."""
        self._gate(supply, name, into, self._over(supply, name, cracks[0], 7e3))
        self._gate(name, "atmosphere", out, self._over(name, supply, cracks[1], 7e3))

    def _supply(self) -> None:
        a = self.a
        self._gate("dryer", "wet", 12.0, self._over("dryer", "wet", 3e3, 7e3))
        self._gate("wet", "atmosphere", 10.0, a.ramp(self._p("wet"), 1034e3, 50e3))
        for tank in ("primary", "secondary"):
            self._gate("wet", tank, 12.0, self._over("wet", tank, 3e3, 7e3))
        self._shuttle("primary", "secondary", "dash", 8.0)

    def _service(self) -> None:
        a = self.a
        self._graded("foot_1", "primary", "foot_primary", a.table(self.pedal, PEDAL), 9.0, 9.0, 4e3)
        behind = a.table(a.affine(-0.04, (1.0, self.pedal)), PEDAL)
        second = a.maximum(a.affine(-10e3, (1.0, self._p("foot_primary"))), behind)
        self._graded("foot_2", "secondary", "foot_secondary", second, 9.0, 9.0, 4e3)
        self._relay("rear_relay", "primary", "rear_pilot_2", 20e3, 14.0, 14.0)
        self._release("front_pipe", "front_release", 16.0, 16.0, (2e3, 5e3))
        self._graded("hand_valve", "dash", "hand", a.affine(-40e3), 4.0, 4.0, 4e3)
        self._shuttle("foot_primary", "foot_secondary", "signal", 10.0)
        self._shuttle("signal", "hand", "control", 10.0)

    def _latch(self, name: str, delivery: str, feed: float, vent: float, trip: float, sensed: str) -> None:
        """A control that applies by itself."""
        mode = self.a.tape.setting(name, 1.0)
        travel = self.a.travel(name, mode, 0.02)
        self._gate("dash", delivery, feed, self.a.ramp(travel, 0.5, 0.5))
        self._gate(delivery, "atmosphere", vent, self.a.ramp(travel, 0.5, -0.5))
        self.a.event((name, "trips"), self._p(sensed), trip, -1.0, armed={mode: 1.0}, sets={mode: 0.0})

    def _park(self) -> None:
        self._latch("park", "park_pipe", 3.0, 3.0, 207e3, "dash")
        self._shuttle("park_end", "rear_relay", "spring_pilot", 6.0)
        self._relay("spring_relay", "dash", "spring_pilot", 10e3, 8.0, 20.0)

    def _trailer(self) -> None:
        a = self.a
        self._latch("trailer_supply", "supply", self.feed, 6.0, 207e3, "supply")
        gate = a.ramp(a.play("protection", self._p("supply"), 276e3, 207e3, 40e3, 10e-3), 0.0, 1.0)
        self._gate("control_end", "control_gate", 14.0, gate)
        self._gate("supply_pipe", "supply_gate", 14.0)
        self.joined, self.parted = a.tape.setting("joined", 1.0), a.tape.setting("parted", 0.0)
        for hose, head in (("control_hose", "control_head"), ("supply_hose", "supply_head")):
            self._gate(hose, head, 18.0, self.joined)
            for end in (hose, head):
                self._gate(end, "atmosphere", 11.7, self.parted, 0.5)
        self._release("supply_end", "spring_line", 8.0, 14.0, (3e3, 20e3))
        open_ = a.ramp(a.affine(0.0, (0.94, self._p("supply_end")), (0.06, self._p("trailer"))), 520e3, 30e3)
        self._gate("supply_end", "trailer", 8.0, a.product(open_, self._over("supply_end", "trailer", 0.0, 7e3)))
        for axle in ("3", "4"):
            self._relay(f"relay_{axle}", "trailer", f"pilot_{axle}", 20e3, 14.0, 14.0)

    def _actuators(self) -> None:
        a = self.a
        free = a.tape.setting("free stroke", 14e-3)
        force, rate = a.tape.setting("spring force", 7600.0), a.tape.setting("spring rate", 45e3)
        for axle, size, stroke, stiffness in (("f", 20, 57.2e-3, 4e5), *((k, 30, 63.5e-3, 5e5) for k in "1234")):
            area = size * INCH2
            rod = {
                "area": area, "s_max": stroke, "decline": 0.35, "return_preload": 20e3 * area, "return_rate": 3e3,
                "brake_stiffness": stiffness, "friction_base": 0.02 * 100e3 * area, "friction_share": 0.06,
            }  # fmt: skip
            service = self.nodes[f"chamber_{axle}"]
            for side in ("left", "right"):
                name = f"{axle}_{side}"
                a.air(service, (9 if axle == "f" else 14) * INCH3, 0.0)
                if axle == "f":
                    a.chamber(name, service, rod, free)
                    continue
                hold = self.nodes[f"spring_{axle}"]
                a.air(hold, 10 * INCH3, 0.0)
                a.spring_brake(name, service, hold, rod | SPRING | {"piston_area": area}, free, force, rate)

    def machine(self, pressure: float) -> Machine:
        """Laid out, at rest with the springs held off."""
        machine = Machine.of(self.a)
        machine.state[:] = rested(pressure, self.feed)
        return machine


@cache
def rested(pressure: float, feed: float) -> Floats:
    """State five seconds after charging to a gauge pressure."""
    vehicle = Vehicle(feed)
    for name in CHARGED:
        vehicle.a.nodes[vehicle.nodes[name]].start = pressure
    vehicle.a.events.clear()
    machine = Machine.of(vehicle.a)
    Loop(machine, Rosenbrock(machine, 1e-6), lambda steps: None, lambda event: None).run(5.0)
    return machine.state.copy()


def application(lasts: float) -> Ready:
    """The pedal down at once in 50 ms, and up again at 2.5 s."""
    vehicle = Vehicle()
    machine = vehicle.machine(FULL_APPLICATION)
    pedal = vehicle.pedal
    moves: list[tuple[float, Callable[[], object]]] = [
        (0.0, lambda: machine.move(pedal, 0.0, 20.0)), (0.05, lambda: machine.move(pedal, 1.0)),
        (2.5, lambda: machine.move(pedal, 1.0, -20.0)), (2.55, lambda: machine.move(pedal, 0.0)),
    ]  # fmt: skip
    return Ready(machine, [machine.place(v) for v in vehicle.watched.values()], moves, lasts)


def breakaway() -> Ready:
    """Both hoses part after a second; the trailer supply control trips by itself."""
    vehicle = Vehicle(feed=1.2)
    machine = vehicle.machine(BREAKAWAY)

    def part() -> None:
        machine.set(vehicle.joined, 0.0)
        machine.set(vehicle.parted, 1.0)

    return Ready(machine, [machine.place(v) for v in vehicle.watched.values()], [(1.0, part)], 20.0)


def row(name: str, lasts: float, found: Outcome, error: str) -> list[str]:
    """A line of the table."""
    attempts = found.accepted + found.rejected
    return [name, f"{found.accepted} + {found.rejected}", f"{found.seconds:.4f}",
            f"{1e6 * found.seconds / attempts:.0f}", f"{lasts / found.seconds:.0f}", error]  # fmt: skip


def main() -> bool:
    """Measure."""
    rows, targets = [], []
    for lasts, wanted in ((5.0, 60.0), (20.0, 140.0), (600.0, 3000.0)):
        found = run(lambda lasts=lasts: application(lasts), RTOL, repeats=5, step=0.01 if lasts < 30.0 else 1.0)
        error = "-"
        if lasts < 30.0:
            reference = run(lambda lasts=lasts: application(lasts), 1e-6, repeats=1).values
            kept = Error.of(found.values, reference)
            error = str(kept)
            targets.append(Target(f"p99.9 of the error, {lasts:.0f} s [kPa]", kept.p999, 0.3, least=False))
        rows.append(row(f"application, {lasts:.0f} s", lasts, found, error))
        targets.append(Target(f"times real time, {lasts:.0f} s", lasts / found.seconds, wanted))
        states = len(found.machine.state)
    away, half, sharp = (run(breakaway, rtol, repeats=1) for rtol in (RTOL, 0.5 * RTOL, 1e-6))
    rows.append(row("trailer comes away, 20 s", 20.0, away, str(Error.of(away.values, sharp.values))))
    for name, time in away.events.items():
        bar, true = abs(time - half.events[name]), abs(time - sharp.events[name])
        print(f"  {name} trips at {time:.5f} s, error bar {1e3 * bar:.3f} ms, against 1e-6 {1e3 * true:.3f} ms")
        targets.append(Target(f"{name}: trip time against 1e-6 [ms]", 1e3 * true, 2.0, least=False))
    return show(f"Tractor and tandem semitrailer, {states} states", (
        "case", "steps + rejected", "CPU s", "us per attempt", "times real time", "error kPa: largest / p99.9 / rms",
    ), rows, targets)  # fmt: skip


if __name__ == "__main__":
    np.seterr(all="raise", under="ignore")
    sys.exit(0 if main() else 1)
