"""Reservoirs too small for the service chambers."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Component
from pneusim.lints.base import FROM_MEMORY, POWERED, TOWED, Lint, Seen, at
from pneusim.lints.unit import Unit
from pneusim.quantities import express

SOURCES = {"us": f"49 CFR 571.121 S5.1.2.1 (12 times), S5.2.1.1 (trailers: 8 times), {FROM_MEMORY}"}
_TIMES_POWERED, _TIMES_TOWED = 12, 8


def find(unit: Unit) -> Iterator[Seen]:
    """Hold the volume that counts against the rated volume of the service chambers.

    Service reservoirs count; on a motor vehicle also those from which the service brakes are fed.
    """
    powered = unit.vehicle.kind in POWERED
    times = _TIMES_POWERED if powered else _TIMES_TOWED
    brakes, reservoirs = unit.all(*ACTUATORS), unit.all("reservoir")
    if not brakes or not reservoirs:
        return
    counted = [r for r in reservoirs if unit.figure(r, "service") or (powered and unit.feeds_brakes(r))]
    volume = sum(float(unit.figure(reservoir, "volume")) for reservoir in counted)
    rated = sum(_rated(unit, brake) for brake in brakes)
    if volume < times * rated:
        names = ", ".join(reservoir.name for reservoir in counted) or "no reservoir"
        yield at(
            (counted or reservoirs)[0],
            f"{express(volume, 'volume')} in {names} are less than {times} times the {express(rated, 'volume')} of the "
            f"service chambers, {express(times * rated, 'volume')}",
            "fit larger reservoirs, and mark those of the service brakes with 'service: true'",
        )


def _rated(unit: Unit, brake: Component) -> float:
    """Rated volume of a service chamber, pre-fill included [m3]."""
    figures = (unit.figure(brake, name) for name in ("pre_fill", "area", "stroke"))
    pre_fill, area, stroke = figures
    return float(pre_fill + area * stroke)


LINT = Lint("W08", "The reservoirs are too small for the service chambers.", SOURCES, find, (*POWERED, *TOWED))
