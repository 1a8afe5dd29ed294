"""Driver's manual 5.3, step 7: what leaks away in one minute, engine off, brakes released and applied."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.rules.bench import Bench, exactly
from pneusim.rules.finding import Finding, Mark, Picture, held_against, not_judged
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us393.service import PRESS, full_pressure, gauged, pedal, ready, tanks

APPLY, SETTLE, MINUTE = 61.0, 60.0, 60.0
"""When the pedal is pressed; how long the initial drop and the warming of the air last, our choice; a minute [s]."""

AIR = "a circuit file leaks only where it draws a leak, such as a restriction to the atmosphere"


def judge(bench: Bench) -> Iterator[Finding]:
    """Loss of every gauged reservoir in a minute, first released, then with the pedal held down."""
    subject, units = bench.subject, len(bench.subject.combination)
    row = "single" if units == 1 else "combination" if units == 2 else "long"
    begin = APPLY + SETTLE
    pressure, source = full_pressure(subject)
    press = Step("set", at=APPLY, target=pedal(subject), to=1.0, over=PRESS)
    run = bench.run("Leakage, engine off", (press,), begin + MINUTE, ready(bench, pressure))
    curves = tanks(bench, run, gauged(subject))
    marks = [Mark("pedal held down", APPLY), Mark("a minute from here", begin)]
    remark = f"reservoirs start at {exactly(pressure)}, {source}; {AIR}"
    span = (0.0, begin + MINUTE)
    picture = bench.show(Picture("leakage", "Leakage, driver's manual 5.3", curves, 0.0, span, tuple(marks)))
    for state, since in (("released", 0.0), ("applied", begin)):
        limit = bench.limits[f"leakage.{state}.{row}"]
        for curve in curves:
            what = f"{curve.label}, brakes {state}"
            if state == "applied" and curve(since) < bench.value("leakage.pedal"):
                least = exactly(bench.value("leakage.pedal"))
                why = f"{exactly(curve(since))} is left for the application, not {least}"
                yield not_judged(limit.clause, what, why)
                continue
            loss = curve(since) - curve(since + MINUTE)
            yield held_against(limit, loss, what, f"from {exactly(curve(since))}; {remark}", picture)


PROCEDURE = Procedure("leakage", "Leakage in one minute", "driver's manual 5.3, step 7", judge, POWERED, 90)
