"""All single failures of a circuit: from its graph, and from what each part declares."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pneusim.circuit.circuit import Circuit, Component, Line
from pneusim.circuit.scenario import Step
from pneusim.parts.base import FaultSpec
from pneusim.parts.registry import part
from pneusim.quantities import express
from pneusim.reading.steps import SHORTEST
from pneusim.studies.failures.chambers import unequal
from pneusim.studies.failures.couplings import of_couplings
from pneusim.studies.failures.cycle import PARKED, PEDAL
from pneusim.studies.failures.failure import Failure, line_words

HOLE = 2e-3
"""Hole of a leaking line [m]."""

PLACES = {"near_end": (0.1, "near its start"), "middle": (0.5, "in the middle"), "far_end": (0.9, "near its end")}
"""Where a line breaks: the share of its length from its start, and in words.

Not at its very end: the stub that stays on a valve makes its piston flutter, which tells nothing and takes ages."""

KIND_OF_TYPE = {
    "compressor": "supply", "governor": "supply", "air_dryer": "supply", "safety_valve": "supply",
    "reservoir": "reservoir", "coupling_head": "coupling",
    "pressure_switch": "instrument", "stop_lamp_switch": "instrument", "gauge": "instrument",
}  # fmt: skip
KIND_OF_FAULT = {
    "torn_diaphragm": "diaphragm", "broken_spring": "spring", "caged": "spring", "out_of_adjustment": "adjustment",
}  # fmt: skip

WHILE = {"held": "while the pedal is down", "parked": "while parked"}
"""What is so in a moment of the cycle."""

LATER = {"held": "stuck_applied", "parked": "stuck_parked"}

WORKED_BY_AIR = ("quick_release_valve", "trailer_spring_brake_valve")
"""Types of valves that stick where the air has moved them."""

WORDS = {"cock_forgotten_shut": "its cock is shut on the way"}
"""Faults that happen at another moment than the part's words say."""


@dataclass(frozen=True)
class LeftOut:
    """A failure that is not enumerated, and why."""

    id: str
    why: str


def single_failures(circuit: Circuit) -> tuple[list[Failure], list[LeftOut]]:
    """All single failures of a circuit, and those left out with the reason.

    Every line breaks at three places, leaks and is blocked; every fault that a part declares happens with its default
    size; what sticks does so with the pedal down and parked too; couplings and vehicles separate; chambers of one axle
    are unequal.
    """
    found: list[Failure | LeftOut] = []
    for line in circuit.lines.values():
        found += _of_line(circuit, line)
    for component in circuit.components.values():
        found += [_of_part(circuit, component, spec) for spec in part(component.type).faults]
        found += _stuck_later(circuit, component)
    found += of_couplings(circuit)
    for axle_brake in unequal(circuit):
        found.append(axle_brake if isinstance(axle_brake, Failure) else LeftOut(*axle_brake))
    return [f for f in found if isinstance(f, Failure)], [f for f in found if isinstance(f, LeftOut)]


def _of_line(circuit: Circuit, line: Line) -> Iterator[Failure | LeftOut]:
    name, words = line.name, line_words(circuit, line)
    yield Failure(f"{name}.blocked", "blocked_line", (name,), f"{words} is blocked", (Step("block", target=name),))
    if line.length < SHORTEST * line.bore:
        why = f"the line is {express(line.length, 'length')} long, shorter than {SHORTEST} of its bores"
        yield from (LeftOut(f"{name}.{word}", why) for word in ("leaking", *(f"broken_{place}" for place in PLACES)))
        return
    hole = min(HOLE, line.bore)
    leak = Step("leak", target=name, to=hole)
    yield Failure(f"{name}.leaking", "leaking_line", (name,),
                  f"{words} leaks through a hole of {express(hole, 'length')}", (leak,))  # fmt: skip
    for word, (where, place) in PLACES.items():
        step = Step("break", target=name, where=where)
        yield Failure(f"{name}.broken_{word}", "broken_line", (name,), f"{words} breaks {place}", (step,))


def _of_part(circuit: Circuit, component: Component, spec: FaultSpec) -> Failure:
    kind = KIND_OF_TYPE.get(component.type) or KIND_OF_FAULT.get(spec.name, "valve")
    size = "" if spec.dimension == "flag" else f" ({express(spec.default, spec.dimension)})"
    name = f"{component.name}.{spec.name}"
    step, words = Step("fault", target=name, to=spec.default), WORDS.get(spec.name, spec.words)
    return Failure(name, kind, (component.name,), f"{circuit.title_of(component)}: {words}{size}", (step,))


def _stuck_later(circuit: Circuit, component: Component) -> Iterator[Failure]:
    """What stays where it is does so later too: once the pedal is down, or once the vehicle is parked."""
    kind = part(component.type)
    fault = next((spec for spec in kind.faults if spec.name == "stuck"), None)
    if fault is None:
        return
    for moment in _moments_of(component.type):
        step = Step("fault", target=f"{component.name}.stuck", to=fault.default)
        words = f"{circuit.title_of(component)}: {fault.words} {WHILE[moment]}"
        name = f"{component.name}.{LATER[moment]}"
        yield Failure(name, "valve", (component.name,), words, (step,), moment=moment)


def _moments_of(kind: str) -> tuple[str, ...]:
    """Moments at which a part stands elsewhere than while driving."""
    if kind in WORKED_BY_AIR:
        return ("held", "parked")
    if any(spec.name in PARKED for spec in part(kind).inputs):
        return ("parked",)
    return ("held",) if kind == PEDAL else ()
