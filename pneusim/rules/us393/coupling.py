"""US Army TM 5-3820-256-24-4, p. 107: the service coupling against the gauges in the cab."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.rules.bench import Bench, exactly, named
from pneusim.rules.finding import Finding, NotAddressed, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us393.service import driven, full_application, gauged, of, tanks


def judge(bench: Bench) -> Iterator[Finding]:
    """Pressure at the towing vehicle's service coupling against the fullest reservoir, brakes fully applied."""
    subject, limit = bench.subject, bench.limits["coupling"]
    heads = of(driven(subject), subject.heads("control", "rear"))
    if not heads:
        raise NotAddressed("it is for vehicles that tow")
    test = full_application(bench)
    gauges = tanks(bench, test.run, gauged(subject))
    highest = max(gauge(test.held) for gauge in gauges)
    for head in heads:
        line = named(test.run[f"{head.name}.pressure"], subject.title(head))
        title = "Service coupling and gauges in the cab, TM 5-3820-256-24-4"
        picture = bench.show(Picture("coupling", title, (line, *gauges), test.start, test.span))
        levels = f"{exactly(line(test.held))} at the coupling, {exactly(highest)} in the fullest reservoir"
        yield held_against(limit, abs(line(test.held) - highest), line.label, f"{levels}; {test.remark}", picture)


PROCEDURE = Procedure("coupling", "Service coupling against the gauges", "US Army TM 5-3820-256-24-4, p. 107", judge,
                      POWERED, 140)  # fmt: skip
