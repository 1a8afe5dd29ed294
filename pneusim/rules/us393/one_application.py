"""393.50: what one full application with the engine stopped leaves in the reservoirs."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.results.measures.crossing import lowest
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us393.service import full_application, full_pressure, tanks


def judge(bench: Bench) -> Iterator[Finding]:
    """Lowest pressure of every service reservoir over that before the application."""
    subject, limit, test = bench.subject, bench.limits["one_application"], full_application(bench)
    curves = tanks(bench, test.run, subject.service_reservoirs)
    level = limit.value * full_pressure(subject)[0]
    mark = Mark("at least 70 % of the pressure at the start", level=level)
    title = "Reservoirs in one full application, 393.50"
    picture = bench.show(Picture("one_application", title, curves, test.start, test.span, (mark,)))
    for curve in curves:
        share = lowest(curve, test.start, test.end) / curve(test.start)
        yield held_against(limit, share, curve.label, f"lowest of the whole application; {test.remark}", picture)


PROCEDURE = Procedure("one_application", "One full application", "393.50", judge, POWERED, 30)
