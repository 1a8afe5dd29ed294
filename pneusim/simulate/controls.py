"""Sampled controllers at work: they read wheel speeds at times of their own and command modulators a while later."""

from __future__ import annotations

import copy
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

import numpy as np

from pneusim.circuit.rolling import wheel_name
from pneusim.control.layout import CONTROL, groups_of
from pneusim.control.protocol import APPLY, Controller
from pneusim.control.teaching import TeachingAntiLock
from pneusim.control.unit import ControlUnit
from pneusim.engine.machine import Machine
from pneusim.engine.rosenbrock import dense
from pneusim.engine.segments import Steps
from pneusim.engine.tape import Floats
from pneusim.errors import UsageError
from pneusim.simulate.compiled import Compiled

SPECULATION = 0.1  # how far the loop goes without looking while no controller is at work [s]


@dataclass
class Wired:
    """A control unit in its circuit.

    ``speeds`` are the states of the wheels that its sensors stand at, ``lost`` the settings of the sensors' loss;
    ``period`` and ``delay`` in s.  ``shown`` is what every setting that it commands has been commanded to be.
    """

    name: str
    unit: ControlUnit
    period: float
    delay: float
    speeds: tuple[int, ...]
    lost: tuple[int, ...]
    modulators: tuple[int, ...]
    lamp: int
    controlling: int
    without_voltage: int
    samples: int = 0
    shown: dict[int, float] = field(default_factory=dict)
    references: list[tuple[float, float]] = field(default_factory=list)  # time, reference speed

    def __post_init__(self) -> None:
        self.shown = {**dict.fromkeys(self.modulators, float(APPLY)), self.lamp: 0.0, self.controlling: 0.0}

    @property
    def time(self) -> float:
        """When the next sample is due [s]: a multiple of the period, so that no rounding adds up."""
        return self.samples * self.period

    @property
    def at_work(self) -> bool:
        """Whether it says that it controls, or has commanded something else than to apply: more commands will come."""
        return self.shown[self.controlling] > 0.0 or any(self.shown[one] != APPLY for one in self.modulators)


class Controls:
    """All controls of a circuit, as what watches the loop."""

    def __init__(self, machine: Machine, wired: Sequence[Wired]) -> None:
        self.machine, self.wired = machine, tuple(wired)
        self._states = np.array(sorted({state for w in wired for state in w.speeds}), np.int64)
        self._scale = machine.program.scale[self._states]
        self._given: list[tuple[float, int, float]] = []
        self._on_trial = True
        self._kept: list[tuple[int, dict[int, float], int, ControlUnit]] = []

    def horizon(self, time: float) -> float:
        """Without control a good while on trial; with it so far as no command can be due."""
        certain = min(wired.time + wired.delay for wired in self.wired)
        self._on_trial = not any(wired.at_work for wired in self.wired)
        return max(certain, time + SPECULATION) if self._on_trial else certain

    def remember(self) -> None:
        """Keep the controls as they are, where the loop goes on trial."""
        if self._on_trial:
            self._kept = [(w.samples, dict(w.shown), len(w.references), copy.deepcopy(w.unit)) for w in self.wired]

    def forget(self) -> None:
        """Return to the controls as they were kept."""
        for wired, (samples, shown, told, unit) in zip(self.wired, self._kept, strict=True):
            wired.samples, wired.shown, wired.unit = samples, dict(shown), copy.deepcopy(unit)
            del wired.references[told:]

    def look(self, steps: Steps) -> float:
        """Let every control read its samples within the steps."""
        self._given = []
        if not len(steps.vectors):
            return math.inf
        for wired in self.wired:
            while wired.time <= steps.times[-1]:
                self._sample(wired, self._read(steps, wired.time))
                wired.samples += 1
        return min((time for time, _, _ in self._given), default=math.inf)

    def command(self, at: Callable[[float, Callable[[], None]], None]) -> None:
        """Enter what the latest samples command."""
        for time, setting, number in self._given:
            at(time, partial(self.machine.set, setting, number))

    def _read(self, steps: Steps, time: float) -> dict[int, float]:
        """The states at sensors [SI], at a time within the steps."""
        k = min(max(int(np.searchsorted(steps.times, time)) - 1, 0), len(steps.vectors) - 1)
        theta = max((time - steps.times[k]) / (steps.times[k + 1] - steps.times[k]), 0.0)
        found: Floats = np.empty(len(self._states))
        vectors = np.ascontiguousarray(steps.vectors[k][:, self._states])
        dense(steps.states[k][self._states], steps.states[k + 1][self._states], vectors, theta, found)
        return dict(zip(self._states.tolist(), (found * self._scale).tolist(), strict=True))

    def _sample(self, wired: Wired, states: Mapping[int, float]) -> None:
        """One sample of one control; what changes is commanded its delay later."""
        machine = self.machine
        lost = [machine.setting(setting) > 0.0 for setting in wired.lost]
        powered = machine.setting(wired.without_voltage) == 0.0
        answer = wired.unit.on_sample(wired.time, [states[state] for state in wired.speeds], lost, powered)
        told = answer.told
        wired.references.append((wired.time, told.reference_speed))
        wanted = dict(zip(wired.modulators, map(float, answer.commands), strict=True))
        wanted[wired.controlling] = float(told.controlling)
        if powered:  # without voltage the part itself lights the lamp
            wanted[wired.lamp] = float(told.lamp)
        for setting, number in wanted.items():
            if wired.shown[setting] != number:
                wired.shown[setting] = number
                self._given.append((wired.time + wired.delay, setting, number))


def wire(compiled: Compiled, machine: Machine, controllers: Mapping[str, Controller]) -> Controls | None:
    """The controls of a circuit on a road; None without.

    Parameters
    ----------
    compiled : Compiled
    machine : Machine
    controllers : Mapping
        Controllers of one's own by the name of the `anti_lock_control` that they take the place of.

    Raises
    ------
    UsageError
        For a controller of a control that there is not, one that cannot be copied, or one of a scenario without a road.
    """
    names = [name for name, part in compiled.parts.items() if part.type == CONTROL]
    strange = [name for name in controllers if name not in names]
    if strange:
        known = ", ".join(names) or "none"
        raise UsageError(f"there is no {CONTROL} {strange[0]!r} to be given a controller (there are: {known})")
    if compiled.chain is None:
        if controllers:
            raise UsageError(f"scenario {compiled.scenario.name!r} has no road, on which a controller could work")
        return None
    wired = [_wired(compiled, machine, name, controllers.get(name)) for name in names]
    return Controls(machine, wired) if wired else None


def _wired(compiled: Compiled, machine: Machine, name: str, own: Controller | None) -> Wired:
    part = compiled.parts[name].model_dump()
    wiring = groups_of(compiled.circuit, name, part["control"])
    controller = own or TeachingAntiLock(
        wiring.groups, part["sample_time"], release_deceleration=part["release_deceleration"],
        release_slip=part["release_slip"], off_below=part["off_below"],
    )  # fmt: skip
    resolutions = [compiled.parts[sensor].model_dump()["resolution"] for sensor in wiring.sensors]
    unit = ControlUnit(name, _copied(name, controller), len(wiring.modulators), resolutions)
    modes, faults = compiled.modes, compiled.faults
    return Wired(
        name, unit, part["sample_time"], part["delay"],
        speeds=tuple(_state_at(compiled, machine, sensor) for sensor in wiring.sensors),
        lost=tuple(faults[f"{sensor}.lost"] for sensor in wiring.sensors),
        modulators=tuple(modes[f"{modulator}.command"] for modulator in wiring.modulators),
        lamp=modes[f"{name}.lamp"], controlling=modes[f"{name}.controlling"],
        without_voltage=faults[f"{name}.voltage_lost"],
    )  # fmt: skip


def _copied(name: str, controller: Controller) -> Controller:
    """A controller of the run's own: one that was given stays as it is."""
    try:
        return copy.deepcopy(controller)
    except (TypeError, ValueError, AttributeError, copy.Error) as problem:
        raise UsageError(
            f"the controller of {name} cannot be copied: {problem}. A run steps ahead and goes back, so it must hold "
            "nothing but data: no open files, locks or generators"
        ) from None


def _state_at(compiled: Compiled, machine: Machine, sensor: str) -> int:
    """The state that a sensor reads: the speed of the tread at its wheel."""
    item = compiled.circuit.components[sensor]
    owner = wheel_name(item.unit, item.axle or 0, item.side or "")
    return machine.tape.state_of(compiled.channels[f"{owner}.speed"].value)
