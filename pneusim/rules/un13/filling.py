"""Annex 7, part B: how fast the compressor fills the reservoirs."""

from __future__ import annotations

from collections.abc import Iterator

import networkx

from pneusim.circuit.circuit import Component
from pneusim.circuit.network import graph
from pneusim.quantities import express
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.run import Channel, Run
from pneusim.rules.bench import Bench, exactly, named, never
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture, held_against
from pneusim.rules.limits import Limit
from pneusim.rules.readings import FASTEST, FED
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED, Subject
from pneusim.rules.un13.kinds import cut_in, ready, rigs, stores

TRAILER = 24.0
"""Load on the axles of the trailer that is stood in for [t]: our assumption, three axles of 8 t."""

RIG = "stand_in_behind"
LOOK_EVERY = 5.0  # [s]
DRAWS = ("brake_chamber", "spring_brake_actuator", "coupling_head", "compressor", "foot_valve")
"""Parts that make the reservoir they hang on one of the brakes; a compressor that of the supply."""

BETWEEN = ("reservoir", "four_circuit_valve", "protection_valve")
"""Parts that part a reservoir from what others feed."""


def judge(bench: Bench) -> Iterator[Finding]:
    """t1 and t2 of the slowest braking reservoir; t3 of the slowest auxiliary one where those are large."""
    subject = bench.subject
    p2, source = cut_in(bench)
    p1 = bench.value("fill.share") * p2
    extra = auxiliary(subject)
    tanks = [tank for tank in stores(subject) if tank not in extra]
    if not tanks:
        raise NotJudged("no brake, coupling head or compressor hangs on a reservoir")
    third = _share(subject, extra, tanks) > bench.value("fill.auxiliary.from")
    way = "towing" if subject.vehicle.tows else "alone"
    limits = {figure: bench.limits[f"fill.{figure}.{way}"] for figure in ("p1", "p2", "auxiliary")}
    longest = limits["auxiliary" if third else "p2"].value
    run = _filled(bench, [*tanks, *extra] if third else tanks, p2, longest)
    remark = f"p2 is {source}; compressor at {express(FASTEST, 'rotation')}, our assumption"
    if subject.vehicle.tows:
        stand_in = express(_stand_in(p2), "volume")
        remark += f"; a vessel of {stand_in} in place of a trailer of {TRAILER:g} t, our assumption"
        if run[f"{RIG}.vessel.pressure"].values[-1] < FED:
            raise NotJudged("the vessel in place of the trailer gets no air")
    curves = {tank.name: named(run[f"{tank.name}.pressure"], subject.title(tank)) for tank in (*tanks, *extra)}
    shown = [curves[tank.name] for tank in ([*tanks, *extra] if third else tanks)]
    levels = {"p1": p1, "p2": p2}
    marks = tuple(Mark(f"{p} within {express(limits[p].value, 'time')}", level=level) for p, level in levels.items())
    picture = bench.show(Picture("filling", "Filling, Annex 7, B", tuple(shown), 0.0, (0.0, run.span[1]), marks))
    mine = [curves[tank.name] for tank in tanks]
    yield _slowest(limits["p1"], mine, p1, "t1", remark, picture)
    yield _slowest(limits["p2"], mine, p2, "t2", remark, picture)
    if third:
        yield _slowest(limits["auxiliary"], [curves[tank.name] for tank in extra], p2, "t3", remark, picture)


def auxiliary(subject: Subject) -> list[Component]:
    """Reservoirs on which no brake, no coupling head and no compressor hangs directly."""
    whole = networkx.Graph(graph(subject.circuit))
    parting = {component.name for component in subject.all(*BETWEEN)}
    draws = {component.name for component in subject.all(*DRAWS)}
    found = []
    for tank in subject.reservoirs:
        near = whole.subgraph([node for node in whole if node == tank.name or node not in parting])
        if not draws & networkx.node_connected_component(near, tank.name):
            found.append(tank)
    return found


def _share(subject: Subject, extra: list[Component], tanks: list[Component]) -> float:
    """Volume of auxiliary over that of braking reservoirs."""
    volumes = [sum(float(subject.figure(tank, "volume")) for tank in some) for some in (extra, tanks)]
    return volumes[0] / volumes[1]


def _stand_in(pressure: float) -> float:
    """Volume in place of a trailer [m3]: 20 R/p in L, with R in t and p in bar (Annex 7, B 2.3.3)."""
    return 20.0 * TRAILER / (pressure / 1e5) * 1e-3


def _filled(bench: Bench, tanks: list[Component], level: float, longest: float) -> Run:
    """Pump up from nothing until all reservoirs have come to a level, or as long as is allowed."""
    compressor = bench.subject.one("compressor")
    begin = ready(bench, 0.0) | {f"{compressor.name}.running": 1.0, f"{compressor.name}.speed": FASTEST}
    if bench.subject.vehicle.tows:
        begin |= {f"{RIG}.vessel.volume": _stand_in(level), f"{RIG}.vessel.pressure": 0.0}
    stepper = bench.stepper(begin, rigs(bench, behind=RIG))
    while stepper.time < 1.1 * longest and any(stepper.value(f"{tank.name}.pressure") < level for tank in tanks):
        for control in bench.subject.all("trailer_supply_control"):  # pushed in until it stays
            stepper.set(f"{control.name}.knob", 1.0)
        stepper.advance(LOOK_EVERY)
    return stepper.run()


def _slowest(limit: Limit, curves: list[Channel], level: float, what: str, remark: str, picture: str) -> Finding:
    times = [first_crossing(curve, level, +1, 0.0, float(curve.times[-1])) for curve in curves]
    slow = [curve for curve, time in zip(curves, times, strict=True) if time is None]
    if slow:
        words = f"{what}, {slow[0].label}, 0 to {exactly(level)}"
        return held_against(limit, None, words, f"it {never(slow[0], exactly(level), 0.0)}; {remark}", picture)
    last = max(range(len(curves)), key=lambda k: times[k] or 0.0)
    return held_against(limit, times[last], f"{what}, {curves[last].label}, 0 to {exactly(level)}", remark, picture)


PROCEDURE = Procedure("filling", "Filling times", "Annex 7, B 2", judge, POWERED, 70)
