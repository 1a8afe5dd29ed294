"""One modulator under control: the phases through which its wheel goes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from pneusim.control.protocol import APPLY, HOLD, RELEASE
from pneusim.control.reference import Reference
from pneusim.control.wheels import Wheels

EARLY_SLIP = 0.05
"""Slip that must come with the deceleration of a release: after a step of the pressure the tread swings in the tyre,
and the wheel slows for a moment as much as if it began to lock, but not so far."""

GREATEST_SLIP = 0.6
"""Slip above which a brake is released until the wheel turns round, whatever else the wheel does."""

STILL_SLOWS = 1.0
"""Deceleration of a wheel that has not turned round [m/s2]."""

TURNS = 2.0
"""Acceleration from which on a wheel turns round by itself, so that nothing more need be released [m/s2]."""

RECOVERED = 2.5
"""A wheel that accelerates by less than this after its recovery rolls again [m/s2]: the honest sign, for on ice all
wheels drop together and slip against the reference tells nothing."""

SETTLING = 0.04
"""Time after a release before the wheel's answer is looked at [s]: delay, air, tyre, and the samples of a trend."""

PAUSE = 0.15
"""Time between two steps of the re-application, and before the first [s]: with the rest of a cycle it keeps a modulator
below five releases a second."""

CALM_STEPS = 10
"""After so many steps, each a sample longer than the last, the wheel takes whatever the driver asks for: the control of
it ends."""


@dataclass(frozen=True)
class Thresholds:
    """What is common to all groups: sample time [s], deceleration [m/s2] and slip [-] of a release."""

    sample_time: float
    deceleration: float
    slip: float


class Phase(Enum):
    """What a group is at, and what its modulator does meanwhile."""

    FREE = APPLY, "whatever the driver asks for"
    RELEASING = RELEASE, "air is let out until it may be enough"
    RECOVERING = HOLD, "held: first for the answer of the wheel, then until it rolls again"
    PAUSING = HOLD, "held before a step"
    STEPPING = APPLY, "air is let in, a sample or a few"

    def __init__(self, command: int, words: str) -> None:
        self.command, self.words = command, words


@dataclass(slots=True)
class Wheel:
    """The wheel that decides, at one sample: slip [-], accelerations over four and two samples [m/s2]."""

    slip: float
    trend: float
    turn: float


@dataclass
class Group:
    """State of one group; ``sensors`` are the wheels that drive it, of which the slowest decides.

    All fields are immutable, so that a shallow copy of it is a copy.
    """

    sensors: tuple[int, ...]
    limits: Thresholds
    phase: Phase = Phase.FREE
    since: int = 0
    """Samples since the phase began."""
    steps: int = 0
    """Steps of the re-application in this cycle."""

    @property
    def controlled(self) -> bool:
        """Whether it does something else than the driver asks for."""
        return self.phase is not Phase.FREE

    def command(self, wheels: Wheels, reference: Reference, on: bool) -> int:
        """Command after a sample; all is free where the control is off or no sensor is left."""
        slowest = wheels.slowest(self.sensors) if on else None
        if slowest is not None:
            slip = 1.0 - wheels.speeds[slowest] / (reference.speed or 1.0)
            self.since += 1
            self._go_on(Wheel(slip, wheels.trend(slowest), wheels.turn(slowest)))
        elif self.controlled:
            self._enter(Phase.FREE)
        return self.phase.command

    def _go_on(self, wheel: Wheel) -> None:
        """What a sample does in each phase."""
        if self.phase is Phase.FREE:
            if self._unstable(wheel):
                self._begin_cycle()
        elif self.phase is Phase.RELEASING:
            if self._may_be_enough(wheel):
                self._enter(Phase.RECOVERING)
        elif self.phase is Phase.RECOVERING:
            self._recovering(wheel)
        elif self.phase is Phase.PAUSING:
            self._pausing(wheel)
        else:
            self._stepping(wheel)

    def _recovering(self, wheel: Wheel) -> None:
        if not self._lasted(SETTLING):
            return
        if (self._slips(wheel) or self._unstable(wheel)) and wheel.turn < TURNS:
            self._enter(Phase.RELEASING)
        elif wheel.slip < self.limits.slip and wheel.trend < RECOVERED:
            self._enter(Phase.PAUSING)

    def _pausing(self, wheel: Wheel) -> None:
        if self._slips(wheel) or (self._unstable(wheel) and wheel.turn < 0.0):
            self._begin_cycle()
        elif wheel.slip < self.limits.slip and self._lasted(PAUSE):
            self._enter(Phase.STEPPING if self.steps < CALM_STEPS else Phase.FREE)

    def _stepping(self, wheel: Wheel) -> None:
        if self._unstable(wheel):
            self._begin_cycle()
        elif self.since > self.steps:
            self.steps += 1
            self._enter(Phase.PAUSING)

    # ---- judgements

    def _unstable(self, wheel: Wheel) -> bool:
        """Whether the wheel is on its way to lock."""
        limits, deceleration = self.limits, -wheel.trend
        return (
            (wheel.slip > EARLY_SLIP and deceleration > limits.deceleration)
            or (wheel.slip > limits.slip and deceleration > STILL_SLOWS)
            or wheel.slip > GREATEST_SLIP
        )

    def _may_be_enough(self, wheel: Wheel) -> bool:
        """Whether no more need be released before the wheel has answered.

        A wheel that slows gently, as on ice, is released a sample at a time, and any other until it slows less: what
        has been commanded since, and the air behind it, are still to come.
        """
        answers = wheel.trend > -self.limits.deceleration or wheel.turn > wheel.trend
        return wheel.turn > TURNS or (answers and wheel.slip < GREATEST_SLIP)

    def _slips(self, wheel: Wheel) -> bool:
        """Whether the wheel slips and does not come back."""
        return wheel.slip > self.limits.slip and wheel.trend < TURNS

    def _lasted(self, time: float) -> bool:
        """Whether the phase has lasted a time [s], to the nearest sample."""
        return (self.since + 0.5) * self.limits.sample_time > time

    # ---- changes of phase

    def _enter(self, phase: Phase) -> None:
        self.phase, self.since = phase, 0

    def _begin_cycle(self) -> None:
        self.steps = 0
        self._enter(Phase.RELEASING)
