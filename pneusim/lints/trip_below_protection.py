"""A trailer supply control that trips later than the tractor protection valve behind it shuts."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.lints.base import CUSTOM, Lint, Seen, at
from pneusim.lints.unit import Unit
from pneusim.quantities import express


def find(unit: Unit) -> Iterator[Seen]:
    """Controls whose trip does not lie above the closing pressure of a protection valve that they feed.

    On a broken control line the supply falls with the reservoirs. Near its closing pressure the protection valve
    throttles the leak, so that the supply comes to rest just above it: a trip below that is never reached.
    """
    for control in unit.all("trailer_supply_control"):
        delivery = unit.network.place(control.name, "2")
        fed = unit.network.reach([] if delivery is None else [delivery], unit.network.pipes)
        trip = float(unit.figure(control, "trip"))
        for valve in unit.all("tractor_protection_valve"):
            closes = float(unit.figure(valve, "closes"))
            if unit.network.place(valve.name, "11") in fed and trip <= closes:
                yield at(
                    control,
                    f"it trips at {express(trip, 'pressure')}, but {valve.name}, which it feeds, is shut at "
                    f"{express(closes, 'pressure')} already: that throttles a broken control line and keeps the supply "
                    "above the trip for ever",
                    f"let it trip above {express(closes, 'pressure')}",
                )


LINT = Lint("W12", "A trailer supply control trips below the tractor protection valve.", CUSTOM, find)
