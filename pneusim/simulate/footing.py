"""What a wheel has under it: the friction of its tyre on the road, and the side force that braking leaves it.

The same laws as in a run, for pictures and for questions after it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.motion import Tyre
from pneusim.circuit.road import Road
from pneusim.circuit.rolling import SIDES, wheel_name
from pneusim.circuit.statics import stand
from pneusim.engine.road import GripSpec
from pneusim.physics.adhesion import burckhardt, grip, magic
from pneusim.physics.combined_slip import combined_force
from pneusim.simulate.grips import grip_of

Array = npt.NDArray[np.float64]

SEARCHED = np.concatenate([np.linspace(0.0, 0.3, 301), np.linspace(0.305, 1.0, 140)])
"""Slips at which the peak of a curve is looked for, and at which curves are drawn well [-]."""


@dataclass(frozen=True)
class Footing:
    """A tyre on a surface: the surface's name, the tyre, and the law of friction with its numbers."""

    surface: str
    tyre: Tyre
    law: GripSpec

    def friction(self, slips: Sequence[float] | Array, speed: float, load: float) -> Array:
        """Force of the road over load [-] at steady slips [-], a speed [m/s] and a load of the wheel [N]."""
        return np.array([self._friction(float(slip), speed, load) for slip in slips])

    def peak(self, speed: float, load: float) -> tuple[float, float]:
        """Slip of the peak and friction there [-]."""
        found = self.friction(SEARCHED, speed, load)
        best = int(found.argmax())
        return float(SEARCHED[best]), float(found[best])

    def combined(self, slips: Sequence[float] | Array, angle: float, speed: float, load: float) -> tuple[Array, Array]:
        """Forces over load [-] along the wheel, braking positive, and across, both at a slip angle [rad]."""

        def friction(size: float) -> float:
            return self._friction(size, speed, load)

        forces = np.array([combined_force(1.0, float(slip), angle, friction) for slip in slips])
        return -forces[:, 0], -forces[:, 1]

    def _friction(self, slip: float, speed: float, load: float) -> float:
        law = burckhardt if self.law.law == "burckhardt" else magic
        friction = law(slip, slip, speed, *self.law.numbers)[0]
        rated = self.tyre.rated_load
        assert rated is not None
        return -float(grip(load, friction, self.tyre.load_sensitivity, rated)) / load if load > 0.0 else 0.0


@dataclass(frozen=True)
class Path:
    """What lies in the way of a wheel: its place behind the first unit's datum [m], where on the road what begins."""

    place: float
    stretches: tuple[tuple[float, Footing], ...]

    def at(self, distance: float) -> Footing:
        """What is under the wheel when its unit has gone so far [m]."""
        here = distance - self.place
        return [footing for start, footing in self.stretches if start <= here or start == self.stretches[0][0]][-1]


def paths(circuit: Circuit, road: Road) -> dict[str, Path]:
    """The paths of all wheels, by the names of their channels.

    Raises
    ------
    UsageError
        If a tyre's law cannot have a surface's shape.
    """
    found = {}
    for standing in stand(circuit.vehicles, road):
        for stood in standing.axles:
            rolling = stood.axle.rolling
            assert rolling is not None
            for side in SIDES:
                stretches = tuple(
                    (stretch.start, _footing(road, getattr(stretch, side), rolling.tyre)) for stretch in road.stretches
                )
                name = wheel_name(standing.vehicle.name, stood.axle.number, side)
                found[name] = Path(standing.offset + rolling.at, stretches)
    return found


def _footing(road: Road, surface: str, tyre: Tyre) -> Footing:
    return Footing(surface, tyre, grip_of(road.surfaces[surface], tyre))
