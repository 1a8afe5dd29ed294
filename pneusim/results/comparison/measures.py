"""Measures of two runs side by side, and which of their differences tell something."""

from __future__ import annotations

from dataclasses import dataclass

from pneusim.quantities import DIMENSIONS, express
from pneusim.results.run import MeasureResult, Run
from pneusim.results.words import NOISE

SHARE = 0.01
"""A measure without an error bar differs if it does by more than this share of the larger value ..."""

SMALLEST = {
    "pressure": 1e3, "pressure_difference": 1e3, "time": 5e-3, "force": 20.0, "torque": 5.0, "length": 1e-4,
    "fraction": 5e-3, "temperature": 0.5, "volume": 1e-5, "acceleration": 0.05, "angle": 2e-3,
}  # fmt: skip
"""... and by more than this [SI]."""


@dataclass(frozen=True)
class MeasureDifference:
    """One measure of both runs; None where a run does not have it."""

    name: str
    a: MeasureResult | None
    b: MeasureResult | None

    @property
    def dimension(self) -> str:
        """Dimension of ``pneusim.quantities``."""
        found = [one for one in (self.a, self.b) if one is not None]
        return next((one.dimension for one in found if one.value is not None), found[0].dimension)

    @property
    def values(self) -> tuple[float | None, float | None]:
        """Both values [SI]."""
        return (None if self.a is None else self.a.value, None if self.b is None else self.b.value)

    @property
    def difference(self) -> float | None:
        """B less A [SI]; None if one of them has no value."""
        a, b = self.values
        return None if a is None or b is None else b - a

    @property
    def share(self) -> float | None:
        """The difference as a share of A; None where that says nothing: A nearly zero, or a temperature."""
        a = self.values[0]
        if self.difference is None or a is None or self.dimension == "temperature":
            return None
        return self.difference / abs(a) if abs(a) > SMALLEST.get(self.dimension, 0.0) else None

    @property
    def threshold(self) -> float:
        """What the difference must be above to tell something [SI]: the error bars together, where there are any."""
        errors = [one.error for one in (self.a, self.b) if one is not None and one.error is not None]
        if errors:
            return max(sum(errors), NOISE.get(self.dimension, 0.0))
        largest = max((abs(value) for value in self.values if value is not None), default=0.0)
        share = 0.0 if self.dimension == "temperature" else SHARE * largest
        return max(share, SMALLEST.get(self.dimension, 0.0))

    @property
    def common(self) -> bool:
        """Whether both runs have the measure, be it without a value."""
        return self.a is not None and self.b is not None

    @property
    def telling(self) -> bool:
        """Whether both have the measure and it differs: a value in one run only, or values apart by more than the
        threshold."""
        if not self.common:
            return False
        if self.difference is None:
            return self.values != (None, None)
        return abs(self.difference) > self.threshold

    @property
    def turned(self) -> bool:
        """Whether its limit is met in one run and missed in the other."""
        a, b = (None if one is None else one.met for one in (self.a, self.b))
        return a is not None and b is not None and a is not b


def measure_differences(a: Run, b: Run) -> tuple[MeasureDifference, ...]:
    """All measures of both runs, in the order of the first, then those that only the second has."""
    ours, theirs = ({result.name: result for result in run.measures} for run in (a, b))
    names = dict.fromkeys([*ours, *theirs])
    return tuple(MeasureDifference(name, ours.get(name), theirs.get(name)) for name in names)


def threshold_in_words(differences: tuple[MeasureDifference, ...], system: str = "si") -> str:
    """What counts as a difference, in words."""
    common = [one for one in differences if one.common]
    errors = any(x.error is not None for one in common for x in (one.a, one.b) if x is not None)
    used = [name for name in SMALLEST if name in DIMENSIONS and any(one.dimension == name for one in common)]
    least = ", ".join(dict.fromkeys(express(SMALLEST[name], name, system) for name in used))
    plain = f"by more than {100 * SHARE:g} % of the larger value" + (f" and more than {least}" if least else "")
    return f"by more than their error bars together; without error bars {plain}" if errors else plain
