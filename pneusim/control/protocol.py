"""What a controller is: any object that answers the wheel speeds of a sample with commands for modulators."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

APPLY, HOLD, RELEASE = 1, 0, -1
"""Commands; the numbers are those of ``brake_modulator.command``."""

Groups = tuple[tuple[int, ...], ...]
"""For every modulator the indices of the sensors that drive it."""


class Controller(Protocol):
    """Looks at the wheels at equal intervals and commands the modulators of its unit.

    It is an ordinary object with a memory of its own.  It must answer equal speeds with equal commands, and
    ``copy.deepcopy`` must copy it whole: a run steps ahead and, where a command falls into the step, goes back.
    Attributes ``reference_speed`` [m/s], ``lamp`` and ``controlling`` (true or false) are told if it has them.
    """

    def on_sample(self, time: float, speeds: Sequence[float]) -> Sequence[int]:
        """Command of every modulator, from the speeds of a sample.

        Parameters
        ----------
        time : float
            Time of the sample [s].
        speeds : sequence of float
            Speed of the tread at every sensor [m/s], rounded to its resolution; 0 from a sensor that is lost.

        Returns
        -------
        sequence of int
            `APPLY`, `HOLD` or `RELEASE` for every modulator; it acts a delay after the sample.
        """


@dataclass(frozen=True)
class Told:
    """What a controller tells beside its commands."""

    reference_speed: float = 0.0
    lamp: bool = False
    controlling: bool = False


def told_by(controller: Controller) -> Told:
    """What a controller tells, with nothing told where it lacks an attribute."""
    return Told(
        float(getattr(controller, "reference_speed", 0.0)),
        bool(getattr(controller, "lamp", False)),
        bool(getattr(controller, "controlling", False)),
    )
