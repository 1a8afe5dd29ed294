"""Jobs of the parts that divide the air among circuits, and of the springs' own supplies."""

from __future__ import annotations

from pneusim.results.run import Run
from tests.parts.jobs import Job
from tests.parts.jobs.looks import KPA, happened


def secured(r: Run) -> bool:
    """A circuit torn open leaves the other service circuit between closing and opening pressure; 23 gives nothing back.

    What 23 loses in pressure it loses by cooling: pressure over temperature, its mass, stays.
    """
    first, second = r.channels["first.pressure"], r.channels["second.pressure"]
    third, warm = r.channels["third.pressure"], r.channels["third.temperature"]
    kept = (third(30.0) + 101_325) / (third(17.0) + 101_325) * warm(17.0) / warm(30.0)
    opened = happened(r, "opened_21") < happened(r, "opened_23") < happened(r, "shut_21")
    return opened and first(30.0) < 1 * KPA and 590 * KPA < second(17.0) < 690 * KPA and abs(kept - 1.0) < 5e-3


def graded_by_the_pedal(r: Run) -> bool:
    """At 400 kPa of the secondary the springs keep 655 - (400 - 30) = 285 kPa; at 700 nothing; afterwards all again."""
    spring, force = r.channels["left.spring_pressure"], r.channels["left.pushrod_force"]
    at_400 = 1.0 + 8.0 * 400 / 700
    return (
        abs(spring(0.9) / KPA - 655) < 10
        and abs(spring(at_400) / KPA - 285) < 12
        and spring(9.5) < 5 * KPA
        and force(0.9) == 0.0
        and 1e3 < force(6.5) < force(9.5)
        and force(14.0) < 50.0
    )


def freed(r: Run) -> bool:
    force = r.channels["left.pushrod_force"]
    return force(0.9) > 5e3 and force(5.9) == 0.0 and force(10.0) > 5e3


def drawn_and_burst(r: Run) -> bool:
    """The burst consumer empties; the protection valve keeps what it secures in the tank."""
    bellows, tank = r.channels["bellows.pressure"], r.channels["tank.pressure"]
    return bellows(6.0) < 780 * KPA and bellows(40.0) < 10 * KPA and 480 * KPA < tank(40.0) < 560 * KPA


JOBS: dict[tuple[str, str], Job] = {
    ("air_consumer", "draw_and_burst"): drawn_and_burst,
    ("auxiliary_release", "free_and_park"): freed,
    ("four_circuit_valve", "fill_and_lose"): secured,
    ("spring_modulating_valve", "brake_with_the_secondary"): graded_by_the_pedal,
}  # fmt: skip
