"""What still moves when a run on a road ends."""

from __future__ import annotations

from pneusim.results.road.rolling import REST, units
from pneusim.results.run import Run
from pneusim.results.words import amount, listed, moment, the_units


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
    return (f"At the end ({moment(run.span[1])}) {listed(told)}.",) if told else ()
