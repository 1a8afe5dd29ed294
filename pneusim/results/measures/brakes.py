"""The brakes of a run with their channels, in the order of the vehicle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pneusim.circuit.braking import ACTUATORS
from pneusim.circuit.circuit import Component
from pneusim.results.run import Channel, Run

Array = npt.NDArray[np.float64]

CONTACT = 2e-4
"""A spring piston this near behind its pushrod counts as pushing it [m]."""


@dataclass(frozen=True)
class Brake:
    """A brake actuator and its channels; the spring's are None for a plain chamber."""

    component: Component
    pressure: Channel
    force: Channel
    stroke: Channel
    spring_pressure: Channel | None = None
    spring_travel: Channel | None = None

    @property
    def name(self) -> str:
        """The component's name."""
        return self.component.name


def brakes(run: Run) -> tuple[Brake, ...]:
    """All brakes whose channels the run has: by unit, axle, side, name."""
    found = []
    for component in sorted(brake_components(run), key=lambda c: vehicle_order(run, c)):
        own = {q: run.channels.get(f"{component.name}.{q}") for q in _QUANTITIES}
        pressure, force, stroke = own["service_pressure"], own["pushrod_force"], own["stroke"]
        if pressure is not None and force is not None and stroke is not None:
            found.append(Brake(component, pressure, force, stroke, own["spring_pressure"], own["spring_travel"]))
    return tuple(found)


def spring_pushes(travel: Array, stroke: Array) -> npt.NDArray[np.bool_]:
    """Where a spring that has left its stop is behind the pushrod [m]."""
    return (travel > CONTACT) & (travel >= stroke - CONTACT)


def brake_components(run: Run) -> list[Component]:
    """The brake actuators of the circuit."""
    return [component for component in run.circuit.components.values() if component.type in ACTUATORS]


def vehicle_order(run: Run, component: Component) -> tuple[int, int, str, str]:
    """Key that sorts components as they stand in the combination, from the front."""
    units = [vehicle.name for vehicle in run.circuit.vehicles]
    unit = units.index(component.unit) if component.unit in units else len(units)
    return unit, component.axle or 0, component.side or "", component.name


_QUANTITIES = ("service_pressure", "pushrod_force", "stroke", "spring_pressure", "spring_travel")
