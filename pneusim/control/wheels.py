"""What the last samples tell of the wheels: speeds, how fast they change, and which sensors are lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

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
    """The last samples, the newest first."""

    sample_time: float
    history: list[tuple[float, ...]] = field(default_factory=list)
    heard: list[bool] = field(default_factory=list)
    lost: list[bool] = field(default_factory=list)

    def take(self, speeds: Sequence[float], reference: float) -> None:
        """Take a sample [m/s]; ``reference`` is the reference speed before it."""
        newest = tuple(speeds)
        if not self.history:
            self.history = [newest] * WINDOW
            self.heard, self.lost = [False] * len(newest), [False] * len(newest)
            reference = max(newest, default=0.0)
        self._watch(newest, reference)
        self.history = [newest, *self.history[:WINDOW]]

    def _watch(self, newest: tuple[float, ...], reference: float) -> None:
        """A sensor that falls to nothing faster than any wheel, or tells nothing at speed, is lost for good."""
        before = self.history[0]
        for wheel, speed in enumerate(newest):
            if speed > 0.0:
                self.heard[wheel] = True
            elif before[wheel] > IMPOSSIBLE * self.sample_time or (
                not self.heard[wheel] and reference > SURELY_ROLLING
            ):
                self.lost[wheel] = True

    @property
    def speeds(self) -> tuple[float, ...]:
        """Speeds of the newest sample [m/s]."""
        return self.history[0]

    def trend(self, wheel: int) -> float:
        """Acceleration of a wheel over the last four intervals [m/s2]."""
        return (self.history[0][wheel] - self.history[WINDOW][wheel]) / (WINDOW * self.sample_time)

    def turn(self, wheel: int) -> float:
        """Acceleration of a wheel over the last two intervals [m/s2]: it tells sooner and less surely."""
        return (self.history[0][wheel] - self.history[SHORT][wheel]) / (SHORT * self.sample_time)

    def known(self) -> list[int]:
        """Wheels whose sensors are not lost."""
        return [wheel for wheel, lost in enumerate(self.lost) if not lost]
