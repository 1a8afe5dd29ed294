"""Anti-lock controls of a vehicle: which wheels they control directly, which of these by themselves."""

from __future__ import annotations

from dataclasses import dataclass

from pneusim.control.layout import CONTROL, groups_of
from pneusim.errors import UsageError
from pneusim.rules.finding import NotJudged
from pneusim.rules.subject import Subject

WITHOUT = "the circuit has no anti_lock_control"

Wheel = tuple[int, str]


@dataclass(frozen=True)
class Controlled:
    """A vehicle's wheels, by axle and side, by what drives each modulator; ``modulators`` by name in the same order."""

    control: str
    modulators: tuple[str, ...]
    groups: tuple[tuple[Wheel, ...], ...]

    @property
    def wheels(self) -> frozenset[Wheel]:
        """Wheels that are directly controlled: those whose sensors drive a modulator; select-low counts all of them."""
        return frozenset(wheel for group in self.groups for wheel in group)

    @property
    def axles(self) -> tuple[int, ...]:
        """Axles whose wheels are directly controlled at both ends."""
        ends = sorted({axle for axle, _ in self.wheels})
        return tuple(n for n in ends if {(n, "left"), (n, "right")} <= self.wheels)

    @property
    def independent(self) -> tuple[int, ...]:
        """Those of the axles of which no modulator goes by both ends."""
        return tuple(n for n in self.axles if not any({(n, "left"), (n, "right")} <= set(g) for g in self.groups))


def controlled(subject: Subject) -> Controlled:
    """The anti-lock control of a vehicle; NotJudged if it has none."""
    names = [item.name for item in subject.all(CONTROL)]
    if not names:
        raise NotJudged(WITHOUT)
    circuit, name = subject.circuit, names[0]
    try:
        wiring = groups_of(circuit, name, subject.figure(circuit.components[name], "control"))
    except UsageError as fault:
        raise NotJudged(f"its anti-lock control is not complete: {fault}") from fault
    places = [circuit.components[sensor] for sensor in wiring.sensors]
    wheels = [(item.axle or 0, item.side or "") for item in places]
    return Controlled(name, wiring.modulators, tuple(tuple(wheels[k] for k in group) for group in wiring.groups))
