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
    """1.6 times what the park line has lost below 440 kPa, within half a band and what two ramps lag."""
    control, hold = r.channels["control.pressure"], r.channels["hold.pressure"]
    graded = all(near(control(t), 1.6 * (440 - hold(t) / KPA), 20) for t in (2.0, 2.5, 3.0))
    return control(0.5) < 1 * KPA and graded and near(control(5.0), 704, 8)


def held(r: Run) -> bool:
    """The springs stay off though the supply line is empty; the reservoir keeps its air."""
    force, tank = r.channels["left.pushrod_force"], r.channels["tank.pressure"]
    empty = r.channels["valve.supply_pressure"].values[-1] < 2 * KPA
    return empty and max(force.values) == 0.0 and tank.values[-1] > 770 * KPA


def applied_at_once(r: Run) -> bool:
    force = r.channels["left.pushrod_force"]
    return force(0.9) == 0.0 and force(2.0) > 5e3 and force(10.0) > 5e3


def reservoir_first(r: Run) -> bool:
    """The springs move once the reservoir has 552 kPa, though they would let go at 400 kPa of supply."""
    tank, force = r.channels["tank.pressure"], r.channels["left.pushrod_force"]
    (began,) = [e.time for e in r.events if e.kind == "spring_returns" and e.component == "left"]
    return near(tank(began), 552, 15) and force(began - 0.5) > 5e3 and force(20.0) == 0.0


def secondary_braked(r: Run) -> bool:
    """Half way: 620 kPa (0.80 - 0.50)/0.72 = 258 kPa for the springs; 1.6 (440 - 258) kPa for the trailer."""
    springs, trailer, force = (r.channels[n] for n in ("park.pressure", "control_end.pressure", "left.pushrod_force"))
    graded = near(springs(3.9), 258, 8) and near(trailer(3.9), 291, 18) and 0.5e3 < force(3.9) < 2e3
    return graded and force(0.4) == force(8.0) == 0.0 and trailer(8.0) < 2 * KPA


def tested(r: Run) -> bool:
    """In the test position the springs hold and the trailer is released; parked it is braked."""
    trailer, force = r.channels["control_end.pressure"], r.channels["left.pushrod_force"]
    braked = near(trailer(3.9), 704, 8) and near(trailer(10.0), 704, 8)
    return braked and trailer(6.9) < 2 * KPA and min(force(t) for t in (3.9, 6.9, 10.0)) > 5e3


def shunted(r: Run) -> bool:
    """Braked by itself, shunting free, parked by its springs, charged again and free."""
    service, force = r.channels["left.service_pressure"], r.channels["left.pushrod_force"]
    uncoupled = service(3.9) > 700 * KPA and service(7.9) < 2 * KPA and force(7.9) == 0.0
    parked = service(11.9) < 2 * KPA and force(11.9) > 5e3 and force(20.0) == 0.0
    returned = near(r.channels["control.supply_pressure"](happened(r, "returned")), 400, 1)
    return uncoupled and parked and returned and happened(r, "applied_by_itself") < 1.0


JOBS: dict[tuple[str, str], Job] = {
    ("relay_emergency_valve", "supply_lost_and_back"): emergency_and_back,
    ("relay_emergency_valve", "service"): relayed_by_control,
    ("relay_emergency_valve", "supply_line_breaks"): broke_away,
    ("trailer_spring_brake_valve", "slow_leak_held"): held,
    ("trailer_spring_brake_valve", "supply_lost_springs_held"): held,
    ("trailer_spring_brake_valve", "rapid_loss_not_held"): applied_at_once,
    ("trailer_spring_brake_valve", "charged_reservoir_first"): reservoir_first,
    ("graduated_park_control", "secondary"): secondary_braked,
    ("graduated_park_control", "park_and_test"): tested,
    ("park_release_control", "shunt_and_park"): shunted,
    ("trailer_control_valve", "apply_and_release"): followed,
    ("trailer_control_valve", "control_line_breaks"): vented_by_break,
    ("trailer_control_valve", "park"): upside_down,
}
