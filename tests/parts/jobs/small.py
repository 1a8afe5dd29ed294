"""Jobs of the small parts: cocks, filters, switches, gauges."""

from __future__ import annotations

from pneusim.results.run import Run
from tests.parts.jobs import Job
from tests.parts.jobs.looks import KPA, happened, near


def drained_twice(r: Run) -> bool:
    """Open for 2 s, then left open: 10 L through 2 dm3/(s bar) fall by 1/e in at most 5 s (isothermal, choked)."""
    tank = r.channels["tank.pressure"]
    return near(tank(1.0), 800, 1) and 400 * KPA < tank(9.0) < 650 * KPA and tank(20.0) < 60 * KPA


def slowed(r: Run) -> bool:
    """Mended, the filter lets through five times as much and more, as far as the line feeds it."""
    flow, vessel = r.channels["filter.flow"], r.channels["vessel.pressure"]
    return vessel(1.9) < 550 * KPA and flow(2.01) > 5.0 * flow(1.95) and near(vessel(4.0), 700, 10)


def held_back(r: Run) -> bool:
    """A clean exhaust would have emptied the chamber within half a second."""
    left = r.channels["left.service_pressure"]
    return near(left(1.4), 598, 4) and left(2.0) > 250 * KPA and left(6.0) < 100 * KPA


def stuck_pointer(r: Run) -> bool:
    reading, pressure = r.channels["dial.reading"], r.channels["dial.pressure"]
    return near(reading(3.0), pressure(1.5) / KPA, 1) and near(pressure(3.0), 400, 3)


def bled(r: Run) -> bool:
    """Mass stays once it is shut: what is lost before lies between adiabatic and isothermal discharge for 3 s.

    0.7 of a bore of 3 mm: C = 0.199 x 4.95 = 0.98 dm3/(s bar); tau = 5.1 s; 901 kPa exp(-3/5.1) = 500 kPa, or 412 kPa.
    """
    return 412 < r.channels["point.pressure"](4.1) / KPA + 101.325 < 505


def lit(r: Run) -> bool:
    on, off, pressure = happened(r, "lit"), happened(r, "out"), r.channels["lamps.pressure"]
    return near(pressure(on), 30, 0.1) and near(pressure(off), 20, 0.1) and on < 2.0 < off


JOBS: dict[tuple[str, str], Job] = {
    ("drain_cock", "drain_and_forget"): drained_twice,
    ("gauge", "stick"): stuck_pointer,
    ("line_filter", "fill_clogged"): slowed,
    ("silencer", "release_iced"): held_back,
    ("stop_lamp_switch", "brake"): lit,
    ("test_connection", "bleed"): bled,
}  # fmt: skip
