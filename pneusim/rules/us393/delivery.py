"""California Vehicle Code 26502: a full application reaches every chamber."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.circuit import Component
from pneusim.rules.bench import Bench, exactly
from pneusim.rules.finding import Finding, Mark, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us393.service import chambers, full_application


def judge(bench: Bench) -> Iterator[Finding]:
    """Pressure of every chamber over that of the fullest reservoir of its vehicle, brakes applied."""
    subject, limit, test = bench.subject, bench.limits["delivery"], full_application(bench)
    curves = chambers(bench, test.run, subject.brakes)
    left = {brake.name: _reservoir(bench, brake, test.held) for brake in subject.brakes}
    level = limit.value * max(left.values())
    mark = Mark("90 % of the fullest reservoir", level=level)
    title = "Chambers in a full application, CVC 26502"
    picture = bench.show(Picture("delivery", title, curves, test.start, test.span, (mark,)))
    for brake, curve in zip(subject.brakes, curves, strict=True):
        remark = f"of {exactly(left[brake.name])}, the fullest service reservoir of its vehicle; {test.remark}"
        yield held_against(limit, curve(test.held) / left[brake.name], curve.label, remark, picture)


def _reservoir(bench: Bench, brake: Component, time: float) -> float:
    """The fullest service reservoir of the brake's vehicle, of the combination if that has none [Pa]."""
    run, tanks = full_application(bench).run, bench.subject.service_reservoirs
    own = [tank for tank in tanks if tank.unit == brake.unit] or tanks
    return max(run[f"{tank.name}.pressure"](time) for tank in own)


PROCEDURE = Procedure("delivery", "Full application at the chambers", "California Vehicle Code 26502", judge,
                      POWERED, 130)  # fmt: skip
