"""Driver's manual 5.1.7 and California Vehicle Code 26503: the safety valve of the first reservoir."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.rules.bench import Bench, exactly
from pneusim.rules.finding import Finding, NotJudged, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us393.service import full_pressure, judged


def judge(bench: Bench) -> Iterator[Finding]:
    """The pressure at which every safety valve opens and shuts, as the file or the catalogue gives it."""
    subject, limit = bench.subject, bench.limits["safety_valve"]
    valves = subject.all("safety_valve")
    if not valves:
        raise NotJudged("the circuit has no safety valve")
    full, source = full_pressure(subject)
    for valve in valves:
        opens, title = float(subject.figure(valve, "opens")), subject.title(valve)
        yield held_against(limit, opens, title)
        why = f"it shuts at {exactly(opens)}, to be above {exactly(full)}, {source}"
        yield judged("California Vehicle Code 26503", f"{title} shuts again", opens > full, why)


PROCEDURE = Procedure("safety_valve", "Safety valve", "driver's manual 5.1.7", judge, POWERED, 110)
