"""S5.1.6.1 and S5.2.3.1: which axles the antilock system controls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pneusim.results.words import listed
from pneusim.rules.bench import Bench
from pneusim.rules.finding import Finding, held_against
from pneusim.rules.regulation import Procedure
from pneusim.rules.road.wiring import Controlled, controlled
from pneusim.rules.us121.kinds import PARKED


def judge(bench: Bench) -> Iterator[Finding]:
    """A front and a rear axle, of a semitrailer any; of a tractor the wheels of one axle each by themselves."""
    kind, found = bench.subject.vehicle.kind, controlled(bench.subject)
    if kind in ("semitrailer", "centre_axle_trailer"):
        yield _of(bench, "semitrailer", found.axles, found)
        return
    rows = ("towed.front", "towed.rear") if bench.subject.towed else ("front", "rear")
    yield _of(bench, rows[0], [n for n in found.axles if n == 1], found)
    yield _of(bench, rows[1], [n for n in found.axles if n > 1], found)
    if kind == "tractor":
        yield _of(bench, "independent", found.independent, found)


def _of(bench: Bench, row: str, axles: Sequence[int], found: Controlled) -> Finding:
    control = bench.subject.called(found.control)
    told = f"axle {listed([str(n) for n in axles])}" if axles else "none"
    return held_against(bench.limits[f"anti_lock.{row}"], float(len(axles)), f"{control}: {told}")


PROCEDURE = Procedure("anti_lock", "Axles under antilock control", "S5.1.6.1", judge, PARKED, 76)
