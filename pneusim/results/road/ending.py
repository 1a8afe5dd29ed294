"""What still moves when a run on a road ends."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pneusim.circuit.braking import COMBINATION
from pneusim.results.road.rolling import REST, units
from pneusim.results.run import Run
from pneusim.results.words import amount, listed, moment, the_units

NOTICED = 0.5
"""Growth rate of a swing from which it is told: slower ones hardly grow within a stop [1/s]."""


def ending(run: Run, system: str) -> tuple[str, ...]:
    """``At the end (60.00 s) the trailer still moves, at 46 km/h.``, in one sentence for units of one speed."""
    groups: dict[str, list[str]] = {}
    for unit in units(run):
        speed = abs(float(unit.speed.values[-1]))
        if speed > REST:
            groups.setdefault(amount(speed, "speed", system), []).append(unit.name)
    told = [
        f"{the_units(run, names)} still {'moves' if len(names) == 1 else 'move'}, at {speed}"
        for speed, names in groups.items()
    ]
    moves = (f"At the end ({moment(run.span[1])}) {listed(told)}.",) if told else ()
    return (*moves, *_diverges(run))


def _diverges(run: Run) -> Iterator[str]:
    """What a nudge would have done while axles were locked, where that matters."""
    for measure in run.measures:
        if measure.name.endswith(".divergence_rate") and measure.value is not None and measure.value > NOTICED:
            doubles = math.log(2.0) / measure.value
            whole = measure.name.startswith(COMBINATION)
            what = "jackknife or trailer swing" if whole else "the vehicle would turn about"
            yield (
                f"While axles were locked a swing would have doubled within {doubles:.2f} s: {what} (a linear "
                f"indicator, no path)."
            )
