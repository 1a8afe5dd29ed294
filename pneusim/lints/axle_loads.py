"""Axle loads that do not fit the mass of the vehicle."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.motion import Loading
from pneusim.circuit.road import Road
from pneusim.circuit.statics import FIT, given_loads, is_carried, is_known, load_on_hitch, stand
from pneusim.lints.base import CUSTOM, Lint, Seen
from pneusim.lints.unit import Unit
from pneusim.quantities import STANDARD_GRAVITY, express


def find(unit: Unit) -> Iterator[Seen]:
    """Hold what the axles bear, as the file gives it, against what they must bear."""
    motion = unit.vehicle.motion
    for state in ("laden", "empty"):
        loading = getattr(motion, state, None)
        loads = given_loads(unit.vehicle.axles, state)
        least, most = _wanted(unit, state, loading) if loading and loads else (0.0, float("inf"))
        borne = sum(loads)
        if loading and not (1.0 - FIT) * least <= borne <= (1.0 + FIT) * most:
            wanted = f"{'at least ' if most > least else ''}{express(least, 'force')}" if borne < least else ""
            yield Seen(
                loading.place,
                f"vehicle.{state}",
                f"{state}, the axles bear {express(borne, 'force')} by their loads, but "
                f"{wanted or express(most, 'force')} by mass, centre of mass and hitches; they must agree",
                "correct the loads of the axles, the mass or the place of the centre of mass",
            )


def _wanted(unit: Unit, state: str, loading: Loading) -> tuple[float, float]:
    """Least and most that all axles must bear together [N]; both are the same where it is known."""
    vehicle = unit.vehicle
    chain = unit.chain
    carried = load_on_hitch(chain[1:], state)
    weight = loading.mass * STANDARD_GRAVITY
    if is_carried(vehicle):
        states = {one.name: state for one in chain}
        if loading.centre_at is None or not is_known(chain, states):
            return 0.0, weight if carried == 0.0 else float("inf")
        rear = stand(chain, Road(loading=states))[0].loads[1]
        return rear, rear
    open_hitch = vehicle.motion is not None and vehicle.motion.rear_hitch is not None and not chain[1:]
    return weight + (carried or 0.0), float("inf") if open_hitch or carried is None else weight + carried


LINT = Lint("W16", "The axle loads do not fit the mass of the vehicle.", CUSTOM, find)
