"""Pressure that stays after the pedal is let go: at the coupling US Army TM 5-3820-256-24-4, p. 107, in chambers
common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, Mark, Picture
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us393.service import chambers, driven, full_application, judged, of

LEVEL, AFTER = 14e3, 10.0
"""2 psi does not move a pushrod against its return spring [Pa]; when it is read after the release [s]: our choice."""

CLAUSE, COUPLING = "common practice, no source", "US Army TM 5-3820-256-24-4, p. 107"


def judge(bench: Bench) -> Iterator[Finding]:
    """Highest pressure in a chamber, and at the service coupling, well after the release."""
    subject, test = bench.subject, full_application(bench)
    heads = of(driven(subject), subject.heads("control", "rear"))
    lines = tuple(named(test.run[f"{head.name}.pressure"], subject.title(head)) for head in heads)
    cells, read = chambers(bench, test.run, subject.brakes), test.held + AFTER
    curves = (*cells, *lines)
    clauses = (CLAUSE,) * len(cells) + (COUPLING,) * len(lines)
    mark = Mark(f"at most {exactly(LEVEL)} after {AFTER:g} s", AFTER, LEVEL)
    title = "Residual pressure after a full application"
    picture = bench.show(Picture("residual", title, curves, test.held, (-1.0, test.end - test.held), (mark,)))
    for curve, clause in zip(curves, clauses, strict=True):
        left = curve(read)
        why = f"{exactly(max(left, 0.0))}, at most {exactly(LEVEL)}: what a return spring holds, our reading"
        yield judged(clause, f"{curve.label}, {AFTER:g} s after release", left <= LEVEL, why, picture)


PROCEDURE = Procedure("residual", "Residual pressure", CLAUSE, judge, POWERED, 170)
