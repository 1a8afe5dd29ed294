"""Jobs of the valves that deliver a share of a pressure, or all of it up to a limit."""

from __future__ import annotations

from pneusim.results.run import Run
from tests.parts.jobs import Job
from tests.parts.jobs.looks import KPA, happened, near


def limited(r: Run) -> bool:
    """550 kPa less half a band 5 kPa; below that what the source has."""
    vessel, source = r.channels["vessel.pressure"], r.channels["source.pressure"]
    return near(vessel(2.0), source(2.0) / KPA, 5) and near(vessel(3.9), 545, 2) and near(vessel(7.0), 0, 5)


def reduced(r: Run) -> bool:
    """The plain relay gives 600 - 20 - 5 kPa, the other 0.6 (600 - 20) - 5 kPa."""
    plain, reducing = r.channels["rear.service_pressure"], r.channels["front.service_pressure"]
    return near(plain(3.4), 575, 2) and near(reducing(3.4), 343, 2) and reducing(7.0) < 2 * KPA


def held_off(r: Run) -> bool:
    """The park line's 700 kPa, then the service line's 600 kPa, each less crack 10 kPa and half a band 5 kPa."""
    spring, force = r.channels["left.spring_pressure"], r.channels["left.pushrod_force"]
    parked = spring(2.4) < 1 * KPA and force(2.4) > 5e3
    return near(spring(0.4), 685, 2) and parked and near(spring(4.4), 585, 2.5) and spring(6.0) < 1 * KPA


def rising_share(r: Run) -> bool:
    """Half of 200 kPa less half a band 5 kPa; all of 600 kPa."""
    left = r.channels["left.service_pressure"]
    return near(left(2.4), 95, 1.5) and near(left(5.4), 600, 2.5) and left(9.0) < 5 * KPA


def bobtailed(r: Run) -> bool:
    """600 - 20 - 5 kPa with a trailer, 0.5 (600 - 20) - 5 kPa without."""
    left, told = r.channels["left.service_pressure"], happened(r, "reduced")
    return near(left(2.4), 575, 2) and 4.5 < told < 5.0 and near(left(7.4), 285, 2) and left(9.0) < 2 * KPA


def empty(r: Run) -> bool:
    """0.4 (600 - 20) - 5 kPa."""
    left = r.channels["left.service_pressure"]
    return near(left(3.4), 227, 2) and left(7.0) < 2 * KPA


def linkage_broke(r: Run) -> bool:
    """Half laden 0.7 (600 - 20) - 5 kPa, then as laden 600 - 20 - 5 kPa."""
    left = r.channels["left.service_pressure"]
    return near(left(1.9), 401, 2) and near(left(3.9), 575, 2)


def modulated(r: Run) -> bool:
    """Part of the pressure is let out and the rest is held, then comes all of it, then the fault."""
    left = r.channels["left.service_pressure"]
    holds = 150 * KPA < left(1.2) < 400 * KPA and near(left(1.59), left(1.2) / KPA, 3)
    return near(left(0.95), 600, 5) and holds and near(left(2.15), 600, 15) and abs(left(3.0)) < 1 * KPA


JOBS: dict[tuple[str, str], Job] = {
    ("bobtail_valve", "towing_then_alone"): bobtailed,
    ("brake_modulator", "cycle"): modulated,
    ("front_ratio_valve", "brake_harder"): rising_share,
    ("limiting_valve", "rise_and_fall"): limited,
    ("load_sensing_valve", "empty"): empty,
    ("load_sensing_valve", "linkage_breaks"): linkage_broke,
    ("ratio_relay_valve", "grade"): reduced,
    ("two_port_relay_valve", "brake_while_parked"): held_off,
}
