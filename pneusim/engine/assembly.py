"""Puts primitives together: nodes of air, restrictions, lines, actuators, signals, events.

Values are the tape's provisional numbers; nodes are counted from 0, the atmosphere.  Pressures given are gauge [Pa].
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from pneusim.engine.families import (
    AFFINE,
    CHAMBER,
    COMPRESSOR,
    DOUBLE_CHECK,
    FAMILIES,
    FOLLOWER,
    FORCED,
    LEG,
    MAXIMUM,
    MINIMUM,
    PLAY,
    PRODUCT,
    RAMP,
    RATIO,
    RESTRICTION,
    SPOOL,
    SPRING_BRAKE,
    SWEPT,
    VOLUME,
)
from pneusim.engine.families.family import STROKE
from pneusim.engine.layout import lay_out
from pneusim.engine.tape import Program, Tape
from pneusim.physics.constants import CV, KAPPA, R
from pneusim.physics.plain import hole_conductance, open_end_conductance

ATMOSPHERE = 0
REFERENCE_PRESSURE = 8e5  # of the scales of mass and energy [Pa]
STUB_VOLUME = 5e-6  # a joint or stub to which no part gives a volume [m3]
DP_LAMINAR = 20.0  # below this difference a restriction is linear [Pa]
OPEN_END_RATIO = 0.5
HOLE_RATIO = 0.528
# Wall exchange that makes a volume isothermal: a small one at most at this rate [1/s], a large one, slow by itself, at
# most with this conductance [W/K]; more would drown the balance of energy in rounding.
ISOTHERMAL_RATE, ISOTHERMAL_WALL = 1e6, 5e6
ISOTHERMAL_STEP = 1e5  # for the same reason: longest step times that rate
OUTSIDE_MASS = 0.1  # scale of the atmosphere's mass state [kg]
OUTSIDE_WEIGHT = 100.0
SPOOL_WEIGHT = 10.0

SHUTTLE_TIME = 0.05  # of a double check valve's shuttle letting air return [s]; an assumption

# Numbers of the actuators that serve the integrator: stops and contact [N/m], damping [N s/m], friction foot [N].
STOP_STIFFNESS = 2e6
CONTACT_STIFFNESS = 2e6
DAMPING = 100.0
FRICTION_FOOT = 20.0


@dataclass
class Node:
    """A node while it is being put together."""

    name: str
    p: int
    T: int
    kind: str = "air"  # "air", "ideal" or "atmosphere"
    volume: float = 0.0
    wall: float = 0.0  # wall conductance [W/K]
    isothermal: bool = False
    start: float | None = None
    storage: bool = False
    source: int = -1  # of an ideal node: its gauge pressure
    swept: list[tuple[int, float]] = field(default_factory=list)  # value, volume at the start
    flows: list[tuple[float, int, int]] = field(default_factory=list)  # sign, mass flow, enthalpy flow
    powers: list[int] = field(default_factory=list)  # given off to pistons
    rates: list[int] = field(default_factory=list)  # once finished
    mass: int = -1
    energy: int = -1


@dataclass(frozen=True)
class EventSpec:
    """A state event: ``value`` passes ``level`` (sign +1 rising, -1 falling) while every armed mode has its value.

    ``sets`` gives modes their new values; ``key`` tells whose event it is.
    """

    key: tuple[str, str]
    value: int
    level: float
    sign: float
    armed: Mapping[int, float] = field(default_factory=dict)
    sets: Mapping[int, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Capture:
    """When ``fault`` is set, ``value`` as it is then is kept in the setting ``held``."""

    fault: int
    value: int
    held: int


@dataclass
class Assembly:
    """A circuit in primitives.

    Parameters
    ----------
    p_ambient, T_ambient : float
        [Pa absolute], [K]; the temperature of every wall too.
    """

    p_ambient: float
    T_ambient: float
    tape: Tape = field(default_factory=lambda: Tape(FAMILIES))
    nodes: list[Node] = field(default_factory=list)
    events: list[EventSpec] = field(default_factory=list)
    captures: list[Capture] = field(default_factory=list)
    springs: list[int] = field(default_factory=list)  # elements of spring brakes, held off at first while settling
    line_damping: list[int] = field(default_factory=list)  # rates that damp the flows of lines while settling
    exchanges: list[int] = field(default_factory=list)  # rates of wall heat, quickened while settling
    motions: list[int] = field(default_factory=list)  # rates of what moves on the road, at rest while settling
    adiabatic: list[int] = field(default_factory=list)  # masses of air that no wall brings to its temperature
    longest_step: float = math.inf  # that isothermal vessels can bear [s]
    _gauge: dict[int, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        tape = self.tape
        self.zero = tape.setting("zero", 0.0)
        self.one = tape.setting("one", 1.0)
        self.running = tape.setting("running", 1.0)  # 0 while the circuit settles
        self.p_out = tape.setting("ambient pressure", self.p_ambient)
        self.T_out = tape.setting("ambient temperature", self.T_ambient)
        self.mass_out = tape.state("atmosphere.mass", OUTSIDE_MASS, 0.0, "mass", OUTSIDE_WEIGHT)
        energy = OUTSIDE_MASS * CV * self.T_ambient
        self.energy_out = tape.state("atmosphere.energy", energy, 0.0, "energy", OUTSIDE_WEIGHT)
        self.nodes.append(Node("atmosphere", self.p_out, self.T_out, "atmosphere"))

    # ---- nodes

    def node(self, name: str) -> int:
        """Add a node."""
        self.nodes.append(Node(name, self.tape.promise(), self.tape.promise()))
        return len(self.nodes) - 1

    def air(self, node: int, volume: float, film: float, pressure: float | None = None, storage: bool = False) -> None:
        """Add a volume of air to a node; its wall area is that of a cube of the volume.

        ``film`` is in W/(m2 K), inf = isothermal.  Air given to the atmosphere is outside already.
        """
        target = self.nodes[node]
        target.volume += volume
        if math.isinf(film):
            target.isothermal = True
        else:
            target.wall += film * 6.0 * volume ** (2.0 / 3.0)
        if pressure is not None:
            target.start = pressure
        target.storage = target.storage or storage

    def ideal(self, node: int, pressure: int) -> None:
        """Make a node an ideal source of the signal's gauge pressure."""
        self.nodes[node].kind = "ideal"
        self.nodes[node].source = pressure

    def pressure(self, node: int) -> int:
        """Gauge pressure of a node."""
        if node not in self._gauge:
            self._gauge[node] = self.affine(-self.p_ambient, (1.0, self.nodes[node].p))
        return self._gauge[node]

    def temperature(self, node: int) -> int:
        """Temperature of a node."""
        return self.nodes[node].T

    # ---- signals

    def affine(self, constant: float, *terms: tuple[float, int]) -> int:
        """constant + sum of weight x value, two terms at a time."""
        padded = [*terms, *[(0.0, self.zero)] * (2 - len(terms))]
        (w1, x1), (w2, x2) = padded[:2]
        (y,) = self.tape.element(AFFINE, (x1, x2), (constant, w1, w2), "sum")
        return y if len(padded) == 2 else self.affine(0.0, (1.0, y), *padded[2:])

    def table(self, x: int, points: Sequence[tuple[float, float]]) -> int:
        """Piecewise linear table, constant outside, as the sum of its legs."""
        terms = []
        for (x0, y0), (x1, y1) in pairwise(points):
            (leg,) = self.tape.element(LEG, (x,), (x0, x1 - x0), "table")
            terms.append(((y1 - y0) / (x1 - x0), leg))
        return self.affine(points[0][1], *terms)

    def minimum(self, a: int, b: int) -> int:
        """Smaller of two values."""
        return self.tape.element(MINIMUM, (a, b), (), "minimum")[0]

    def maximum(self, a: int, b: int) -> int:
        """Larger of two values."""
        return self.tape.element(MAXIMUM, (a, b), (), "maximum")[0]

    def product(self, a: int, b: int) -> int:
        """Product of two values."""
        return self.tape.element(PRODUCT, (a, b), (), "product")[0]

    def ratio(self, a: int, b: int, least: float) -> int:
        """a over b, which counts as no less than ``least``."""
        return self.tape.element(RATIO, (a, b), (least,), "ratio")[0]

    def ramp(self, x: int, start: float, width: float) -> int:
        """Smooth step 0..1 of (x - start)/width; a negative width falls instead of rising."""
        return self.tape.element(RAMP, (x,), (start, width), "ramp")[0]

    def forced(self, value: int, active: int, to: int) -> int:
        """``value``, or ``to`` while ``active`` is set."""
        return self.tape.element(FORCED, (value, active, to), (), "fault")[0]

    def frozen(self, name: str, value: int, stuck: int) -> int:
        """``value``, or what it was when ``stuck`` was set."""
        held = self.tape.setting(f"{name}.held", 0.0)
        self.captures.append(Capture(stuck, value, held))
        return self.forced(value, stuck, held)

    # ---- valves

    def follower(
        self, name: str, target: int, feedback: int, half_band: float, width: float, lag: float
    ) -> tuple[int, int]:
        """Openings (inlet, exhaust) of a graded valve; with a lag [s] its spool is a state."""
        if lag <= 0.0:
            inlet, exhaust = self.tape.element(FOLLOWER, (target, feedback), (half_band, width), name)
            return inlet, exhaust
        (wanted,) = self.tape.element(SPOOL, (target, feedback), (half_band, width), name)
        position = self._first_order(f"{name}.spool", wanted, lag, 0.0)
        return self.ramp(position, 0.0, 1.0), self.ramp(position, 0.0, -1.0)

    def _first_order(self, name: str, wanted: int, tau: float, start: float) -> int:
        position = self.tape.state(name, 1.0, start, "spool", SPOOL_WEIGHT)
        self.tape.rate(position, wanted, 1.0 / tau)
        self.tape.rate(position, position, -1.0 / tau)
        return position

    def travel(self, name: str, mode: int, tau: float) -> int:
        """Position that follows a mode in first order, at rest at the mode's value at the start."""
        kind, index, _ = self.tape.kind(mode)
        start = self.tape.settings[index][1] if kind == "setting" else 0.0
        return self._first_order(name, mode, tau, start)

    def play(self, name: str, x: int, opens: float, closes: float, width: float, tau: float) -> int:
        """Position 0..1 with memory."""
        position = self.tape.state(name, 1.0, 0.0, "spool", SPOOL_WEIGHT)
        (rate,) = self.tape.element(PLAY, (position, x), (opens, closes, width, tau), name)
        self.tape.rate(position, rate, 1.0)
        return position

    def exclusive(self, name: str, a: int, b: int, middle: int, width: float) -> tuple[int, int]:
        """Openings of the two seats of a double check valve; its shuttle takes its time to let air return."""
        p = [self.nodes[node].p for node in (a, b, middle)]
        feed_a, feed_b, return_a, return_b = self.tape.element(DOUBLE_CHECK, p, (width,), name)
        openings = []
        for side, feed, wanted in (("a", feed_a, return_a), ("b", feed_b, return_b)):
            returns = self._first_order(f"{name}.return_{side}", wanted, SHUTTLE_TIME, 0.0)
            openings.append(self.affine(0.0, (1.0, feed), (1.0, returns)))
        return openings[0], openings[1]

    # ---- flows

    def restriction(
        self, name: str, a: int, b: int, conductance: float, ratio: float, opening: int | None = None
    ) -> int:
        """ISO 6358 flow from a to b times an opening; returns the mass flow."""
        left, right = self.nodes[a], self.nodes[b]
        sources = (left.p, left.T, right.p, right.T, self.one if opening is None else opening)
        q, h = self.tape.element(RESTRICTION, sources, (conductance, ratio, DP_LAMINAR), name)
        left.flows.append((-1.0, q, h))
        right.flows.append((1.0, q, h))
        return q

    def hole(self, name: str, node: int, diameter: int, discharge: float) -> int:
        """Flow to the atmosphere through a sharp hole of variable diameter."""
        square = self.product(diameter, diameter)
        return self.restriction(name, node, ATMOSPHERE, hole_conductance(1.0, discharge), HOLE_RATIO, square)

    def open_end(self, name: str, node: int, bore: float, opening: int) -> int:
        """Flow through an open tube end to the atmosphere."""
        return self.restriction(name, node, ATMOSPHERE, open_end_conductance(bore), OPEN_END_RATIO, opening)

    def compressor(
        self, name: str, node: int, speed: int, loaded: int, displacement: float, efficiency: float,
        clearance: float, temperature: float,
    ) -> int:  # fmt: skip
        """Delivery from the atmosphere into a node; off while the circuit settles."""
        at = self.nodes[node]
        on = self.product(loaded, self.running)
        fields = (self.p_ambient, self.T_ambient, displacement, efficiency, clearance, temperature)
        q, h = self.tape.element(COMPRESSOR, (at.p, speed, on), fields, name)
        at.flows.append((1.0, q, h))
        self.nodes[ATMOSPHERE].flows.append((-1.0, q, h))
        return q

    # ---- actuators

    def chamber(
        self, name: str, node: int, rod: Mapping[str, float], free_stroke: int
    ) -> tuple[int, int]:
        """A brake chamber; ``rod`` holds its numbers by field name.  Returns stroke and force on the brake."""
        s = self.tape.state(f"{name}.stroke", STROKE, 0.0, "stroke")
        sources = (self.nodes[node].p, s, free_stroke)
        rate, force, power = self.tape.element(CHAMBER, sources, self._rod(CHAMBER.fields, rod), name)
        self.tape.rate(s, rate, 1.0)
        self._sweep(node, name, s, rod)
        self.nodes[node].powers.append(power)
        return s, force

    def spring_brake(
        self, name: str, service: int, spring: int, rod: Mapping[str, float], free_stroke: int, spring_force: int,
        spring_rate: int,
    ) -> tuple[int, int, int]:  # fmt: skip
        """A spring-brake actuator; returns stroke, force on the brake and spring-piston travel."""
        s = self.tape.state(f"{name}.stroke", STROKE, 0.0, "stroke")
        z = self.tape.state(f"{name}.spring_travel", STROKE, 0.0, "stroke")
        at, hold = self.nodes[service], self.nodes[spring]
        sources = (at.p, hold.p, s, z, free_stroke, spring_force, spring_rate)
        fields = self._rod(SPRING_BRAKE.fields, rod)
        s_rate, z_rate, force, power, hold_power = self.tape.element(SPRING_BRAKE, sources, fields, name)
        self.tape.rate(s, s_rate, 1.0)
        self.springs.append(self.tape.element_of(z_rate))
        self.tape.rate(z, z_rate, 1.0)
        self._sweep(service, name, s, rod)
        full = rod["piston_area"] * rod["z_max"]
        hold.swept.append((self.affine(full, (-rod["piston_area"], z)), full))
        at.powers.append(power)
        hold.powers.append(hold_power)
        return s, force, z

    def _rod(self, names: Sequence[str], rod: Mapping[str, float]) -> list[float]:
        numbers = {
            "p_ambient": self.p_ambient,
            "stop_stiffness": STOP_STIFFNESS,
            "contact_stiffness": CONTACT_STIFFNESS,
            "damping": DAMPING,
            "foot": FRICTION_FOOT,
            "held": 0.0,
        }
        return [(numbers | dict(rod))[name] for name in names]

    def _sweep(self, node: int, name: str, s: int, rod: Mapping[str, float]) -> None:
        (volume,) = self.tape.element(SWEPT, (s,), (rod["area"], rod["s_max"], rod["decline"]), name)
        self.nodes[node].swept.append((volume, 0.0))

    # ---- events

    def event(
        self, key: tuple[str, str], value: int, level: float, sign: float,
        armed: Mapping[int, float] | None = None, sets: Mapping[int, float] | None = None,
    ) -> None:  # fmt: skip
        """Watch a value pass a level."""
        self.events.append(EventSpec(key, value, level, sign, dict(armed or {}), dict(sets or {})))

    # ---- finish

    def finish(self) -> Program:
        """Give every node its states and rates, and lay the tape out."""
        for node in self.nodes:
            if node.kind == "air":
                self._finish_air(node)
            else:
                self._finish_outside(node)
        return lay_out(self.tape, {"mass": self.mass_out, "energy": self.energy_out})

    def _finish_outside(self, node: Node) -> None:
        """Air of the atmosphere and of ideal sources counts in the atmosphere's balance."""
        if node.kind == "ideal":
            self.tape.keep(node.p, self.affine(self.p_ambient, (1.0, node.source)))
            self.tape.keep(node.T, self.T_out)
        for sign, q, h in node.flows:
            self.tape.rate(self.mass_out, q, sign)
            self.tape.rate(self.energy_out, h, sign)

    def _finish_air(self, node: Node) -> None:
        tape = self.tape
        volume = node.volume or STUB_VOLUME
        start_volume = volume + sum(start for _, start in node.swept)
        p = self.p_ambient + (node.start or 0.0)
        mass_scale = REFERENCE_PRESSURE * volume / (R * self.T_ambient)
        energy_scale = REFERENCE_PRESSURE * volume / (KAPPA - 1.0)
        node.mass = tape.state(
            f"{node.name}.mass", mass_scale, p * start_volume / (R * self.T_ambient), "mass"
        )
        node.energy = tape.state(f"{node.name}.energy", energy_scale, p * start_volume / (KAPPA - 1.0), "energy")
        swept = self.affine(0.0, *[(1.0, value) for value, _ in node.swept]) if node.swept else self.zero
        p_value, T_value = tape.element(VOLUME, (node.mass, node.energy, swept), (volume,), node.name)
        tape.keep(node.p, p_value)
        tape.keep(node.T, T_value)
        wall = node.wall
        if node.isothermal:
            wall = min(ISOTHERMAL_RATE * mass_scale * CV, ISOTHERMAL_WALL)
            self.longest_step = min(self.longest_step, ISOTHERMAL_STEP * mass_scale * CV / wall)
        if wall > 0.0:
            self.exchange(node.energy, self.affine(wall * self.T_ambient, (-wall, T_value)), node.rates)
        else:
            self.adiabatic.append(node.mass)
        for power in node.powers:
            node.rates.append(tape.rate(node.energy, power, -1.0))
            tape.rate(self.energy_out, power, 1.0)
        for sign, q, h in node.flows:
            node.rates.append(tape.rate(node.mass, q, sign))
            node.rates.append(tape.rate(node.energy, h, sign))

    def exchange(self, energy: int, heat: int, rates: list[int]) -> None:
        """Heat from the outside into an energy state."""
        pair = [self.tape.rate(energy, heat, 1.0), self.tape.rate(self.energy_out, heat, -1.0)]
        rates.append(pair[0])
        self.exchanges += pair


