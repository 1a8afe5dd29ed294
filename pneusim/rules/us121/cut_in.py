"""S5.1.1.1: at which pressure the governor lets the compressor pump again."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, NotJudged, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED


def judge(bench: Bench) -> Iterator[Finding]:
    """The cut-in pressure of every governor, as the file or the catalogue gives it."""
    subject = bench.subject
    limit = bench.limits["cut_in.bus" if subject.vehicle.kind == "bus" else "cut_in.truck"]
    governors = subject.all("governor")
    if not governors:
        raise NotJudged("the circuit has no governor")
    for governor in governors:
        yield held_against(limit, float(subject.figure(governor, "cut_in")), f"{subject.title(governor)}, cut-in")


PROCEDURE = Procedure("cut_in", "Governor cut-in", "S5.1.1.1", judge, POWERED, 20)
