"""Jobs of the electric parts of an anti-lock system, as far as they can do them where no wheel turns."""

from __future__ import annotations

from pneusim.results.run import Run
from tests.parts.jobs import Job
from tests.parts.jobs.looks import happened


def lost_and_found(r: Run) -> bool:
    """The lamp stays lit until the control is switched on anew."""
    signal, lamp = r.channels["left_speed.signal"], r.channels["anti_lock.lamp"]
    told = happened(r, "silent") == happened(r, "warns") == 0.5 and happened(r, "heard") == 1.5
    return told and signal(0.4) == 1.0 and signal(1.0) == 0.0 and signal(1.9) == 1.0 and lamp(0.4) < lamp(1.9) == 1.0


def warned_twice(r: Run) -> bool:
    """By the loss of voltage while it lasts, by that of the sensor for good; the brake never lets go."""
    lamp, pressure = r.channels["anti_lock.lamp"], r.channels["modulator.pressure"]
    warned = [event.time for event in r.events if event.kind == "warns"]
    lit = [lamp(time) for time in (0.4, 0.9, 1.5, 2.9)]
    return warned == [0.5, 2.0] and lit == [0.0, 1.0, 0.0, 1.0] and min(pressure.values) > 590e3


JOBS: dict[tuple[str, str], Job] = {
    ("anti_lock_control", "warn"): warned_twice,
    ("wheel_speed_sensor", "lose"): lost_and_found,
}
