"""Jobs of the foundation brakes."""

from __future__ import annotations

from pneusim.results.run import Run
from tests.parts.jobs import Job


def braked(area: float, gain: float) -> Job:
    """Torque is what 600 kPa give on the area [m2], less return spring and friction, times the gain [m]."""

    def look(r: Run) -> bool:
        torque, force = r.channels["left.brake_torque"], r.channels["left.brake_force"]
        full = 600e3 * area * gain
        at_tyre = abs(force(2.0) * 0.5 / torque(2.0) - 1.0) < 1e-12
        return torque(0.2) == 0.0 and 0.85 * full < torque(2.0) < full and at_tyre

    return look


JOBS: dict[tuple[str, str], Job] = {
    ("s_cam", "apply"): braked(193.548e-4, 0.1397 * 0.75 * 209.6 / 12.7 * 0.70),
    ("air_disc", "apply"): braked(154.838e-4, 15.5 * 0.95 * 2.0 * 0.38 * 0.173),
}
