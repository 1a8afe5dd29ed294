"""Where the model ends; ``docs/physics/limits.md`` tells more."""

from __future__ import annotations

from typing import NamedTuple

NOT_COMPARED = "No complete vehicle has been compared with a measurement."


class Limit(NamedTuple):
    """What the model does not show: in a sentence, and in a few words for a place with little room, "" if not there."""

    words: str
    short: str = ""


LIMITS = (
    Limit("Pressures of -0.3 bar to 11 bar gauge, 200 K to 450 K; a run that leaves that range says so."),
    Limit("Bores of 2 mm to 15 mm."),
    Limit("The air is dry: no water, no freezing, no oil.", "dry air"),
    Limit(
        "Walls of vessels exchange heat by constant film coefficients, which are assumptions, and stay at the "
        "temperature of the surroundings.",
        "walls at the temperature of the surroundings",
    ),
    Limit(
        "Spools, diaphragms and rods have no inertia; hoses do not stretch.", "spools and diaphragms without inertia"
    ),
    Limit(
        "Most characteristics of valves and springs are typical values, not those of a product; replace them by your "
        "own figures where they matter. The table of defaults says where each comes from.",
        "typical figures of valves and springs, not those of a product",
    ),
    Limit("Release to a few kPa is far more uncertain than rise times."),
    Limit("The pedal's travel is given; what force it takes is not computed."),
)
STANDING = (
    Limit(
        "Braking forces follow from pushrod forces by constant factors: no slip, no road, no load that moves between "
        "axles, no warm drums and discs.",
        "no road and no warm brakes",
    ),
)
"""Limits of runs in which nothing moves."""

ROLLING = (
    Limit("Vehicles go straight on: no steering, no lateral motion, no roll.", "straight on"),
    Limit(
        "Friction of tyres on roads is from memory, of cars' tyres scaled to what trucks' reach; stops that the road "
        "limits are as good as that choice.",
        "friction from memory",
    ),
    Limit("Axles of a group share its load; suspensions have no springs, hitches no play, wheels no driveline."),
    Limit(
        "Anti-lock control is a generic one for teaching, nobody's calibration; its stops are a band.",
        "generic anti-lock control",
    ),
)
"""Limits of runs on a road."""


def limits(road: bool = False) -> tuple[Limit, ...]:
    """All limits of a run, on a road or without one."""
    return (*LIMITS, *(ROLLING if road else STANDING), Limit(NOT_COMPARED))


def in_short(road: bool = False) -> str:
    """The limits that have a short form, in one sentence, and that no vehicle was compared."""
    told = "; ".join(limit.short for limit in limits(road) if limit.short)
    return f"{told[0].upper()}{told[1:]}. {NOT_COMPARED}"
