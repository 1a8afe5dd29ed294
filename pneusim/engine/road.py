"""Wheels on a road: what turns the torques of brakes into the motion of a chain of units.

Every unit stands on two supports, so that its loads follow from moments alone; its speed and place are states of its
own, so that a hitch that opens changes one number and no layout.  Nothing here needs an event: brakes hold by a clipped
law.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from pneusim.engine.assembly import Assembly
from pneusim.engine.families import (
    AIR_DRAG,
    BURCKHARDT,
    CREEP,
    GRIP,
    LEG,
    MAGIC,
    PULL,
    SKID,
    SUPPORT,
    TREAD,
    WHEEL_BRAKE,
)
from pneusim.engine.machine import Machine
from pneusim.quantities import STANDARD_GRAVITY

# Numerical: they keep the equations smooth.
STICK_TIME = 2e-3  # of brakes and of what skids, within which they come to rest [s]
SHORTEST_RELAXATION = 0.02  # relaxation length of a tyre that slides [m]
SLOWEST = 0.1  # speed below which slip counts against this [m/s]
LIGHTEST = 100.0  # load below which friction used counts against this [N]
# Assumptions.
TREAD_DAMPING, TREAD_RESTING = 1e-3, 0.06  # slip for each metre per second of sliding, and at rest besides [s/m]
PITCH_TIME = 0.12  # lag of the loads behind the deceleration: springs that pitch at 1.3 Hz [s]
CONTACT_LENGTH = 0.2  # over which a wheel comes from one surface to the next: the length of a truck tyre's print [m]
LEAST_LEFT = 0.1  # share of its torque that a brake keeps however hot it is [-]
STILL_COOLING, MOVING_COOLING = 15.0, 1.5  # of a brake: at rest [W/K], and for each m/s [W s/(K m)]
COOL = 339.15  # 66 degC, up to which a brake gives all of its torque: the state of published stops, from memory [K]
SPEED, PLACE, SLIP, LOAD, HEAT = 10.0, 10.0, 0.1, 1e4, 1e6  # scales of states
HEAT_WEIGHT = 100.0
WARMTH = 100.0  # scale of temperatures of brakes [K]


@dataclass(frozen=True)
class GripSpec:
    """Friction law of a tyre on a surface: ``burckhardt`` (c1, c2, c3, fading) or ``magic`` (B, C, D, E, fading)."""

    law: str
    numbers: tuple[float, ...]


@dataclass(frozen=True)
class DrumSpec:
    """What a brake's heat warms: heat capacity [J/K]; shares of torque [1/K] and stroke [m/K] lost above `COOL`.

    ``growths`` are promised values of what the free stroke grows by [m].
    """

    capacity: float
    fade: float
    hot_stroke: float
    growths: tuple[int, ...] = ()


@dataclass(frozen=True)
class WheelSpec:
    """One end of an axle.

    ``support`` is 0 or 1, ``share`` that of this end in the support's load [-]; ``place`` is rearward from the first
    unit's datum [m]; ``radius`` is that of the tyre [m], ``inertia`` that of wheel, tyre and drum [kg m2]; ``capacity``
    is the value of the torque that its brake can give at most [N m].  ``rolling`` is the moment of rolling over load
    times radius [-], ``relaxation`` the relaxation length at small slip [m], ``load_sensitivity`` the share of friction
    lost when the load doubles [-], ``rated_load`` the load for which friction holds [N].  ``grips`` are the surfaces
    with the places from which on they count [m].
    """

    name: str
    support: int
    share: float
    place: float
    radius: float
    inertia: float
    capacity: int
    rolling: float
    relaxation: float
    load_sensitivity: float
    rated_load: float
    grips: tuple[tuple[float, GripSpec], ...]
    drum: DrumSpec | None = None


@dataclass(frozen=True)
class UnitSpec:
    """A unit of the chain, places rearward from its own datum, heights from the ground [m].

    ``mass`` [kg], place and height of its ``centre`` of mass; places of its two ``supports``, and the ``loads`` on them
    at the start [N]; ``drag`` is half the density of air times drag area [kg/m], ``skid`` friction of what skids [-].
    ``carried``: its front support is the hitch, on which it skids when it comes off.
    """

    name: str
    mass: float
    centre: float
    height: float
    supports: tuple[float, float]
    loads: tuple[float, float]
    carried: bool
    front_height: float
    rear_at: float
    rear_height: float
    drag: float
    skid: float
    wheels: tuple[WheelSpec, ...]


@dataclass(frozen=True)
class Wheel:
    """Values of a wheel."""

    spec: WheelSpec
    v: int
    slip: int
    force: int  # on the vehicle, forward positive
    torque: int
    load: int
    temperature: int = -1  # of the brake, -1 = it stays cool


@dataclass
class Unit:
    """Values of a unit; ``hitched`` (a setting) and ``hitch_force`` are of its front hitch."""

    spec: UnitSpec
    V: int
    X: int
    loads: tuple[int, int]
    hitched: int
    wheels: list[Wheel] = field(default_factory=list)
    acceleration: int = -1
    hitch_force: int = -1
    brake_heat: int = -1
    tyre_heat: int = -1
    drag_heat: int = -1


@dataclass(frozen=True)
class Chain:
    """The units of a chain from the front, and the slope that they stand on: sine, downhill positive."""

    units: tuple[Unit, ...]
    slope: float


def add_chain(a: Assembly, specs: Sequence[UnitSpec], speed: float, slope: tuple[float, float]) -> Chain:
    """Put a chain of units on the road.

    Parameters
    ----------
    a : Assembly
    specs : sequence of UnitSpec
        From the front.
    speed : float
        At the start [m/s].
    slope : tuple of float
        Sine (downhill positive) and cosine of the slope.
    """
    units = [_unit(a, spec, speed, first=n == 0) for n, spec in enumerate(specs)]
    forces = [_forces(a, unit, slope[0]) for unit in units]
    sums, masses = _sums(a, units, forces)
    for n, unit in enumerate(units):
        ahead = units[n - 1].acceleration if n else a.zero
        (unit.acceleration,) = a.tape.element(PULL, (sums[n], masses[n], ahead, unit.hitched), (), unit.spec.name)
        pulled = a.affine(0.0, (1.0, a.product(masses[n], unit.acceleration)), (-1.0, sums[n]))
        unit.hitch_force = a.product(unit.hitched, pulled) if n else a.zero
        _moves(a, unit)
    _stand(a, units, slope)
    return Chain(tuple(units), slope[0])


def _unit(a: Assembly, spec: UnitSpec, speed: float, *, first: bool) -> Unit:
    tape, name = a.tape, spec.name
    V = tape.state(f"{name}.speed", SPEED, speed, "speed")
    X = tape.state(f"{name}.distance", PLACE, 0.0, "place")
    front, rear = (
        tape.state(f"{name}.{end}_load", LOAD, load, "load")
        for end, load in zip(("front", "rear"), spec.loads, strict=True)
    )
    unit = Unit(spec, V, X, (front, rear), a.zero if first else tape.setting(f"{name}.hitched", 1.0))
    unit.wheels = [_wheel(a, wheel, unit, speed) for wheel in spec.wheels]
    return unit


def _wheel(a: Assembly, spec: WheelSpec, unit: Unit, speed: float) -> Wheel:
    tape, name = a.tape, spec.name
    v = tape.state(f"{name}.speed", SPEED, speed, "speed")
    k = tape.state(f"{name}.slip", SLIP, 0.0, "slip")
    load = a.affine(0.0, (spec.share, unit.loads[spec.support]))
    (tread,) = tape.element(TREAD, (unit.V, v, k), (TREAD_DAMPING, TREAD_RESTING), name)
    friction, slope = _friction(a, spec, tread, k, unit)
    (creep,) = tape.element(CREEP, (unit.V, v, k, slope), (spec.relaxation, SHORTEST_RELAXATION), name)
    (force,) = tape.element(GRIP, (load, friction), (spec.load_sensitivity, spec.rated_load), name)
    temperature, capacity = _drum(a, spec) if spec.drum else (-1, spec.capacity)
    numbers = (spec.radius, spec.inertia, STICK_TIME, spec.rolling)
    torque, v_rate = tape.element(WHEEL_BRAKE, (force, v, capacity, load), numbers, name)
    if spec.drum:
        _warm(a, spec.drum, temperature, (1.0 / spec.radius, a.product(torque, v)), unit.V)
    a.motions += [tape.rate(k, creep, 1.0), tape.rate(v, v_rate, 1.0)]
    sliding = a.affine(0.0, (1.0, unit.V), (-1.0, v))
    return Wheel(spec, v, a.ratio(sliding, unit.V, SLOWEST), force, torque, load, temperature)


def _drum(a: Assembly, spec: WheelSpec) -> tuple[int, int]:
    """Temperature of a brake, and the torque that it can give as hot as it is; its stroke grows with it."""
    drum = spec.drum
    assert drum is not None
    temperature = a.tape.state(f"{spec.name}.temperature", WARMTH, a.T_ambient, "temperature")
    above = a.maximum(a.affine(-COOL, (1.0, temperature)), a.zero)
    for growth in drum.growths:
        a.tape.keep(growth, a.affine(0.0, (drum.hot_stroke, above)))
    left = a.maximum(a.affine(1.0, (-drum.fade, above)), a.affine(LEAST_LEFT))
    return temperature, a.product(left, spec.capacity)


def _warm(a: Assembly, drum: DrumSpec, temperature: int, power: tuple[float, int], V: int) -> None:
    """Heat of the brake into its drum, and off it into the air, the more the faster the vehicle goes."""
    weight, moment = power
    warmer = a.affine(-a.T_ambient, (1.0, temperature))
    cooling = a.product(a.affine(STILL_COOLING, (MOVING_COOLING, V)), warmer)
    a.motions += [
        a.tape.rate(temperature, moment, weight / drum.capacity),
        a.tape.rate(temperature, cooling, -1.0 / drum.capacity),
    ]


def _friction(a: Assembly, spec: WheelSpec, tread: int, k: int, unit: Unit) -> tuple[int, int]:
    """Friction and slope of the slip curve where the wheel stands: its surfaces, each as far as it touches it."""
    found = []
    for grip, share in _shares(a, spec, unit.X).items():
        family = BURCKHARDT if grip.law == "burckhardt" else MAGIC
        pair = a.tape.element(family, (tread, k, unit.V), grip.numbers, spec.name)
        found.append(pair if share is None else tuple(a.product(share, value) for value in pair))
    if len(found) == 1:
        return found[0][0], found[0][1]
    friction, slope = (a.affine(0.0, *[(1.0, values[i]) for values in found]) for i in (0, 1))
    return friction, slope


def _shares(a: Assembly, spec: WheelSpec, X: int) -> dict[GripSpec, int | None]:
    """How much of the contact lies on each surface; None = all of it, always."""
    first = spec.grips[0][1]
    if all(grip == first for _, grip in spec.grips):
        return {first: None}
    terms: dict[GripSpec, list[tuple[float, int]]] = {first: []}
    for (_, before), (start, grip) in pairwise(spec.grips):
        (come,) = a.tape.element(LEG, (X,), (start + spec.place - CONTACT_LENGTH, CONTACT_LENGTH), spec.name)
        terms.setdefault(grip, []).append((1.0 / CONTACT_LENGTH, come))
        terms[before].append((-1.0 / CONTACT_LENGTH, come))
    return {grip: a.affine(1.0 if grip == first else 0.0, *found) for grip, found in terms.items()}


def _forces(a: Assembly, unit: Unit, slope: float) -> int:
    """Sum of the forces along the road on a unit, hitches and what skids aside; its heats."""
    spec, tape = unit.spec, a.tape
    (drag,) = tape.element(AIR_DRAG, (unit.V,), (spec.drag,), spec.name)
    # The heat of each kind: power that the wheels' sliding, the brakes and the air take.
    slid = [a.product(wheel.force, a.affine(0.0, (1.0, unit.V), (-1.0, wheel.v))) for wheel in unit.wheels]
    braked = [(1.0 / wheel.spec.radius, a.product(wheel.torque, wheel.v)) for wheel in unit.wheels]
    unit.tyre_heat = _heat(a, f"{spec.name}.tyre_heat", [(-1.0, power) for power in slid])
    unit.brake_heat = _heat(a, f"{spec.name}.brake_heat", braked)
    unit.drag_heat = _heat(a, f"{spec.name}.drag_heat", [(-1.0, a.product(drag, unit.V))])
    return a.affine(spec.mass * STANDARD_GRAVITY * slope, (1.0, drag), *[(1.0, wheel.force) for wheel in unit.wheels])


def _heat(a: Assembly, name: str, powers: Sequence[tuple[float, int]]) -> int:
    heat = a.tape.state(name, HEAT, 0.0, "heat", HEAT_WEIGHT)
    a.motions += [a.tape.rate(heat, power, weight) for weight, power in powers]
    return heat


def _sums(a: Assembly, units: Sequence[Unit], forces: Sequence[int]) -> tuple[list[int], list[int]]:
    """Force and mass of every unit with all that hangs on it; the nose of one that has come off skids."""
    sums, masses = [a.zero] * len(units), [a.zero] * len(units)
    for n in reversed(range(len(units))):
        unit = units[n]
        mass, force = a.affine(unit.spec.mass), forces[n]
        if n + 1 < len(units):
            behind = units[n + 1].hitched
            mass = a.affine(unit.spec.mass, (1.0, a.product(behind, masses[n + 1])))
            force = a.affine(0.0, (1.0, force), (1.0, a.product(behind, sums[n + 1])))
        if n and unit.spec.carried:
            force = _skid(a, unit, force, mass)
        sums[n], masses[n] = force, mass
    return sums, masses


def _skid(a: Assembly, unit: Unit, force: int, mass: int) -> int:
    free = a.affine(1.0, (-1.0, unit.hitched))
    numbers = (unit.spec.skid, STICK_TIME)
    (skid,) = a.tape.element(SKID, (force, unit.V, unit.loads[0], free, mass), numbers, unit.spec.name)
    a.motions.append(a.tape.rate(unit.drag_heat, a.product(skid, unit.V), -1.0))
    return a.affine(0.0, (1.0, force), (1.0, skid))


def _moves(a: Assembly, unit: Unit) -> None:
    a.motions += [a.tape.rate(unit.V, unit.acceleration, 1.0), a.tape.rate(unit.X, unit.V, 1.0)]


def _stand(a: Assembly, units: Sequence[Unit], slope: tuple[float, float]) -> None:
    """Loads of all supports, from the rear: a unit carries what the next one puts on it."""
    sine, cosine = slope
    carried, pulled = a.zero, a.zero
    for n in reversed(range(len(units))):
        unit, spec = units[n], units[n].spec
        weight = spec.mass * STANDARD_GRAVITY
        numbers = (
            weight * cosine, spec.mass, weight * sine, *spec.supports, spec.centre, spec.height,
            spec.front_height, spec.rear_height, spec.rear_at,
        )  # fmt: skip
        wanted = a.tape.element(SUPPORT, (unit.acceleration, unit.hitch_force, pulled, carried), numbers, spec.name)
        for load, static in zip(unit.loads, wanted, strict=True):
            a.tape.rate(load, static, 1.0 / PITCH_TIME)
            a.tape.rate(load, load, -1.0 / PITCH_TIME)
        carried = a.product(unit.hitched, wanted[0]) if n and spec.carried else a.zero
        pulled = unit.hitch_force


def kinetic_energy(machine: Machine, chain: Chain) -> float:
    """Energy of all that moves [J]."""
    return sum(
        0.5 * unit.spec.mass * machine.get_state(unit.V) ** 2
        + sum(0.5 * w.spec.inertia * (machine.get_state(w.v) / w.spec.radius) ** 2 for w in unit.wheels)
        for unit in chain.units
    )


def heat(machine: Machine, chain: Chain) -> float:
    """Energy that brakes, tyres, air and skidding have turned into heat since the start [J]."""
    heats = (heat for unit in chain.units for heat in (unit.brake_heat, unit.tyre_heat, unit.drag_heat))
    return sum(map(machine.get_state, heats))


def descent(machine: Machine, chain: Chain) -> float:
    """Energy that the slope has given since the start [J]."""
    return sum(unit.spec.mass * STANDARD_GRAVITY * chain.slope * machine.get_state(unit.X) for unit in chain.units)
