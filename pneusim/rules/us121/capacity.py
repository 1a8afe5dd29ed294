"""S5.1.2.1 and S5.2.1.1: volume of the reservoirs over that of the service chambers."""

from __future__ import annotations

from collections.abc import Iterator

from pneusim.quantities import express
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.us121.kinds import KINDS
from pneusim.rules.us121.volumes import chamber_volume, supply_reservoirs, volume


def judge(bench: Bench) -> Iterator[Finding]:
    """Service and supply reservoirs of a powered vehicle, service reservoirs of a trailer."""
    subject = bench.subject
    tanks = subject.service_reservoirs
    if subject.powered:
        tanks = [*supply_reservoirs(subject), *tanks]
    held, needed = sum(volume(subject, tank) for tank in tanks), chamber_volume(bench)
    limit = bench.limits["capacity.truck" if subject.powered else "capacity.trailer"]
    words = f"{express(held, 'volume')} of reservoirs over {express(needed, 'volume')} of chambers"
    names = ", ".join(subject.title(tank) for tank in tanks)
    yield held_against(limit, held / needed, words, f"reservoirs counted: {names}")


PROCEDURE = Procedure("capacity", "Reservoir capacity", "S5.1.2.1", judge, KINDS, 30)
