"""A parameter that a fit looks for, on a scale of shares 0..1 between its bounds."""

from __future__ import annotations

import math
from dataclasses import dataclass

DECADE = 10.0
"""Bounds this many times apart are searched by their logarithm."""


EDGE = 1e-3
"""Distance from a bound, as a share, that counts as lying on it."""


@dataclass(frozen=True)
class Unknown:
    """A parameter to be found, or the offset of the clocks.

    Attributes
    ----------
    name : str
    paths : tuple of str
        What it changes; all of them get its value.  The offset changes none.
    dimension : str
        Of ``pneusim.quantities``.
    low, high, start : float
        Bounds and the first guess [SI].
    """

    name: str
    paths: tuple[str, ...]
    dimension: str
    low: float
    high: float
    start: float

    @property
    def logarithmic(self) -> bool:
        """Whether the scale is that of the logarithm: bounds above zero and a decade apart or more."""
        return self.low > 0.0 and self.high >= DECADE * self.low

    def value(self, share: float) -> float:
        """Value at a share [SI].

        Examples
        --------
        >>> Unknown("b", (), "number", 0.0, 0.5, 0.2).value(0.5)
        0.25
        >>> round(Unknown("C", (), "number", 1.0, 100.0, 2.0).value(0.5), 9)
        10.0
        """
        if self.logarithmic:
            return float(self.low * (self.high / self.low) ** share)
        return self.low + (self.high - self.low) * share

    def share(self, value: float) -> float:
        """Share of a value."""
        if self.logarithmic:
            return math.log(value / self.low) / math.log(self.high / self.low)
        return (value - self.low) / (self.high - self.low)

    def bound_at(self, value: float) -> str:
        """Which bound a value lies on, ``lower`` or ``upper``; "" if none.

        Examples
        --------
        >>> b = Unknown("b", (), "number", 0.0, 0.5, 0.2)
        >>> b.bound_at(0.5), b.bound_at(0.4)
        ('upper', '')
        """
        share = self.share(value)
        return "lower" if share < EDGE else "upper" if share > 1.0 - EDGE else ""

    def slope(self, share: float) -> float:
        """Change of the value with the share [SI]."""
        if self.logarithmic:
            return self.value(share) * math.log(self.high / self.low)
        return self.high - self.low
