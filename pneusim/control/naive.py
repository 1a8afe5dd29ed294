"""An anti-lock control as a first thought would have it; a lesson shows what it overlooks."""

from __future__ import annotations

from collections.abc import Sequence

from pneusim.control.protocol import APPLY, RELEASE, Groups


class NaiveAntiLock:
    """Releases a brake while its wheel is slower than the fastest by a share, and applies it otherwise.

    It takes the fastest wheel for the vehicle.  Where all wheels slip at once, as on ice, that wheel locks with the
    others and the slip told is small.  Applied whole and released whole, a brake swings about its best.

    Parameters
    ----------
    groups : tuple of tuple of int
        For every modulator the indices of the sensors that drive it.
    slip : float
        Slip above which a brake is released [-].

    Examples
    --------
    >>> NaiveAntiLock(((0,), (1,))).on_sample(0.0, (20.0, 10.0))
    (1, -1)
    >>> NaiveAntiLock(((0,), (1,))).on_sample(0.0, (3.0, 3.0))  # at 20 m/s
    (1, 1)
    """

    lamp = False

    def __init__(self, groups: Groups, slip: float = 0.2) -> None:
        self.groups, self.slip = groups, slip
        self.reference_speed = 0.0
        self.controlling = False

    def on_sample(self, time: float, speeds: Sequence[float]) -> tuple[int, ...]:
        """Command of every modulator; see `pneusim.control.protocol.Controller`."""
        self.reference_speed = max(speeds)
        limit = (1.0 - self.slip) * self.reference_speed
        commands = tuple(RELEASE if min(speeds[s] for s in group) < limit else APPLY for group in self.groups)
        self.controlling = RELEASE in commands
        return commands
