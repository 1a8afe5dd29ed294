"""Annex 7, part A, 1.3: what a trailer's brakes get in the eighth application without recharge."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.results.run import Channel
from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import MET, MISSED, Finding, Mark, Picture, held_against
from pneusim.rules.readings import ACTS, SLACK
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED
from pneusim.rules.un13.kinds import fed, in_front, rigs, service_pressures
from pneusim.rules.un13.storage import ROOM
from pneusim.rules.un13.strokes import BEFORE, Strokes, by_control_line

EIGHT = 8


def judge(bench: Bench) -> Iterator[Finding]:
    """Half the pressure of the first application, and no brake by itself in between."""
    subject, limit, start = bench.subject, bench.limits["storage.share"], bench.value("storage.trailer")
    test = by_control_line(bench, EIGHT, in_front(bench, start, start), rigs(bench))
    brakes = fed(service_pressures(subject), lambda channel: test.held[0][channel])
    worst = min(brakes, key=lambda name: test.share(brakes[name], EIGHT))
    called = subject.called(worst)
    curves = tuple(named(test.run[f"{tank.name}.pressure"], subject.title(tank)) for tank in subject.reservoirs)
    first, last = (test.held[k - 1][brakes[worst]] for k in (1, EIGHT))
    marks = (Mark("eighth: half of the first", test.times[-1], limit.value * first),)
    curves = (*curves, named(test.run[brakes[worst]], called))
    title = "Eight applications, Annex 7, A 1.3"
    picture = bench.show(Picture("storage_trailer", title, curves, 0.0, (0.0, ROOM * test.run.span[1]), marks))
    what = f"{called}: {exactly(first)} in the first, {exactly(last)} in the eighth application"
    remark = f"the least favourable brake{test.remark}"
    yield held_against(limit, test.share(brakes[worst], EIGHT), what, remark, picture)
    yield _by_itself(bench, test)


def _by_itself(bench: Bench, test: Strokes) -> Finding:
    """Neither automatic nor parking brakes may act: no brake pushes before an application, nor after the last."""
    rest = (BEFORE, *(float(time) for time in test.rests))
    forces = {brake.name: test.run[f"{brake.name}.pushrod_force"] for brake in bench.subject.brakes}
    dragging = {name: n for name, force in forces.items() if (n := _first(force, rest)) is not None}
    what = "no brake acts by itself between the applications"
    clause = bench.limits["storage.share"].clause
    if not dragging:
        return Finding(clause, what, MET, why=ACTS)
    first = min(dragging, key=lambda name: dragging[name])
    why = f"{bench.subject.called(first)} brakes by itself after {dragging[first]} applications"
    return Finding(clause, what, MISSED, why=why)


def _first(force: Channel, times: tuple[float, ...]) -> int | None:
    """After how many applications a brake pushes while none is made."""
    return next((number for number, time in enumerate(times) if force(time) > SLACK), None)


PROCEDURE = Procedure("storage_trailer", "Eight applications of a trailer without recharge", "Annex 7, A 1.3", judge,
                      TOWED, 60)  # fmt: skip
