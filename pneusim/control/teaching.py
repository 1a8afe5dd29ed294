"""A generic anti-lock control for teaching, on wheel speeds alone; its figures are nobody's calibration.

Logic in the general words of the literature (Limpert, Brake Design and Safety, chapter on antilock braking; from
memory, to be read against the book); all figures by trial.
"""

from __future__ import annotations

import copy
from collections.abc import Sequence
from typing import Any, Self

from pneusim.control.group import Group, Thresholds
from pneusim.control.protocol import Groups
from pneusim.control.reference import Reference
from pneusim.control.wheels import Wheels


class TeachingAntiLock:
    """Releases the brake of an unstable wheel, holds it while the wheel recovers, and applies it again in steps.

    Parameters
    ----------
    groups : tuple of tuple of int
        For every modulator the indices of the sensors that drive it; of several the slowest wheel decides (select-low).
    sample_time : float
        Time between two samples [s].
    release_deceleration : float
        Deceleration of a wheel above which its brake is released [m/s2]; that of a good road is below 10.
    release_slip : float
        Slip above which the brake of a wheel that still slows is released [-], 0 to 0.5.
    off_below : float
        Reference speed below which nothing is controlled [m/s].

    Attributes
    ----------
    reference_speed : float
        What it takes for the vehicle's speed [m/s].
    lamp : bool
        Whether it has found a sensor lost; a group all of whose sensors are lost is out of control and applies.
    controlling : bool
        Whether any group is controlled.

    Examples
    --------
    >>> control = TeachingAntiLock(((0,), (1,)), sample_time=0.005)
    >>> control.on_sample(0.0, (20.0, 20.0))
    (1, 1)
    >>> control.on_sample(0.005, (19.0, 20.0))
    (-1, 1)
    >>> control.controlling, control.reference_speed
    (True, 20.0)
    """

    def __init__(
        self,
        groups: Groups,
        sample_time: float = 0.005,
        *,
        release_deceleration: float = 20.0,
        release_slip: float = 0.20,
        off_below: float = 1.9,
    ) -> None:
        self.off_below = off_below
        self.wheels = Wheels(sample_time)
        self.reference = Reference(sample_time)
        limits = Thresholds(sample_time, release_deceleration, release_slip)
        self.groups = tuple(Group(wheels, limits) for wheels in groups)

    def __deepcopy__(self, memo: dict[int, Any]) -> Self:
        """A run copies its controllers often; all that changes lies in these, whose fields are immutable."""
        twin = copy.copy(self)
        twin.wheels, twin.reference = copy.copy(self.wheels), copy.copy(self.reference)
        twin.groups = tuple([copy.copy(group) for group in self.groups])
        return twin

    @property
    def reference_speed(self) -> float:
        """Reference speed [m/s]."""
        return self.reference.speed or 0.0

    @property
    def lamp(self) -> bool:
        """Whether a sensor is lost."""
        return any(self.wheels.lost)

    @property
    def controlling(self) -> bool:
        """Whether any group is controlled."""
        return any(group.controlled for group in self.groups)

    def on_sample(self, time: float, speeds: Sequence[float]) -> tuple[int, ...]:
        """Command of every modulator; see `pneusim.control.protocol.Controller`."""
        self.wheels.take(speeds, self.reference_speed)
        reference = self.reference.follow(self.wheels, self.controlling)
        on = reference >= self.off_below
        return tuple(group.command(self.wheels, self.reference, on) for group in self.groups)
