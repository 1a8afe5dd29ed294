"""How far a parked vehicle rolls on a grade."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from pneusim.circuit.statics import is_carried
from pneusim.results.road.moving import ROCKS
from pneusim.results.road.rolling import units
from pneusim.rules.bench import Bench
from pneusim.rules.finding import NotJudged
from pneusim.rules.road.loads import laden
from pneusim.rules.road.surfaces import dry, uniform

LASTS = 30.0
"""How long a vehicle must stay where it is [s]: our choice."""

STAYS = ROCKS
"""A vehicle that goes less far than this rocks on its tyres [m]."""


def rolled(bench: Bench, grade: float, begin: Mapping[str, float], rigs: tuple[str, ...]) -> float:
    """The farthest that the parked, laden vehicle goes on dry asphalt, nose uphill or downhill [m].

    ``begin`` has its parking brake applied; ``grade`` is positive [-].
    """
    if is_carried(bench.subject.vehicle):
        raise NotJudged("by itself it stands on its landing gear, which holds it too")
    load = laden(bench.subject)
    found = []
    for slope in (grade, -grade):
        road = uniform(dry(), 0.0, load.loading, slope)
        run = bench.run("Parked on a grade", (), LASTS, begin, rigs, road, load.units)
        way = units(run)[0].distance.values
        found.append(float(np.abs(way - way[0]).max()))
    return max(found)
