"""Random networks: descriptions drawn from a seed or by hypothesis, and the benches they become."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

import numpy as np
from hypothesis import strategies as st

from pneusim.engine.lines import AssembledLine, add_leak, block_line, break_line, mend_line
from pneusim.engine.machine import Machine
from tests.engine.bench import ADIABATIC, ATMOSPHERE, ISOTHERMAL, ROD, SPRING_ROD, Bench, C

T = TypeVar("T")
LASTS = 0.6  # [s]
OPEN_AIR, SOURCE = -1, -2
FILMS = (ADIABATIC, 25.0, 60.0, ISOTHERMAL)


@dataclass(frozen=True)
class Vessel:
    volume: float
    pressure: float
    film: float
    actuator: str  # "", "chamber" or "spring"


@dataclass(frozen=True)
class Link:
    """Something between two places; -1 is the atmosphere, -2 the ideal source."""

    kind: str  # "valve", "check", "graded", "line"
    start: int
    end: int
    conductance: float
    length: float
    bore: float


@dataclass(frozen=True)
class Happening:
    """What befalls a link at a time."""

    time: float
    link: int
    what: str  # "toggle", "break", "mend", "block", "leak"


@dataclass(frozen=True)
class Network:
    vessels: tuple[Vessel, ...]
    links: tuple[Link, ...]
    happenings: tuple[Happening, ...]


class Draw(Protocol):
    """Where the numbers of a network come from."""

    def integer(self, low: int, high: int) -> int:
        """Both ends included."""

    def number(self, low: float, high: float) -> float: ...

    def choice(self, of: Sequence[T]) -> T: ...


class Seeded:
    """Numbers of a seeded generator."""

    def __init__(self, seed: int) -> None:
        self.rng = np.random.default_rng(seed)

    def integer(self, low: int, high: int) -> int:
        return int(self.rng.integers(low, high + 1))

    def number(self, low: float, high: float) -> float:
        return float(self.rng.uniform(low, high))

    def choice(self, of: Sequence[T]) -> T:
        return of[self.integer(0, len(of) - 1)]


class Drawn:
    """Numbers that hypothesis draws, and shrinks."""

    def __init__(self, draw: st.DrawFn) -> None:
        self.draw = draw

    def integer(self, low: int, high: int) -> int:
        return self.draw(st.integers(low, high))

    def number(self, low: float, high: float) -> float:
        return self.draw(st.floats(low, high))

    def choice(self, of: Sequence[T]) -> T:
        return self.draw(st.sampled_from(of))


def network(d: Draw) -> Network:
    """From 2 to 7 vessels of 5 cm3 to 40 L in a tree, with more links, an actuator here and there, and faults."""

    def logarithmic(low: float, high: float) -> float:
        return math.exp(d.number(math.log(low), math.log(high)))

    def vessel() -> Vessel:
        actuator = d.choice(["", "", "chamber", "spring"])
        # The air of an actuator begins at rest: a piston at its stop under 10 bar would be shot off.
        pressure = 0.0 if actuator else d.choice([0.0, 2e5, 5e5, 8e5, 10e5]) * d.number(0.5, 1.0)
        return Vessel(logarithmic(50e-6 if actuator else 5e-6, 40e-3), pressure, d.choice(FILMS), actuator)

    def link(ends: tuple[int, int]) -> Link:
        kind = d.choice(["valve", "check", "graded", "line", "line"])
        return Link(kind, *ends, logarithmic(0.02, 30.0) * C, logarithmic(0.2, 15.0), d.number(3e-3, 14e-3))

    vessels = tuple(vessel() for _ in range(d.integer(2, 7)))
    last = len(vessels) - 1
    pairs = [(d.integer(0, k - 1), k) for k in range(1, last + 1)]
    pairs += [(d.integer(SOURCE, last), d.integer(0, last)) for _ in range(d.integer(0, 4))]
    pairs += [(d.integer(0, last), OPEN_AIR) for _ in range(d.integer(0, 1))]
    links = tuple(link(pair) for pair in pairs if pair[0] != pair[1])
    deeds = ["toggle", "break", "mend", "block", "leak"]
    happenings = tuple(
        Happening(d.number(0.0, LASTS), d.integer(0, len(links) - 1), d.choice(deeds)) for _ in range(d.integer(0, 6))
    )
    return Network(vessels, links, happenings)


@st.composite
def networks(draw: st.DrawFn) -> Network:
    """Networks for hypothesis."""
    return network(Drawn(draw))


@dataclass
class Built:
    """A network as a bench and a machine, with what is to happen."""

    bench: Bench
    machine: Machine
    actions: list[tuple[float, Callable[[], object]]]


def build(network: Network) -> Built:
    """Assemble a network; every absolute pressure in it is watched under a name that begins with ``p:``."""
    b = Bench()
    source, _ = b.source("source", 8.5e5)
    places = [b.volume(f"v{k}", v.volume, v.pressure, v.film) for k, v in enumerate(network.vessels)]
    for k, vessel in enumerate(network.vessels):
        _actuator(b, k, vessel, places[k])
    where = {OPEN_AIR: ATMOSPHERE, SOURCE: source, **dict(enumerate(places))}
    settings, lines, holes = {}, {}, {}
    for k, link in enumerate(network.links):
        a, e = where[link.start], where[link.end]
        if link.kind == "line":
            faulty = any(h.link == k and h.what in ("break", "leak") for h in network.happenings)
            lines[k] = b.line(f"l{k}", a, e, link.length, link.bore, fault_at=0.5 if faulty else None)
            if faulty:
                holes[k] = b.a.tape.setting(f"l{k}.hole", 0.0)
                add_leak(b.a, lines[k], holes[k])
        else:
            settings[k] = _valve(b, k, link, a, e)
    for k in range(len(places)):
        b.watch[f"p:v{k}"] = b.a.nodes[places[k]].p
    for k, line in lines.items():
        b.watch |= {f"p:l{k}.{i}": cell.p for i, cell in enumerate(line.cells)}
    machine = b.machine()
    actions = [(h.time, _action(b, machine, h, settings, lines, holes)) for h in network.happenings]
    return Built(b, machine, actions)


def _actuator(b: Bench, k: int, vessel: Vessel, node: int) -> None:
    setting = b.a.tape.setting
    if vessel.actuator == "chamber":
        b.a.chamber(f"a{k}", node, ROD, setting(f"a{k}.free", 14e-3))
    if vessel.actuator == "spring":
        hold = b.volume(f"h{k}", 0.3e-3, 6e5, 60.0)
        b.a.spring_brake(f"a{k}", node, hold, SPRING_ROD, setting(f"a{k}.free", 20e-3), setting(f"a{k}.f", 7600.0),
                         setting(f"a{k}.k", 45e3))  # fmt: skip
        b.valve(f"a{k}.dump", hold, ATMOSPHERE, 2 * C)


def _valve(b: Bench, k: int, link: Link, start: int, end: int) -> int:
    """A valve of a link; returns the setting that opens it."""
    on = b.a.tape.setting(f"k{k}.on", 1.0)
    pressure = [b.a.pressure(node) if node != ATMOSPHERE else b.a.zero for node in (start, end)]
    opening = on
    if link.kind == "check":
        ahead = b.a.affine(0.0, (1.0, pressure[0]), (-1.0, pressure[1]))
        opening = b.a.product(on, b.a.ramp(ahead, 3e3, 7e3))
    if link.kind == "graded":
        inlet, exhaust = b.a.follower(f"k{k}", b.a.affine(4e5), pressure[1], 5e3, 30e3, 0.0)
        opening = b.a.product(on, inlet)
        b.a.restriction(f"k{k}.exhaust", end, ATMOSPHERE, link.conductance, 0.3, exhaust)
    b.a.restriction(f"k{k}", start, end, link.conductance, 0.3, opening)
    return on


def _action(
    b: Bench, m: Machine, h: Happening, settings: dict[int, int], lines: dict[int, AssembledLine],
    holes: dict[int, int],
) -> Callable[[], object]:  # fmt: skip
    if h.link in settings:
        return lambda: m.set(settings[h.link], 1.0 - m.setting(settings[h.link]))
    if h.link not in lines:
        return lambda: None
    line = lines[h.link]
    deeds: dict[str, Callable[[], object]] = {
        "toggle": lambda: None,
        "break": lambda: break_line(m, b.a, line),
        "leak": lambda: m.set(holes[h.link], 3e-3),
        "mend": lambda: mend_line(m, line),
        "block": lambda: block_line(m, line),
    }
    return deeds[h.what]
