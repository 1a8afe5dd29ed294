"""393.43(a), (d), (e): the trailer breaks away."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.circuit import Component, Port
from pneusim.circuit.scenario import Step
from pneusim.quantities import express
from pneusim.results.measures.crossing import first_crossing, highest, lowest
from pneusim.results.run import Channel, Run
from pneusim.rules.bench import Bench, exactly, named, time_to
from pneusim.rules.finding import Finding, Mark, NotAddressed, NotJudged, Picture, held_against, not_judged
from pneusim.rules.readings import ACTS, SLACK
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED, Subject
from pneusim.rules.us393.service import KINDS, full_pressure, judged, of, ready, tanks

BREAKS, END, APART = 0.5, 910.5, 0.05
"""When the vehicles part, the end of the test, and how long the couplings take to part [s]."""

AT_ONCE = 3.0
"""Within which time the brakes act at once [s]: our reading, after 49 CFR 571.121 S5.6.3.3; the text has no figure."""

SOON = 5.0
"""What the picture of the first moments shows [s]."""

APPLIED = 0.5
"""Share of a pushrod's highest force down to which the brake stays applied: our reading."""

MANY = 3
"""So many axles and more excuse a trailer from applying all its brakes."""

KEPT = 0.7
"""Share of its pressure that a guarded trailer reservoir keeps: our reading, what one full application may leave."""

SPARED = "a trailer of three or more axles need not apply all its brakes (from memory), and others of it do"


def brakes(bench: Bench) -> Iterator[Finding]:
    """When every brake of the trailers acts after they broke away, and for how long; what the towing vehicle keeps."""
    subject, limit, run = bench.subject, bench.limits["breakaway.held"], _run(bench)
    towed = _towed(subject, subject.brakes)
    forces = [named(run[f"{brake.name}.pushrod_force"], subject.title(brake)) for brake in towed]
    if not forces:
        raise NotJudged("the trailer has no brakes")
    title = "Pushrods of the trailer that broke away, 393.43(d)"
    mark = Mark(express(limit.value, "time"), limit.value)
    span = (-BREAKS, END - BREAKS)
    picture = bench.show(Picture("breakaway", title, tuple(forces), BREAKS, span, (mark,)))
    mark = Mark(f"at once: within {AT_ONCE:g} s, our reading", AT_ONCE)
    title = "Pushrods when the trailer breaks away, 393.43(d)"
    first = bench.show(Picture("breakaway_begins", title, tuple(forces), BREAKS, (-BREAKS, SOON), (mark,)))
    spared = _spared(subject, forces)
    for force in forces:
        if force.name in spared:
            yield not_judged(limit.clause, f"{force.label} acts at once", SPARED)
            continue
        acts = time_to(force, SLACK, +1, BREAKS)
        came = "it never did" if acts is None else f"after {acts:.2f} s"
        why = f"{came}; at once is within {AT_ONCE:g} s: our reading, the text has no figure; {ACTS}"
        yield judged(limit.clause, f"{force.label} acts at once", acts is not None and acts <= AT_ONCE, why, first)
        yield _stays(bench, force, acts, picture)
    kept = bench.limits["breakaway.kept"]
    for curve in tanks(bench, run, [tank for tank in subject.service_reservoirs if not _towed(subject, [tank])]):
        yield held_against(kept, lowest(curve, BREAKS, END), curve.label, f"it started at {exactly(curve(BREAKS))}")


def _spared(subject: Subject, forces: list[Channel]) -> set[str]:
    """Forces that stay away from brakes of trailers with three or more axles, where others of it act."""
    found: set[str] = set()
    for vehicle in subject.combination:
        own = {f"{brake.name}.pushrod_force" for brake in of(vehicle, subject.brakes)}
        idle = {f.name for f in forces if f.name in own and time_to(f, SLACK, +1, BREAKS) is None}
        if len(vehicle.axles) >= MANY and idle != own:
            found |= idle
    return found


def _stays(bench: Bench, force: Channel, acts: float | None, picture: str) -> Finding:
    """For how long a brake stays applied."""
    limit, what = bench.limits["breakaway.held"], f"{force.label} stays applied"
    if acts is None:
        return held_against(limit, None, what, "it never applied", picture)
    top = highest(force, BREAKS, END)
    peak = first_crossing(force, 0.99 * top, +1, BREAKS, END) or BREAKS
    falls = first_crossing(force, APPLIED * top, -1, peak, END)
    share = express(APPLIED, "fraction")
    why = f"it falls to {share} of its highest force then" if falls else "as long as the test lasted"
    why += f"; {express(float(force.values[-1]), 'force')} of at most {express(top, 'force')} at the end"
    return held_against(limit, (falls or END) - BREAKS - acts, what, f"{why}; applied is {share}: our reading", picture)


def backflow(bench: Bench) -> Iterator[Finding]:
    """What each reservoir of the trailers keeps after they broke away, their supply line open."""
    subject, run = bench.subject, _run(bench)
    reservoirs = _towed(subject, subject.reservoirs)
    if not reservoirs:
        raise NotJudged("the trailer has no reservoir")
    curves = tanks(bench, run, reservoirs)
    mark = Mark("kept by a guarded reservoir: our reading", level=KEPT * full_pressure(subject)[0])
    title = "Trailer's reservoirs, supply line open, 393.43(e)"
    picture = bench.show(Picture("backflow", title, curves, BREAKS, (-BREAKS, END - BREAKS), (mark,)))
    for curve in curves:
        share = float(curve.values[-1]) / curve(BREAKS)
        why = (
            f"it keeps {express(share, 'fraction')} of {exactly(curve(BREAKS))} for 15 min; guarded is "
            f"{express(KEPT, 'fraction')}, what one full application may leave: our reading, the text has no figure"
        )
        yield judged("393.43(e)", f"{curve.label}, supply line open", share >= KEPT, why, picture)


def _run(bench: Bench) -> Run:
    """The vehicle with the engine loses what it tows; a trailer alone has lost it from the start."""
    subject = bench.subject
    kinds = {vehicle.name: vehicle.kind for vehicle in subject.combination}
    if not any(kind not in POWERED for kind in kinds.values()):
        raise NotAddressed("it is for towed vehicles")
    components = subject.circuit.components
    couplings = tuple(
        line.name for line in subject.circuit.lines.values()
        if line.coupling and {components[p.component].unit for p in (line.start, line.end)} & _engines(subject)
    )  # fmt: skip
    if not couplings and (head := _occupied(subject)):
        raise NotJudged(f"something that is no vehicle is connected to {head}, and nothing breaks away")
    steps = (Step("separate", at=BREAKS, targets=couplings, over=APART),) if couplings else ()
    return bench.run("The trailer breaks away", steps, END, ready(bench, full_pressure(subject)[0]))


def _occupied(subject: Subject) -> str | None:
    """A front coupling head to which something else than a vehicle is connected."""
    circuit = subject.circuit
    taken = {port for line in circuit.lines.values() if not line.coupling for port in (line.start, line.end)}
    taken |= {port for joint in circuit.joints for port in joint.ports}
    heads = [*subject.heads("supply", "front"), *subject.heads("control", "front")]
    return next((subject.title(head) for head in heads if Port(head.name, "2") in taken), None)


def _engines(subject: Subject) -> set[str]:
    """Names of the vehicles with an engine."""
    return {vehicle.name for vehicle in subject.combination if vehicle.kind in POWERED}


def _towed(subject: Subject, components: list[Component]) -> list[Component]:
    """Those of the components that belong to towed vehicles."""
    return [component for component in components if component.unit not in _engines(subject)]


BREAKAWAY = Procedure("breakaway", "Trailer breakaway", "393.43(d)", brakes, KINDS, 60)
BACKFLOW = Procedure("backflow", "Trailer reservoir guarded", "393.43(e)", backflow, KINDS, 70)
PROCEDURES = (BREAKAWAY, BACKFLOW)
