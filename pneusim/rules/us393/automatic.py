"""393.43(b) and driver's manual 5.3: at which pressure parking control and trailer protection act by themselves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from pneusim.circuit.circuit import Component
from pneusim.results.run import Channel, Event, Run
from pneusim.results.words import listed
from pneusim.rules.bench import Bench, exactly
from pneusim.rules.finding import Finding, Mark, NotJudged, Picture, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.subject import POWERED
from pneusim.rules.us393.bleeding import BEGINS, bled
from pneusim.rules.us393.service import driven, of, tanks

FAMILIES = {
    "park_control": "trip.park",
    "trailer_supply_control": "trip.trailer",
    "tractor_protection_valve": "trip.trailer",
}
"""Figures by type of part."""

ACTS = ("tripped", "interlocked", "shut")
"""Events by which they act."""

DOWN_TO = 0.5
"""Share of the lower limit to which the reservoirs are bled."""


def judge(bench: Bench) -> Iterator[Finding]:
    """Pressure of the fullest reservoir of the vehicle when each control acts, all of them bled slowly together."""
    subject = bench.subject
    controls = of(driven(subject), subject.all(*FAMILIES))
    if not controls:
        raise NotJudged("the circuit has no control that acts by itself when air is lost")
    reservoirs = of(driven(subject), subject.reservoirs)
    run = bled(bench, reservoirs, DOWN_TO * bench.value("trip.park.low"))
    curves = tanks(bench, run, reservoirs)
    acted = {control.name: _acts(run, control) for control in controls}
    low, high = bench.value("trip.park.low"), bench.value("trip.park.high")
    marks = [Mark(f"{exactly(low)} or more", level=low), Mark(f"{exactly(high)} or less", level=high)]
    marks += _moments(bench, controls, acted, curves)
    title = "Reservoirs bled slowly, 393.43(b) and driver's manual"
    picture = bench.show(Picture("automatic", title, curves, BEGINS, (-BEGINS, 1.4 * run.span[1]), tuple(marks)))
    for control in controls:
        event, what, family = acted[control.name], subject.title(control), FAMILIES[control.type]
        if event is None:
            left = exactly(max(float(curve.values[-1]) for curve in curves))
            fed = exactly(float(run[f"{control.name}.supply_pressure"].values[-1]))
            why = f"it did not act down to {left} in the fullest reservoir, when its own supply still had {fed}"
            yield held_against(bench.limits[f"{family}.high"], None, what, why, picture)
            continue
        at = max(curve(event.time) for curve in curves)
        for side in ("low", "high"):
            remark = f"{event.text}; held against the fullest reservoir of the vehicle"
            yield held_against(bench.limits[f"{family}.{side}"], at, what, remark, picture)


def _moments(
    bench: Bench, controls: list[Component], acted: Mapping[str, Event | None], curves: Sequence[Channel]
) -> Iterator[Mark]:
    """Marks where controls act; those that act together have one."""
    together: dict[int, list[tuple[float, str]]] = {}
    for control in controls:
        if event := acted[control.name]:
            together.setdefault(round(event.time), []).append((event.time, bench.subject.title(control)))
    for found in together.values():
        time = found[0][0]
        yield Mark(listed([words for _, words in found]), time - BEGINS, max(curve(time) for curve in curves))


def _acts(run: Run, control: Component) -> Event | None:
    """The first event by which a control acts."""
    return next((e for e in run.events if e.component == control.name and e.kind in ACTS and e.time > BEGINS), None)


PROCEDURE = Procedure("automatic", "Controls that act by themselves", "393.43(b)", judge, POWERED, 50)
