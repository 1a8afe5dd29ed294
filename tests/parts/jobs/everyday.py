"""Jobs of the parts that nearly every circuit has."""

from __future__ import annotations

from pneusim.results.run import Run
from tests.parts.jobs import Job
from tests.parts.jobs.looks import KPA, happened, near


def drained(r: Run) -> bool:
    tank, warm = r.channels["tank.pressure"], r.channels["tank.temperature"]
    return near(tank(1.0), 800, 0.1) and tank(10.0) < 550 * KPA and warm(2.0) < 290.0


def emptied(r: Run) -> bool:
    """Between adiabatic and isothermal choked discharge of 5 L through 0.5 dm3/(s bar) in 4 s (closed forms).

    tau = V/(C p_ref) = 10 s: 701.3 kPa exp(-0.4) = 470 kPa, 701.3 kPa (1 + 0.2 x 0.4)^-7 = 409 kPa, absolute.
    """
    return 409 < r.channels["vessel.pressure"](5.0) / KPA + 101.325 < 470


def blocked(r: Run) -> bool:
    flow, vessel = r.channels["hole.flow"], r.channels["empty.pressure"]
    return flow(0.55) > 1e-3 and flow(0.61) == 0.0 and 300 * KPA < vessel(2.0) < 600 * KPA


def kept(r: Run) -> bool:
    """The tank keeps its air; it loses pressure only as the air that was compressed into it cools."""
    tank, warm = r.channels["tank.pressure"], r.channels["tank.temperature"]
    loss = (tank(6.0) + 101_325) / (tank(3.5) + 101_325) * warm(3.5) / warm(6.0) - 1.0
    return near(tank(3.0), 796, 3) and abs(loss) < 1e-3


def graded(r: Run) -> bool:
    """Travel 50 % asks for 346 kPa, less half a band; the secondary follows 10 kPa and half a band lower."""
    rear, front = r.channels["rear.service_pressure"], r.channels["front.service_pressure"]
    return (
        near(rear(1.9), 342, 2) and near(front(1.9), 328, 2) and rear(4.0) < 2 * KPA and front(4.0) < 12 * KPA
    )


def hand_graded(r: Run) -> bool:
    """Travel 40 % asks for 25 + 595 (0.40 - 0.09)/0.76 = 267.7 kPa, less half a band."""
    vessel = r.channels["vessel.pressure"]
    return near(vessel(1.9), 263.7, 2) and vessel(4.0) < 2 * KPA


def relayed(r: Run) -> bool:
    """600 kPa at the control less crack 20 kPa and half a band 5 kPa."""
    left = r.channels["left.service_pressure"]
    return near(left(1.49), 575, 6) and left(3.0) < 2 * KPA and r.channels["left.stroke"](1.49) > 0.03


def released(r: Run) -> bool:
    """The quick release keeps its exhaust differential of 5 kPa in the chamber."""
    left = r.channels["left.service_pressure"]
    return near(left(1.4), 598, 3) and near(left(3.0), 5.5, 2)


def parked(r: Run) -> bool:
    return r.channels["left.pushrod_force"](0.4) == 0.0 and r.channels["left.pushrod_force"](4.0) > 5e3


def tripped(r: Run) -> bool:
    at = happened(r, "tripped")
    return near(r.channels["park.supply_pressure"](at), 207, 0.1) and r.channels["park.lever"](8.0) == 0.0


def popped(r: Run) -> bool:
    return 0.5 < happened(r, "tripped") < 1.0 and r.channels["tank.pressure"](3.0) > 790 * KPA


def shut(r: Run) -> bool:
    return happened(r, "shut") < 2.5 and near(r.channels["control.pressure"](5.0), 300, 3)


def sprung(r: Run) -> bool:
    force = r.channels["left.pushrod_force"]
    return force(0.4) == 0.0 and force(4.0) > 5e3 and r.channels["tank.pressure"](4.0) > 770 * KPA


def purged(r: Run) -> bool:
    cut_out = happened(r, "cut_out")
    return (
        r.channels["dryer.pressure"](cut_out) > 850 * KPA
        and abs(r.channels["dryer.pressure"](15.0)) < 1 * KPA
    )


def governed(r: Run) -> bool:
    kinds = [event.kind for event in r.events if event.component == "governor"]
    return kinds == ["cut_out", "cut_in", "cut_out"]


def protected(r: Run) -> bool:
    tank, warm = r.channels["tank.pressure"], r.channels["tank.temperature"]
    loss = (tank(12.0) + 101_325) / (tank(8.5) + 101_325) * warm(8.5) / warm(12.0) - 1.0
    return tank(1.0) < 1 * KPA and tank(7.9) > 790 * KPA and abs(loss) < 1e-3


def badly_adjusted(r: Run) -> bool:
    """The force falls from 10.4 kN well adjusted to about 8 kN at 45 mm: regression."""
    return r.channels["left.stroke"](2.0) > 0.058 and 7.5e3 < r.channels["left.pushrod_force"](2.0) < 8.6e3


def opened(r: Run) -> bool:
    vessel = r.channels["vessel.pressure"]
    return vessel(0.4) < 1.0 and near(vessel(2.0), 600, 3)


def charged(r: Run) -> bool:
    return near(r.channels["tank.pressure"](happened(r, "cut_out")), 862, 0.1)


def branched(r: Run) -> bool:
    return r.channels["near.pressure"](0.65) > 1.5 * r.channels["far.pressure"](0.65) > 0.0


def measured(r: Run) -> bool:
    (rise,) = [measure for measure in r.measures if measure.name == "rise"]
    return rise.value is not None and 0.05 < rise.value < 1.0


def changed_over(r: Run) -> bool:
    vessel = r.channels["vessel.pressure"]
    return near(vessel(0.4), 600, 1) and near(vessel(1.9), 800, 2) and near(vessel(3.0), 600, 1)


JOBS: dict[tuple[str, str], Job] = {
    ("air_dryer", "charge"): purged,
    ("atmosphere", "empty"): emptied,
    ("brake_chamber", "apply"): badly_adjusted,
    ("check_valve", "supply_lost"): kept,
    ("compressor", "charge"): charged,
    ("coupling_head", "open_cock"): opened,
    ("double_check_valve", "change_over"): changed_over,
    ("foot_valve", "apply_and_release"): graded,
    ("governor", "use_and_charge"): governed,
    ("hand_valve", "grade"): hand_graded,
    ("park_control", "apply"): parked,
    ("park_control", "supply_lost"): tripped,
    ("plug", "fill"): lambda r: near(r.channels["joint.pressure"](1.0), 700, 5),
    ("pressure_switch", "loss"): lambda r: near(r.channels["low.pressure"](happened(r, "closed")), 450, 0.1),
    ("protection_valve", "fill_and_lose"): protected,
    ("quick_release_valve", "apply_and_release"): released,
    ("relay_valve", "apply_and_release"): relayed,
    ("reservoir", "drain"): drained,
    ("restriction", "fill_and_block"): blocked,
    ("safety_valve", "overcharge"): lambda r: 1034 * KPA < r.channels["tank.pressure"](20.0) < 1084 * KPA,
    ("spring_brake_actuator", "park"): lambda r: 5.0e3 < r.channels["left.pushrod_force"](4.0) < 5.9e3,
    ("stop_valve", "open"): lambda r: near(r.channels["vessel.pressure"](2.0), 760, 3),
    ("supply", "fill"): lambda r: near(r.channels["vessel.pressure"](2.0), 700, 1),
    ("tee", "fill"): branched,
    ("test_volume", "fill"): measured,
    ("tractor_protection_valve", "supply_lost"): shut,
    ("trailer_spring_brake_valve", "supply_lost"): sprung,
    ("trailer_supply_control", "line_break"): popped,
}  # fmt: skip
