"""S5.4.1, Table III: brake retardation force of a trailer against chamber pressure."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.scenario import Step
from pneusim.quantities import parse
from pneusim.results.measures.crossing import first_crossing
from pneusim.results.run import Run
from pneusim.rules.bench import Bench, exactly
from pneusim.rules.finding import Finding, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import TOWED
from pneusim.rules.us121.forces import braking_ratios

PRESSURES = (20, 30, 40, 50, 60, 70, 80)
"""Chamber pressures of the table [psi]."""

BEGIN, RISE = 1.0, 60.0
"""When the control line begins to rise, and how long it takes [s]: slowly."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Every axle at every pressure of the table, the control line rising slowly."""
    subject = bench.subject
    source = bench.value("rig.actuation")
    begin = bench.ready(source) | {"signal_rig.signal.pressure": 0.0, "signal_rig.orifice.hole": 8e-3}
    step = Step("set", at=BEGIN, target="signal_rig.signal.pressure", to=source, over=RISE)
    behind = ("vessel_behind",) if subject.vehicle.tows else ()
    run = bench.run("Retardation force", (step,), BEGIN + RISE, begin, ("signal_rig", *behind))
    for number, ratio in braking_ratios(subject, run).items():
        chambers = [brake.name for brake in subject.brakes if brake.axle == number]
        for psi in PRESSURES:
            limit, level = bench.limits[f"retardation.{psi}"], parse(f"{psi} psi", "pressure")
            time = _reached(run, chambers, level)
            what = f"axle {number} at {exactly(level)}"
            why = "" if time is not None else "the chamber does not come to this pressure"
            yield held_against(limit, None if time is None else ratio(time), what, why)


def _reached(run: Run, chambers: list[str], level: float) -> float | None:
    """When the first chamber of an axle comes to a pressure [s]."""
    times = [first_crossing(run[f"{name}.service_pressure"], level, +1, 0.0, run.span[1]) for name in chambers]
    return min((time for time in times if time is not None), default=None)


PROCEDURE = Procedure("retardation", "Brake retardation force", "S5.4.1", judge, TOWED, 80)
