"""Annex 7, part A, 1.2, and 5.2.1.13: what is left in a motor vehicle's reservoirs after full strokes."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from pneusim.quantities import STANDARD_GRAVITY
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture, held_against, not_judged
from pneusim.rules.limits import Limit
from pneusim.rules.quotient import STATIC, braking_quotient
from pneusim.rules.readings import FED
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.un13.kinds import cut_in, rigs, stores
from pneusim.rules.un13.strokes import Strokes, by_pedal
from pneusim.simulate.stepper import Stepper

EIGHT = 8
RIG = "half_litre_behind"
LINE = f"{RIG}.vessel.pressure"
ROOM = 1.3
"""How much longer than the run a picture is, to hold the words of the last mark."""

DRAINED = 1.0
"""How long the vessel on the control line is open to the atmosphere [s]."""


def eight(bench: Bench) -> Iterator[Finding]:
    """The ninth application gives secondary braking; the control line's eighth has half the pressure of its first."""
    stores(bench.subject)
    pressure, source = cut_in(bench)
    test = by_pedal(bench, EIGHT + 1, pressure, rigs(bench, behind=RIG), partial(_emptied, bench))
    remark = f"from {exactly(pressure)}, {source}{test.remark}"
    yield _secondary(bench, test, "Annex 7, A 1.2.1", "storage", "ninth application after eight", remark)
    if bench.subject.vehicle.tows:
        limit = bench.limits["storage.coupling"]
        line = named(test.run[LINE], "vessel of 0.5 L on the control line")
        half = limit.value * test.held[0][LINE]
        marks = (_mark(test, 1, "first"), _mark(test, EIGHT, "eighth: half of the first", half))
        title = "Control line in eight applications, Annex 7, A 1.2.2.3"
        picture = bench.show(Picture("storage_coupling", title, (line,), 0.0, (0.0, ROOM * test.run.span[1]), marks))
        if test.held[0][LINE] < FED:
            yield held_against(limit, None, line.label, "the control line gets no pressure", picture)
            return
        first, last = (exactly(test.held[k - 1][LINE]) for k in (1, EIGHT))
        what = f"{line.label}: {first} in the first, {last} in the eighth application"
        yield held_against(limit, test.share(LINE, EIGHT), what, remark, picture)


def four_plus_one(bench: Bench) -> Iterator[Finding]:
    """After the warning and four strokes the fifth gives secondary braking."""
    stores(bench.subject)
    switches = bench.subject.all("pressure_switch")
    if not switches:
        raise NotJudged("the circuit has no pressure switch, so its warning level is not known")
    levels = {switch.name: float(bench.subject.figure(switch, "closes_below")) for switch in switches}
    lowest = min(levels, key=lambda name: levels[name])
    test = by_pedal(bench, 5, levels[lowest], rigs(bench))
    remark = f"all reservoirs from {exactly(levels[lowest])}, where the {bench.subject.called(lowest)} warns"
    remark += test.remark
    yield _secondary(bench, test, "5.2.1.13", "four_plus_one", "fifth application after four", remark)


def _emptied(bench: Bench, stepper: Stepper) -> None:
    """The vessel behind a vehicle that tows is emptied before an application."""
    if bench.subject.vehicle.tows:
        drain = f"{RIG}.drain.position"
        stepper.set(drain, 1.0)
        stepper.advance(DRAINED)
        stepper.set(drain, 0.0)


def _secondary(bench: Bench, test: Strokes, clause: str, name: str, what: str, remark: str) -> Finding:
    """The last application held against secondary braking, or what it comes to where there is no braking force."""
    subject, last = bench.subject, len(test.held)
    curves = tuple(named(test.run[f"{tank.name}.pressure"], subject.title(tank)) for tank in subject.reservoirs)
    mark, span = _mark(test, last, what.partition(" ")[0]), (0.0, ROOM * test.run.span[1])
    picture = bench.show(Picture(name, f"Reservoirs, {what}, {clause}", curves, 0.0, span, (mark,)))
    left = ", ".join(f"{curve.label} {exactly(test.held[-1][curve.name])}" for curve in curves)
    told = f"{remark}; left in it: {left}"
    try:
        deceleration = STANDARD_GRAVITY * braking_quotient(subject, test.run)(test.times[-1])
    except NotJudged as reason:
        return not_judged(clause, what, f"{reason}; {told}")
    limit = bench.limits["secondary.bus" if subject.vehicle.kind == "bus" else "secondary.goods"]
    return held_against(_under(limit, clause), deceleration, what, f"{STATIC}, springs caged; {told}", picture)


def _under(limit: Limit, clause: str) -> Limit:
    """A limit of Annex 4 that another clause asks for."""
    return Limit(limit.name, clause, limit.words, limit.sense, limit.value, limit.dimension, limit.source,
                 f"limit of {limit.clause}")  # fmt: skip


def _mark(test: Strokes, number: int, words: str, level: float | None = None) -> Mark:
    return Mark(words, test.times[number - 1], level)


EIGHT_STROKES = Procedure("storage", "Eight applications without recharge", "Annex 7, A 1.2", eight, POWERED, 40)
FOUR_PLUS_ONE = Procedure("four_plus_one", "Four applications and one after the warning", "5.2.1.13", four_plus_one,
                          POWERED, 50)  # fmt: skip
PROCEDURES = (EIGHT_STROKES, FOUR_PLUS_ONE)
