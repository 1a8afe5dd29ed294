"""Tyres far from their rated load, so that the law of their friction is stretched."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.circuit.road import Road
from pneusim.circuit.statics import is_known, stand
from pneusim.lints.base import Lint, Seen
from pneusim.lints.unit import Unit
from pneusim.quantities import express

_ASSUMED = "the law is linear in the load; how far it reaches is an assumption, no source"
SOURCES = {"un13": _ASSUMED, "us": _ASSUMED}
_FIX = "write the 'rated_load' of the tyres at one end of the axle under 'tyre:'"
LEAST, MOST = 0.2, 1.5  #: load over rated load that the law is for, an assumption [-]


def find(unit: Unit) -> Iterator[Seen]:
    """Hold the static load at one end of each axle against the rated load of its tyres."""
    chain = unit.chain
    seen: set[int] = set()
    for state in ("laden", "empty"):
        loading = {vehicle.name: state for vehicle in chain}
        for stood in stand(chain, Road(loading=loading))[0].axles if is_known(chain, loading) else ():
            axle, load = stood.axle, 0.5 * stood.load
            rated = axle.rolling.tyre.rated_load if axle.rolling else None
            if rated and axle.number not in seen and not LEAST * rated <= load <= MOST * rated:
                seen.add(axle.number)
                yield Seen(axle.place, f"axles.{axle.number}", _words(state, axle.number, load, rated), _FIX)


def _words(state: str, number: int, load: float, rated: float) -> str:
    share, bounds = express(load / rated, "fraction"), [express(bound, "fraction") for bound in (LEAST, MOST)]
    return (
        f"{state}, one end of axle {number} bears {express(load, 'force')}, {share} of the rated load "
        f"{express(rated, 'force')} of its tyres; the law of their friction is for {bounds[0]} to {bounds[1]}"
    )


LINT = Lint("W17", "The tyres of an axle are far from their rated load.", SOURCES, find)
