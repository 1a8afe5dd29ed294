"""The classes of vehicle that 49 CFR 571.121 makes, and what several of its procedures share."""

from __future__ import annotations

from pneusim.circuit.circuit import Component
from pneusim.circuit.scenario import Step
from pneusim.rules.bench import Bench
from pneusim.rules.limits import Limit
from pneusim.rules.subject import POWERED, TOWED, Subject

KINDS = (*POWERED, *TOWED)
PARKED = tuple(kind for kind in KINDS if kind != "dolly")
"""Kinds that S5.6 asks for a parking brake: all but converter dollies, from memory."""

TREADLE_TIME = 0.05
"""How long the foot takes to press or release the treadle fully [s]: our assumption, the text has no figure."""

RIG_REMARK = (
    "the rig's bores are not known to us: it is calibrated to the times of the rule until 2002, 0.06 s and 0.22 s, "
    "from memory"
)


TREADLE_REMARK = f"the treadle is pressed and released in {TREADLE_TIME:g} s: our assumption, the text has no figure"


def timing_remark(subject: Subject) -> str:
    """What the driver or the rig does in a timed test."""
    return RIG_REMARK if subject.towed else TREADLE_REMARK


def class_of(subject: Subject) -> str:
    """``truck``, ``dolly``, ``towing_trailer`` or ``trailer``: the rows of the tables."""
    if subject.powered:
        return "truck"
    if subject.vehicle.kind == "dolly":
        return "dolly"
    return "towing_trailer" if subject.vehicle.tows else "trailer"


def limit_for(bench: Bench, figure: str) -> Limit:
    """The limit of the vehicle's class."""
    return bench.limits[f"{figure}.{class_of(bench.subject)}"]


def rigs_for(bench: Bench) -> tuple[str, ...]:
    """The rigs of timed tests: one in front of a towed vehicle, a vessel behind one that tows."""
    front = ("trailer_rig",) if bench.subject.towed else ()
    return (*front, "vessel_behind") if bench.subject.vehicle.tows else front


def service_pressure(brake: Component) -> str:
    """Channel of a brake's service pressure."""
    return f"{brake.name}.service_pressure"


def trailer_start(bench: Bench, pressure: float) -> dict[str, float]:
    """``begin`` of a trailer on its rig: reservoirs, rig and supply line at a pressure [Pa], control line empty."""
    return bench.ready(pressure) | {
        "trailer_rig.source.pressure": pressure,
        "trailer_rig.shop_air.pressure": pressure,
        "trailer_rig.feed.position": 0.0,
        "trailer_rig.vent.position": 0.0,
    }


def vented(at: float) -> tuple[Step, Step]:
    """The rig's supply line is shut off from shop air and opened to the atmosphere."""
    shut = Step("set", at=at, target="trailer_rig.shut_off.position", to=0.0)
    return shut, Step("set", at=at, target="trailer_rig.vent.position", to=1.0)


def losses(bench: Bench) -> list[Component]:
    """The single leakage failures that are tried: each service reservoir is lost."""
    return bench.subject.service_reservoirs
