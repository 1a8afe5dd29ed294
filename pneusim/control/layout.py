"""Which sensors drive which modulator: it follows from the wheels that a modulator brakes and a word for the rest."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Circuit, Component, Port
from pneusim.circuit.network import used_ports
from pneusim.control.protocol import Groups
from pneusim.errors import UsageError
from pneusim.lints.passages import passages

CONTROL, SENSOR, MODULATOR = "anti_lock_control", "wheel_speed_sensor", "brake_modulator"
_SERVICE = "11"
"""Port of an actuator's service room."""

_FIRST_AXLE = 1

Wheel = tuple[int, str]
"""Axle and side."""


@dataclass(frozen=True)
class Wiring:
    """A control's modulators and sensors by name, and for every modulator the indices of the sensors that drive it."""

    modulators: tuple[str, ...]
    sensors: tuple[str, ...]
    groups: Groups


def groups_of(circuit: Circuit, control: str, word: str) -> Wiring:
    """What a control of a circuit commands, and by what.

    Parameters
    ----------
    circuit : Circuit
    control : str
        Name of an ``anti_lock_control``; its modulators are those of its unit, its sensors those that name it or none.
    word : {"individual", "select_low", "mixed"}
        ``individual``: a modulator is driven by the sensors at the wheels that it brakes or, where there is none, by
        the nearest on their side.  ``select_low``: by all sensors on the axles of those.  ``mixed``: select_low for
        what brakes the first axle, individual for the rest.

    Raises
    ------
    UsageError
        If there is nothing to command or to listen to, or the file does not tell at which wheels.
    """
    unit = circuit.components[control].unit
    mates = [item for item in circuit.components.values() if item.unit == unit]
    _refuse_second(circuit, control, mates)
    sensors = _sensors(circuit, control, mates)
    modulators = [item.name for item in mates if item.type == MODULATOR]
    if not modulators:
        _refuse(circuit, control, "its unit has no brake_modulator that it could command",
                "put one before the chambers of every wheel to be controlled, or remove the control")  # fmt: skip
    used = _used(circuit)
    groups = tuple(_group(circuit, name, sensors, used, word) for name in modulators)
    return Wiring(tuple(modulators), tuple(sensors.values()), groups)


def _group(
    circuit: Circuit, modulator: str, sensors: Mapping[Wheel, str], used: Mapping[str, list[str]], word: str
) -> tuple[int, ...]:
    wheels = _braked(circuit, modulator, used)
    listened = [wheel for wheel in wheels if wheel in sensors] or _nearest(circuit, modulator, wheels, sensors)
    if word == "select_low" or (word == "mixed" and any(axle == _FIRST_AXLE for axle, _ in wheels)):
        axles = {axle for axle, _ in listened}
        listened = [wheel for wheel in sensors if wheel[0] in axles]
    return tuple(index for index, wheel in enumerate(sensors) if wheel in listened)


def _nearest(
    circuit: Circuit, modulator: str, wheels: Collection[Wheel], sensors: Collection[Wheel]
) -> list[Wheel]:
    """The sensor nearest to each wheel on its side: trailers often have fewer sensors than wheels."""
    found = []
    for axle, side in wheels:
        beside = [wheel for wheel in sensors if wheel[1] == side]
        if not beside:
            _refuse(circuit, modulator, f"no wheel_speed_sensor is at a wheel that it brakes, nor on the {side} side",
                    f"add one with 'axle: {axle}, side: {side}'")  # fmt: skip
        found.append(min(beside, key=lambda wheel: (abs(wheel[0] - axle), wheel[0])))
    return found


# ---- who is there


def _refuse_second(circuit: Circuit, control: str, mates: Collection[Component]) -> None:
    controls = [item.name for item in mates if item.type == CONTROL]
    if len(controls) > 1:
        _refuse(circuit, control, f"its unit has {len(controls)} anti_lock_controls: {', '.join(controls)}",
                "keep one; it commands all modulators of its unit")  # fmt: skip


def _sensors(circuit: Circuit, control: str, mates: Collection[Component]) -> dict[Wheel, str]:
    """Sensors of a control by their wheel, in the order of the file."""
    found: dict[Wheel, str] = {}
    for item in mates:
        if item.type == SENSOR and item.parameters.get(CONTROL) in (None, control):
            wheel = _wheel(circuit, item)
            if wheel in found:
                _refuse(circuit, item.name, f"it is at the wheel of {found[wheel]}", "keep one of them, or move it")
            found[wheel] = item.name
    if not found:
        _refuse(circuit, control, "its unit has no wheel_speed_sensor that it could listen to",
                "add one with 'axle:' and 'side:' at every wheel to be controlled, or remove the control")  # fmt: skip
    return found


def _wheel(circuit: Circuit, item: Component) -> Wheel:
    if item.axle is None or item.side is None:
        lacking = " and ".join(word for word, given in (("axle", item.axle), ("side", item.side)) if given is None)
        _refuse(circuit, item.name, f"it is not said at which wheel it is: {lacking} missing",
                "give it 'axle: <number>' and 'side: left' or 'side: right'")  # fmt: skip
    return item.axle or 0, item.side or ""


def _refuse(circuit: Circuit, name: str, problem: str, fix: str) -> None:
    place = circuit.components[name].place
    raise UsageError(f"{f'{place}: ' if place.line else ''}{name}: {problem}. Fix: {fix}")


# ---- which wheels


def _braked(circuit: Circuit, modulator: str, used: Mapping[str, list[str]]) -> list[Wheel]:
    """Wheels whose service chambers lie downstream of a modulator, in the order of the file."""
    reached = _downstream(circuit, modulator, used)
    chambers = [item for item in circuit.components.values()
                if item.type in ACTUATORS and Port(item.name, _SERVICE) in reached]  # fmt: skip
    if not chambers:
        _refuse(circuit, modulator, "no brake chamber lies behind its delivery, so that it controls no wheel",
                "let a line lead from its port 21 to the chamber of the wheel, or remove it")  # fmt: skip
    return list(dict.fromkeys(_wheel(circuit, item) for item in chambers))


def _downstream(circuit: Circuit, modulator: str, used: Mapping[str, list[str]]) -> set[Port]:
    """Ports that air gets to from a modulator's delivery, within its unit and as far as the next modulator."""
    beside = _beside(circuit)
    waiting = [Port(modulator, number) for number in used.get(modulator, []) if number.startswith("2")]
    reached: set[Port] = set()
    while waiting:
        for port in beside.get(waiting.pop(), ()):
            if port not in reached:
                reached.add(port)
                waiting += _through(circuit.components[port.component], port, used)
    return reached


def _through(item: Component, port: Port, used: Mapping[str, list[str]]) -> Iterator[Port]:
    """Ports at which air that has come to one port of a part, or its pressure, goes on."""
    if item.type == MODULATOR:
        return
    for way in passages(item.type, used[item.name]):
        if port.number in way.inlets | way.pilots:
            yield from (Port(item.name, number) for number in sorted(way.outlets - {port.number}))


def _beside(circuit: Circuit) -> dict[Port, set[Port]]:
    """Ports that a line or a joint connects with a port; couplings end a unit."""
    groups = [{line.start, line.end} for line in circuit.lines.values() if not line.coupling]
    groups += [set(joint.ports) for joint in circuit.joints]
    found: dict[Port, set[Port]] = {}
    for group in groups:
        for port in group:
            found.setdefault(port, set()).update(group - {port})
    return found


def _used(circuit: Circuit) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for port in used_ports(circuit):
        found.setdefault(port.component, []).append(port.number)
    return found
