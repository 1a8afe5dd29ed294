"""An invented tractor with semitrailer of vessels, valves and lines, as plain data and put together on the engine.

29 vessels, valve spaces and chambers, 27 restrictions, 10 lines of 8 cells (16 where one breaks), 8 lagging spools.
The treadle goes down in 0.2 s at 0.5 s, up in 0.1 s at 3 s; at 6 s the supply hose breaks in its middle.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from pneusim.engine.assembly import ATMOSPHERE, Assembly
from pneusim.engine.lines import LineSpec, add_line, break_line
from pneusim.engine.machine import Machine
from tests.benchmarks.measure import Ready

P_AMBIENT, T_AMBIENT = 1e5, 293.15
FULL = 8e5
C = 1e-8
RATIO = 0.3
LASTS = 20.0
ROUGHNESS = 1.5e-6
BREAK_AT = 6.0
BROKEN = "hose_s"
PEDAL = ((0.0, 0.0), (0.5, 0.0), (0.7, 6e5), (3.0, 6e5), (3.1, 0.0), (LASTS, 0.0))  # s, gauge Pa asked for
RESERVOIR_FILM, CHAMBER_FILM = 2.0, 21.0

# Volume [m3] and gauge pressure at the start.
VESSELS = {
    "wet": (30e-3, FULL), "r1": (20e-3, FULL), "r2": (20e-3, FULL), "r3": (20e-3, FULL),
    "ta": (40e-3, FULL), "tb": (30e-3, FULL), "td1": (0.1e-3, 0.0), "td2": (0.1e-3, 0.0),
    "rp": (0.05e-3, 0.0), "rd": (0.15e-3, 0.0), "tc": (0.1e-3, 0.0), "red": (0.05e-3, FULL),
    "yel": (0.05e-3, 0.0), "tin": (0.1e-3, FULL), "p1": (0.05e-3, 0.0), "p2": (0.05e-3, 0.0),
    "d1": (0.15e-3, 0.0), "d2": (0.15e-3, 0.0), "sup": (0.1e-3, FULL),
}  # fmt: skip
CHAMBERS = ("f1", "f2", "q1", "q2", "t1", "t2", "t3", "t4", "t5", "t6")
CHAMBER_VOLUME = 0.25e-3
ROD = {
    "area": 193.5e-4, "s_max": 63.5e-3, "decline": 0.35, "return_preload": 387.0, "return_rate": 3e3,
    "brake_stiffness": 5e5, "friction_base": 39.0, "friction_share": 0.06,
}  # fmt: skip
FREE_STROKE = 14e-3


@dataclass(frozen=True)
class Spool:
    """A valve: what it asks for and what it senses (a vessel, a gauge pressure, or the pedal), width [Pa], lag [s]."""

    target: str | float
    feedback: str | float
    width: float
    lag: float


SPOOLS = {
    "vt1": Spool("pedal", "td1", 15e3, 2e-3), "vt2": Spool("pedal", "td2", 15e3, 2e-3),
    "vr": Spool("rp", "rd", 20e3, 3e-3), "vc": Spool("td2", "tc", 20e3, 3e-3),
    "v1": Spool("p1", "d1", 20e3, 3e-3), "v2": Spool("p2", "d2", 20e3, 3e-3),
    "ve": Spool(3e5, "tin", 50e3, 5e-3), "vp": Spool("red", 3.5e5, 50e3, 5e-3),
}  # fmt: skip
# From, to (None = outside), conductance, opening: "" open, "+x" or "-x" side of a spool, "check" against return.
CHECK_WIDTH = 5e3
RESTRICTIONS: tuple[tuple[str, str | None, float, str], ...] = (
    ("wet", "r1", 6 * C, "check"), ("wet", "r2", 6 * C, "check"), ("wet", "r3", 6 * C, "check"),
    ("tin", "ta", 10 * C, "check"), ("ta", "tb", 12 * C, ""),
    ("r1", "td1", 15 * C, "+vt1"), ("td1", None, 15 * C, "-vt1"), ("r2", "td2", 10 * C, "+vt2"),
    ("td2", None, 10 * C, "-vt2"), ("r2", "rd", 25 * C, "+vr"), ("rd", None, 25 * C, "-vr"),
    ("r3", "tc", 15 * C, "+vc"), ("tc", None, 15 * C, "-vc"), ("ta", "d1", 25 * C, "+v1"),
    ("d1", None, 25 * C, "-v1"), ("tb", "d2", 25 * C, "+v2"), ("d2", None, 25 * C, "-v2"),
    ("ta", "p1", 5 * C, "+ve"), ("r3", "sup", 8 * C, "+vp"),
    *((("d1", "d2")[k // 3], f"t{k + 1}", 8 * C, "") for k in range(6)),
)  # fmt: skip
# From, to, length, bore [m].
LINES = {
    "front_1": ("td1", "f1", 4.0, 9e-3), "front_2": ("td1", "f2", 4.0, 9e-3), "pilot": ("td2", "rp", 5.0, 6e-3),
    "rear_1": ("rd", "q1", 1.5, 10e-3), "rear_2": ("rd", "q2", 1.5, 10e-3), "supply": ("sup", "red", 6.0, 9e-3),
    "control": ("tc", "yel", 6.0, 9e-3), "hose_s": ("red", "tin", 10.0, 9e-3), "hose_c": ("yel", "p1", 10.0, 9e-3),
    "trailer": ("p1", "p2", 3.0, 9e-3),
}  # fmt: skip


def make(cells: int = 8, lasts: float = LASTS) -> Ready:
    """Put the circuit together."""
    a = Assembly(P_AMBIENT, T_AMBIENT)
    nodes = {}
    for name, (volume, pressure) in VESSELS.items():
        nodes[name] = a.node(name)
        a.air(nodes[name], volume, RESERVOIR_FILM, pressure)
    free = a.tape.setting("free stroke", FREE_STROKE)
    for name in CHAMBERS:
        nodes[name] = a.node(name)
        a.air(nodes[name], CHAMBER_VOLUME, CHAMBER_FILM, 0.0)
        a.chamber(name, nodes[name], ROD, free)
    pedal = a.tape.input("pedal", 0.0)

    def signal(what: str | float) -> int:
        if isinstance(what, float):
            return a.affine(what)
        return pedal if what == "pedal" else a.pressure(nodes[what])

    openings: dict[str, int | None] = {"": None}
    for name, s in SPOOLS.items():
        openings[f"+{name}"], openings[f"-{name}"] = a.follower(
            name, signal(s.target), signal(s.feedback), 0.0, s.width, s.lag
        )
    for start, end, conductance, how in RESTRICTIONS:
        opening = openings.get(how)
        if how == "check":
            assert end is not None
            opening = a.ramp(a.affine(0.0, (1.0, signal(start)), (-1.0, signal(end))), 0.0, CHECK_WIDTH)
        a.restriction(f"{start}-{end}", nodes[start], ATMOSPHERE if end is None else nodes[end], conductance, RATIO,
                      opening)  # fmt: skip
    lines = {}
    for name, (start, end, length, bore) in LINES.items():
        fault = 0.5 if name == BROKEN else None
        spec = LineSpec(name, length, bore, ROUGHNESS, cells=cells, fault_at=fault)
        lines[name] = add_line(a, spec, nodes[start], nodes[end])
    watched = [a.pressure(node) for node in nodes.values()]
    machine = Machine.of(a)
    actions: list[tuple[float, Callable[[], object]]] = []
    for (t0, p0), (t1, p1) in pairwise(PEDAL):
        actions.append((t0, lambda p=p0, slope=(p1 - p0) / (t1 - t0): machine.move(pedal, p, slope)))
    actions.append((BREAK_AT, lambda: break_line(machine, a, lines[BROKEN])))
    places = [machine.place(value) for value in watched]
    return Ready(machine, places, [action for action in actions if action[0] < lasts], lasts)
