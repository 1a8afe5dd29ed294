"""Jobs of the parts between a towing vehicle and its trailer, and of the trailer's own."""

from __future__ import annotations

from pneusim.results.run import Run
from tests.parts.jobs import Job
from tests.parts.jobs.looks import KPA, happened, near


def emergency_and_back(r: Run) -> bool:
    """330 kPa in 6 s from 700: lost at 1 s + 6 s x 370/700 = 4.17 s; the reservoir's air passes, and off again."""
    left, tank = r.channels["left.service_pressure"], r.channels["tank.pressure"]
    applied = near(left(7.0), tank(7.0) / KPA, 2) and left(7.0) > 600 * KPA
    return near(happened(r, "applied_by_itself"), 4.17e-3, 0.02e-3) and applied and left(15.0) < 2 * KPA


def relayed_by_control(r: Run) -> bool:
    """300 kPa less crack 20 kPa, within half a band of 5 kPa."""
    left = r.channels["left.service_pressure"]
    return near(left(2.4), 280, 6) and left(4.0) < 2 * KPA and not any(e.category == "trip" for e in r.events)


def broke_away(r: Run) -> bool:
    left, tank = r.channels["left.service_pressure"], r.channels["tank.pressure"]
    return left(1.0) > 600 * KPA and tank(4.0) > 600 * KPA


def followed(r: Run) -> bool:
    """750 kPa less crack, at the far end of the trailer's line; three quarters of it within half a second."""
    end, throttle = r.channels["control_end.pressure"], r.channels["control.throttle"]
    quick = end(1.0) > 0.75 * 730 * KPA and min(throttle.values) > 0.5
    return quick and near(end(2.9), 730, 12) and end(5.0) < 2 * KPA


def vented_by_break(r: Run) -> bool:
    """150 kPa within 2 s of the application, and fed again: UN R13 5.2.1.18.4.1, from memory, to be read."""
    supply = r.channels["supply_head.pressure"]
    return near(supply(1.0), 800, 5) and supply(3.0) < 150 * KPA and supply(7.0) > 650 * KPA


def upside_down(r: Run) -> bool:
    """700 kPa less the park line's pressure, within half a band."""
    control, hold = r.channels["control.pressure"], r.channels["hold.pressure"]
    graded = all(near(control(t), 700 - hold(t) / KPA, 15) for t in (1.5, 2.0, 2.5, 3.0))
    return control(0.5) < 1 * KPA and graded and near(control(5.0), 700, 8)


JOBS: dict[tuple[str, str], Job] = {
    ("relay_emergency_valve", "supply_lost_and_back"): emergency_and_back,
    ("relay_emergency_valve", "service"): relayed_by_control,
    ("relay_emergency_valve", "supply_line_breaks"): broke_away,
    ("trailer_control_valve", "apply_and_release"): followed,
    ("trailer_control_valve", "control_line_breaks"): vented_by_break,
    ("trailer_control_valve", "park"): upside_down,
}
