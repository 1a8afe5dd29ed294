"""393.47(b): chambers of the same size on both ends of an axle."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.circuit import Component
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, NotJudged, held_against, not_judged
from pneusim.rules.regulation import Procedure
from pneusim.rules.us393.service import KINDS


def judge(bench: Bench) -> Iterator[Finding]:
    """Difference of area between the left and the right chambers of every axle."""
    subject, limit = bench.subject, bench.limits["same_size"]
    axles: dict[tuple[str, int], list[Component]] = {}
    for brake in subject.brakes:
        if brake.axle is not None and brake.side is not None:
            axles.setdefault((brake.unit, brake.axle), []).append(brake)
    if not axles:
        raise NotJudged("no brake has an axle and a side in the file")
    for (unit, axle), brakes in axles.items():
        areas = {
            side: sorted(float(subject.figure(brake, "area")) for brake in brakes if brake.side == side)
            for side in ("left", "right")
        }
        what = f"{unit} axle {axle}".strip()
        if not areas["left"] or not areas["right"]:
            yield not_judged(limit.clause, what, "the file gives brakes on one side of it only")
            continue
        sizes = ", ".join(f"{subject.title(brake)} of size {subject.figure(brake, 'size')}" for brake in brakes)
        apart = abs(sum(areas["left"]) - sum(areas["right"]))
        yield held_against(limit, apart, what, sizes)


PROCEDURE = Procedure("chambers", "Chambers of one size on an axle", "393.47(b)", judge, KINDS, 20)
