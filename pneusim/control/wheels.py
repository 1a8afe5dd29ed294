"""What the last samples tell of the wheels: speeds, how fast they change, and which sensors are lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

WINDOW, SHORT = 4, 2
"""Samples over which speeds are compared: for thresholds, and for turning points."""

IMPOSSIBLE = 1000.0
"""Deceleration [m/s2] to a stand that no wheel reaches, for the moment of a brake grows from nothing: a lost sensor.

Common practice is such a check of plausibility beside that of the cable; this figure is ours.
"""

SURELY_ROLLING = 5.0
"""Reference speed [m/s] above which a sensor that has never told a speed is lost."""


@dataclass
class Wheels:
    """The last samples, the newest first, and which sensors are lost; ``known`` are those that are not.

    All fields are immutable, so that a shallow copy of it is a copy.
    """

    sample_time: float
    speeds: tuple[float, ...] = ()
    """Of the newest sample [m/s]."""
    history: tuple[tuple[float, ...], ...] = ()
    heard: tuple[bool, ...] = ()
    lost: tuple[bool, ...] = ()
    known: tuple[int, ...] = ()

    def take(self, speeds: Sequence[float], reference: float) -> None:
        """Take a sample [m/s]; ``reference`` is the reference speed before it."""
        newest = tuple(speeds)
        if not self.history:
            self.history = (newest,) * WINDOW
            self.heard = self.lost = (False,) * len(newest)
            self.known = tuple(range(len(newest)))
            reference = max(newest, default=0.0)
        if 0.0 in newest or not all(self.heard):
            self._watch(newest, reference)
        self.speeds, self.history = newest, (newest, *self.history[:WINDOW])

    def _watch(self, newest: tuple[float, ...], reference: float) -> None:
        """A sensor that falls to nothing faster than any wheel, or tells nothing at speed, is lost for good."""
        self.heard = tuple([heard or speed > 0.0 for heard, speed in zip(self.heard, newest)])
        before, fastest = self.history[0], IMPOSSIBLE * self.sample_time
        self.lost = tuple([
            lost or (now <= 0.0 and (was > fastest or (not heard and reference > SURELY_ROLLING)))
            for lost, heard, was, now in zip(self.lost, self.heard, before, newest)
        ])  # fmt: skip
        self.known = tuple([wheel for wheel, lost in enumerate(self.lost) if not lost])

    def slowest(self, sensors: Sequence[int]) -> int | None:
        """Of some sensors the one at the slowest wheel; None if all of them are lost."""
        known = [wheel for wheel in sensors if not self.lost[wheel]]
        return min(known, key=self.speeds.__getitem__, default=None) if len(known) != 1 else known[0]

    def trend(self, wheel: int) -> float:
        """Acceleration of a wheel over the last four intervals [m/s2]."""
        return (self.speeds[wheel] - self.history[WINDOW][wheel]) / (WINDOW * self.sample_time)

    def turn(self, wheel: int) -> float:
        """Acceleration of a wheel over the last two intervals [m/s2]: it tells sooner and less surely."""
        return (self.speeds[wheel] - self.history[SHORT][wheel]) / (SHORT * self.sample_time)
