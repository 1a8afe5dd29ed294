"""Parameters that valves with a piston or a seat share, and how finely a seat may open."""

from __future__ import annotations

from pneusim.parts.base import parameter

# A seat that opens over less makes the equations so stiff that runs crawl: from 30 Pa down with a follower, from 1 Pa
# down with a check valve (measured on the examples of the parts).
LEAST_WIDTH = 1e3  #: of seats that follow a target or stand against a spring [Pa]
LEAST_CHECK_WIDTH = 100.0  #: of check valves, shuttles and diaphragms [Pa]


def half_band_parameter(key: str) -> float:
    """Declare half the hysteresis of a piston with its own default."""
    half_band: float = parameter(
        "pressure_difference", key, low=0.0, high=50e3, doc="Half the difference between applying and releasing."
    )
    return half_band


def width_parameter() -> float:
    """Declare the pressure error that opens a seat fully."""
    width: float = parameter(
        "pressure_difference",
        "valve.width",
        low=LEAST_WIDTH,
        high=300e3,
        doc="Pressure error that opens a seat fully.",
    )
    return width


def lag_parameter() -> float:
    """Declare the lag of a piston."""
    lag: float = parameter("time", "valve.lag", low=0.0, high=0.1, doc="First-order lag of the piston.")
    return lag


def full_pressure_parameter(when: str) -> float:
    """Declare what is asked for at an end of the travel."""
    full_pressure: float = parameter(
        "pressure",
        "graded_valve.full_pressure",
        low=100e3,
        high=3e6,
        doc=f"Pressure asked for {when}; more than any reservoir holds.",
    )
    return full_pressure
