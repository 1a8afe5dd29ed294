"""What stands between the wheels of a run and a controller: sensors, and the voltage."""

from __future__ import annotations

import copy
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Self

from pneusim.control.protocol import APPLY, HOLD, RELEASE, Controller, Told, told_by
from pneusim.errors import UsageError

COMMANDS = (APPLY, HOLD, RELEASE)


@dataclass(frozen=True)
class Answer:
    """Commands of a sample, one for every modulator, and what the controller tells beside them."""

    commands: tuple[int, ...]
    told: Told


class ControlUnit:
    """A controller in its box; it is copied whole by ``copy.deepcopy``.

    Parameters
    ----------
    name : str
        Name of the control, for messages.
    controller : Controller
    modulators : int
        How many it commands.
    resolutions : sequence of float
        Resolution of every sensor [m/s].

    Raises
    ------
    UsageError
        If the controller has no method ``on_sample``.
    """

    def __init__(self, name: str, controller: Controller, modulators: int, resolutions: Sequence[float]) -> None:
        if isinstance(controller, type) or not callable(getattr(controller, "on_sample", None)):
            seen = f"the class {controller.__name__}" if isinstance(controller, type) else type(controller).__name__
            raise UsageError(
                f"the controller of {name} is {seen}; wanted is an object with a method on_sample(time, speeds) that "
                "gives a command for every modulator"
            )
        self.name, self.controller, self.modulators = name, controller, modulators
        self.resolutions = tuple(resolutions)
        self._fresh = copy.deepcopy(controller)
        self._powered = True

    def __deepcopy__(self, memo: dict[int, Any]) -> Self:
        """Only the controller changes."""
        twin = copy.copy(self)
        twin.controller = copy.deepcopy(self.controller, memo)
        return twin

    def on_sample(self, time: float, speeds: Sequence[float], lost: Sequence[bool], powered: bool) -> Answer:
        """Answer of the controller to a sample.

        Parameters
        ----------
        time : float
            Time of the sample [s].
        speeds : sequence of float
            Speed of the tread at every sensor [m/s].
        lost : sequence of bool
            Which sensors are lost.
        powered : bool
            Whether it has voltage; without, all modulators apply, and when it comes back the controller begins anew.

        Raises
        ------
        UsageError
            If the controller does not give every modulator one of the three commands.
        """
        if not powered:
            self._powered = False
            return Answer((APPLY,) * self.modulators, Told(lamp=True))
        if not self._powered:
            self.controller, self._powered = copy.deepcopy(self._fresh), True
        read = [0.0 if gone else max(round(speed / step) * step, 0.0)
                for speed, gone, step in zip(speeds, lost, self.resolutions)]  # fmt: skip
        answer: object = self.controller.on_sample(time, read)
        commands = tuple(answer) if isinstance(answer, Iterable) else ()
        if len(commands) != self.modulators or any(command not in COMMANDS for command in commands):
            seen = commands if isinstance(answer, Iterable) else answer
            raise UsageError(
                f"the controller of {self.name} answered {seen!r} at {time:g} s; wanted are {self.modulators} "
                f"commands, each {APPLY} (apply), {HOLD} (hold) or {RELEASE} (release)"
            )
        return Answer(commands, told_by(self.controller))
