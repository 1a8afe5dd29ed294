"""One modulator under control: the phases through which its wheel goes, and what it learns of the road."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from pneusim.control.protocol import APPLY, HOLD, RELEASE
from pneusim.control.reference import Reference
from pneusim.control.wheels import Wheels

TURNS = 2.0
"""Acceleration from which on a wheel turns round by itself, so that nothing more need be released [m/s2]."""

RECOVERED = 2.5
"""A wheel that accelerates by less than this after its recovery rolls again [m/s2]: the honest sign, for on ice all
wheels drop together and slip against the reference tells nothing."""

STILL_SLOWS = 1.0
"""Deceleration of a wheel that has not turned round [m/s2]."""

EARLY_SLIP, EARLY_SHARE = 0.05, 0.75
"""With this slip this share of the deceleration, beyond the vehicle's, is enough for a release."""

GREATEST_SLIP = 0.5
"""Slip above which a brake is released whatever its wheel does."""

SETTLING = 0.015
"""Time that a wheel is given before its answer is looked at [s]."""

PAUSE, LONG_PAUSE = 0.15, 0.45
"""Time between two steps of the re-application [s]: the long one where the vehicle hardly slows, as on ice."""

HARDLY_SLOWS = 1.6
"""Bound of the reference's fall below which the pause is long [m/s2]."""

GROWS_EVERY = 3
"""After so many calm steps they are a sample longer."""

CALM_STEPS = 10
"""After so many the wheel takes whatever the driver asks for: the control of it ends."""

FIRST_SHARE, LEAST_SHARE, GREATEST_SHARE = 0.6, 0.08, 0.8
"""First pulse over the time of release before it: at the start, and the bounds of what is learnt."""

SHRINKS, GROWS, MANY_STEPS = 0.7, 1.25, 5
"""The share shrinks if the wheel goes unstable on the first pulse, and grows if so many steps had to follow it."""


@dataclass(frozen=True)
class Thresholds:
    """What is common to all groups: sample time [s], deceleration [m/s2] and slip [-] of a release."""

    sample_time: float
    deceleration: float
    slip: float

    def samples(self, time: float) -> int:
        """Samples in a time [s], at least one."""
        return max(1, round(time / self.sample_time))


class Phase(Enum):
    """What a group is at."""

    FREE = "whatever the driver asks for"
    RELEASING = "air is let out until the wheel turns round"
    RECOVERING = "held until the wheel rolls again"
    STEPPING = "air is let in: the first pulse, then a step"
    PAUSING = "held between two steps"


_COMMANDS = {
    Phase.FREE: APPLY,
    Phase.RELEASING: RELEASE,
    Phase.RECOVERING: HOLD,
    Phase.STEPPING: APPLY,
    Phase.PAUSING: HOLD,
}


@dataclass
class Wheel:
    """The wheel that decides, at one sample: slip [-], accelerations over four and two samples [m/s2]."""

    slip: float
    trend: float
    turn: float


@dataclass
class Group:
    """State of one group; ``sensors`` are the wheels that drive it, of which the slowest decides."""

    sensors: tuple[int, ...]
    limits: Thresholds
    phase: Phase = Phase.FREE
    since: int = 0
    """Samples since the phase began."""
    released: int = 0
    """Samples of release in this cycle."""
    left: int = 0
    """Samples of the pulse that are still to come."""
    steps: int = -1
    """Steps after the first pulse of this cycle, -1 before that."""
    share: float = FIRST_SHARE
    """First pulse over release, learnt."""
    cycles: int = 0

    @property
    def controlled(self) -> bool:
        """Whether it does something else than the driver asks for."""
        return self.phase is not Phase.FREE

    def command(self, wheels: Wheels, reference: Reference, on: bool) -> int:
        """Command after a sample; all is free where the control is off or no sensor is left."""
        known = [wheel for wheel in self.sensors if not wheels.lost[wheel]]
        if not on or not known:
            self._enter(Phase.FREE)
        else:
            speed = reference.speed or 0.0
            slowest = min(known, key=wheels.speeds.__getitem__)
            wheel = Wheel(1.0 - wheels.speeds[slowest] / speed, wheels.trend(slowest), wheels.turn(slowest))
            self.since += 1
            _NEXT[self.phase](self, wheel, reference.fall)
        return _COMMANDS[self.phase]

    # ---- what a sample does in each phase

    def _free(self, wheel: Wheel, fall: float) -> None:
        if self._unstable(wheel, fall):
            self._begin_cycle()

    def _releasing(self, wheel: Wheel, fall: float) -> None:
        self.released += 1
        if wheel.turn > TURNS:
            self._enter(Phase.RECOVERING)

    def _recovering(self, wheel: Wheel, fall: float) -> None:
        if not self._lasted(SETTLING):
            return
        if self._slips(wheel):
            self._enter(Phase.RELEASING)
        elif self._unstable(wheel, fall) and wheel.turn < 0.0:
            self._begin_cycle()
        elif wheel.slip < self.limits.slip and wheel.trend < RECOVERED:
            self._step(max(1, int(self.share * self.released)))

    def _stepping(self, wheel: Wheel, fall: float) -> None:
        self.left -= 1
        if self._unstable(wheel, fall):
            self._begin_cycle()
        elif self.left <= 0:
            self._enter(Phase.PAUSING)

    def _pausing(self, wheel: Wheel, fall: float) -> None:
        if self._slips(wheel) or (self._unstable(wheel, fall) and wheel.turn < 0.0):
            self._begin_cycle()
        elif wheel.slip < self.limits.slip and self._lasted(PAUSE if fall > HARDLY_SLOWS else LONG_PAUSE):
            if self.steps == CALM_STEPS:
                self._enter(Phase.FREE)
            else:
                self._step(1 + (self.steps + 1) // GROWS_EVERY)

    # ---- judgements

    def _unstable(self, wheel: Wheel, fall: float) -> bool:
        """Whether the wheel is on its way to lock."""
        limits, deceleration = self.limits, -wheel.trend
        return (
            deceleration > limits.deceleration
            or (wheel.slip > EARLY_SLIP and deceleration > EARLY_SHARE * limits.deceleration + fall)
            or (wheel.slip > limits.slip and deceleration > STILL_SLOWS)
            or wheel.slip > GREATEST_SLIP
        )

    def _slips(self, wheel: Wheel) -> bool:
        """Whether the wheel slips and does not come back."""
        return wheel.slip > self.limits.slip and wheel.trend < TURNS

    def _lasted(self, time: float) -> bool:
        return self.since >= self.limits.samples(time)

    # ---- changes of phase

    def _enter(self, phase: Phase) -> None:
        self.phase, self.since = phase, 0

    def _begin_cycle(self) -> None:
        self._learn()
        self.released, self.steps = 0, -1
        self.cycles += 1
        self._enter(Phase.RELEASING)

    def _learn(self) -> None:
        """The size of the first pulse, from what came of the last one."""
        if self.steps == 0:
            self.share = max(LEAST_SHARE, SHRINKS * self.share)
        elif self.steps >= MANY_STEPS:
            self.share = min(GREATEST_SHARE, GROWS * self.share)

    def _step(self, samples: int) -> None:
        self.left = samples
        self.steps += 1
        self._enter(Phase.STEPPING)


_NEXT = {
    Phase.FREE: Group._free,
    Phase.RELEASING: Group._releasing,
    Phase.RECOVERING: Group._recovering,
    Phase.STEPPING: Group._stepping,
    Phase.PAUSING: Group._pausing,
}
