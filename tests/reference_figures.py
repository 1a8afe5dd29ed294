"""Reader of the published figures in `shared/references`, for tests only."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

from pneusim.quantities import STANDARD_ATMOSPHERE, is_absolute, parse_any
from tests import figures_page

FOLDER = Path(__file__).parents[1] / "shared" / "references"
VALIDATION = ("seen", "recomputed", "closed_form")
HOW_OBTAINED = (*VALIDATION, "verification", "memory")


@dataclass(frozen=True)
class Figure:
    """A published figure with its source, and what it was obtained with."""

    id: str
    title: str
    value: float
    unit: str | int
    printed_precision: float
    source: dict
    how_obtained: str
    tolerance: dict
    why: str
    inputs: dict

    @property
    def is_validation(self):
        return self.how_obtained in VALIDATION

    @property
    def expected(self):
        """The value in SI; absolute pressures stay absolute."""
        return self._si(self.value)

    @property
    def margin(self):
        """Largest difference allowed, in SI."""
        if "relative" in self.tolerance:
            return self.tolerance["relative"] * abs(self.expected)
        return self._si(self.tolerance["absolute"])

    def _si(self, number):
        return si(f"{number} {self.unit}" if self.unit != 1 else number)

    def in_unit(self, value):
        """A value in SI in the figure's own unit."""
        return (value - self._si(0.0)) / (self._si(1.0) - self._si(0.0))

    def __getitem__(self, name):
        """An input in SI: absolute pressures absolute, others gauge; words as they are."""
        return si(self.inputs[name])

    def absolute(self, name):
        """A pressure among the inputs as absolute pressure [Pa]."""
        value = self[name]
        return value if is_absolute(self.inputs[name]) else value + STANDARD_ATMOSPHERE

    def check(self, computed):
        """Fail with the whole story if a computed SI value lies outside the tolerance, or is not what `docs/` say."""
        difference = computed - self.expected
        assert abs(difference) <= self.margin, (
            f"{self.id}: {self.title}: computed {computed:.6g}, expected {self.expected:.6g} "
            f"({difference / self.expected:+.2%}), allowed +-{self.margin:.3g} [SI]; {self.source}; {self.why}"
        )
        figures_page.hold(self, computed)


def si(entry):
    """SI value of an entry: a number, a text with a unit, or a word."""
    if not isinstance(entry, str) or entry[:1].isalpha():
        return entry
    value, dimension = parse_any(entry)
    return value + STANDARD_ATMOSPHERE if dimension == "pressure" and is_absolute(entry) else value


@cache
def figures():
    """All figures by name."""
    found = {}
    for path in sorted(FOLDER.glob("*.yaml")):
        for entry in yaml.safe_load(path.read_text(encoding="utf-8")):
            figure = Figure(**entry)
            assert figure.id not in found, f"{figure.id} stands twice"
            found[figure.id] = figure
    return found


def figure(name):
    """One figure by name."""
    return figures()[name]
