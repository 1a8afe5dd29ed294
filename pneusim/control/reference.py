"""Reference speed: what an anti-lock control takes for the speed of the vehicle, which it cannot measure."""

from __future__ import annotations

from dataclasses import dataclass

from pneusim.control.wheels import Wheels

STEEPEST = 9.0
"""Deceleration that no heavy vehicle exceeds [m/s2]: so fast may the reference fall before anything is learnt."""

CALM = 2.0
"""A wheel that changes its speed by less than this [m/s2] near the reference is taken to roll with the vehicle."""

NEAR = 0.97
"""Share of the reference speed from which on a wheel is near it."""

APART = 0.3
"""Least time between two sightings of a rolling wheel that a deceleration is learnt from [s]."""

TRUST = 0.4
"""Weight of a sighting against what is known."""

DOUBTED = 0.4
"""While no wheel is near the reference its fall grows e-fold in this time [s], until one is seen rolling: from ice onto
a good road the vehicle slows more than has been learnt, and all wheels seem to slip though they roll."""


@dataclass
class Reference:
    """The second-fastest wheel, whose fall is bounded by a deceleration that is learnt while a wheel is controlled.

    A single wheel may spin or be told wrongly, hence the second.  All wheels may slip at once, hence the bound: it is
    1.3 times the deceleration between two moments at which a wheel was seen rolling, and 0.5 m/s2 more, so that the
    reference comes down to the wheels again.  While no wheel comes near, the bound grows.  (Logic of the general
    literature; figures by trial.)  All fields are immutable, so that a shallow copy of it is a copy.
    """

    sample_time: float
    speed: float | None = None
    fall: float = STEEPEST
    learnt: float = STEEPEST
    sighting: tuple[int, float] | None = None
    samples: int = 0

    def follow(self, wheels: Wheels, controlling: bool) -> float:
        """Reference speed after a sample [m/s]."""
        self.samples += 1
        rolling = _second_fastest(wheels)
        before = rolling if self.speed is None else self.speed
        self.speed = max(rolling, before - self.fall * self.sample_time)
        if controlling:
            self._learn(wheels, self.speed)
        else:
            self.sighting, self.fall, self.learnt = None, STEEPEST, STEEPEST
        return self.speed

    def _learn(self, wheels: Wheels, speed: float) -> None:
        near = [wheel for wheel in wheels.known if wheels.speeds[wheel] > NEAR * speed]
        if not near:
            self.fall = min(STEEPEST, self.fall * (1.0 + self.sample_time / DOUBTED))
            return
        seen = [wheels.speeds[wheel] for wheel in near if abs(wheels.trend(wheel)) < CALM]
        if seen:
            self._see(max(seen))
            self.fall = self.learnt

    def _see(self, rolling: float) -> None:
        """Learn from a wheel that rolls with the vehicle [m/s]."""
        if self.sighting is None:
            self.sighting = (self.samples, rolling)
            return
        time = (self.samples - self.sighting[0]) * self.sample_time
        if time > APART:
            slope = max((self.sighting[1] - rolling) / time, 0.0)
            self.learnt = min(STEEPEST, (1.0 - TRUST) * self.learnt + TRUST * (1.3 * slope + 0.5))
            self.sighting = (self.samples, rolling)


def _second_fastest(wheels: Wheels) -> float:
    """Of two wheels the faster, of none 0."""
    speeds = sorted([wheels.speeds[wheel] for wheel in wheels.known], reverse=True)
    return speeds[1] if len(speeds) > 2 else max(speeds, default=0.0)
