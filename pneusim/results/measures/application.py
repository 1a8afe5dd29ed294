"""Per brake and application: rise times, asymptotic pressure, largest pressure and force, release time.

The force is that of service air: what a spring pushes is no measure of an application.
"""

from __future__ import annotations

from pneusim.quantities import express
from pneusim.results.measures.applications import Application, applications
from pneusim.results.measures.asymptote import Asymptote, asymptote
from pneusim.results.measures.brakes import Brake, brakes, spring_pushes
from pneusim.results.measures.crossing import first_crossing, highest, window
from pneusim.results.run import MeasureResult, Run

SHARES = {"time_to_10": 0.10, "time_to_75": 0.75}
"""Rise times and their share of the asymptotic pressure."""

SIXTY_PSI = 414e3
"""The level of ``time_to_414`` [Pa gauge]: 60 psi, as test procedures print it in kPa."""

FIVE_PSI = 34.5e3
"""The level of ``release_time`` [Pa gauge]: 5 psi, as test procedures print it in kPa."""

NO_PRESSURE = 5e3
"""A brake that holds less than this got no air from the application [Pa gauge]."""


def measure(run: Run) -> list[MeasureResult]:
    """All of them, application by application, brake by brake."""
    found = brakes(run)
    return [result for application in applications(run) for brake in found for result in _one(brake, application)]


def _one(brake: Brake, application: Application) -> list[MeasureResult]:
    prefix = f"{brake.name}.{application.name}"
    held = asymptote(brake.pressure, application.start, application)
    start, end = application.start, application.end
    return [
        *(rise_time(f"{prefix}.{name}", brake, application, held, share) for name, share in SHARES.items()),
        _rise(f"{prefix}.time_to_414", brake, application, SIXTY_PSI),
        MeasureResult(f"{prefix}.asymptotic_pressure", held.value, "pressure", held.remark),
        MeasureResult(f"{prefix}.highest_pressure", highest(brake.pressure, start, end), "pressure"),
        _force(f"{prefix}.highest_force", brake, start, end),
        _release(f"{prefix}.release_time", brake, application),
    ]


def _force(name: str, brake: Brake, start: float, end: float) -> MeasureResult:
    """Largest pushrod force while the spring does not push."""
    force = window(brake.force, start, end)[1]
    if brake.spring_travel is not None:
        travel, stroke = (window(channel, start, end)[1] for channel in (brake.spring_travel, brake.stroke))
        force = force[~spring_pushes(travel, stroke)]
    if not len(force):
        return MeasureResult(name, None, "force", "the spring pushes all the time")
    return MeasureResult(name, float(force.max()), "force")


def rise_time(name: str, brake: Brake, application: Application, held: Asymptote, share: float) -> MeasureResult:
    """Time from first movement of the control to a share of the asymptotic pressure."""
    if held.value is None:
        return MeasureResult(name, None, "time", f"no asymptotic pressure: {held.remark}")
    if held.value < NO_PRESSURE:
        reason = f"the application brought no pressure here ({express(max(held.value, 0.0), 'pressure', 'si')} held)"
        return MeasureResult(name, None, "time", reason)
    return _rise(name, brake, application, share * held.value)


def _rise(name: str, brake: Brake, application: Application, level: float) -> MeasureResult:
    words = express(level, "pressure", "si")
    if application.already:
        return MeasureResult(name, None, "time", "the control was already applied when the run began")
    if brake.pressure(application.start) >= level:
        return MeasureResult(name, None, "time", f"already at {words} when the control first moved")
    end = application.end if application.release is None else application.release
    time = first_crossing(brake.pressure, level, +1, application.start, end)
    if time is None:
        top = express(highest(brake.pressure, application.start, end), "pressure", "si")
        return MeasureResult(name, None, "time", f"never reached {words} before release; highest {top}")
    return MeasureResult(name, time - application.start, "time")


def _release(name: str, brake: Brake, application: Application) -> MeasureResult:
    words = express(FIVE_PSI, "pressure", "si")
    if application.release is None:
        return MeasureResult(name, None, "time", "the control is not released in this run")
    if brake.pressure(application.release) <= FIVE_PSI:
        return MeasureResult(name, None, "time", f"already below {words} when the release began")
    time = first_crossing(brake.pressure, FIVE_PSI, -1, application.release, application.end)
    if time is None:
        left = express(brake.pressure(application.end), "pressure", "si")
        return MeasureResult(name, None, "time", f"did not fall to {words}; still at {left} at {application.end:g} s")
    return MeasureResult(name, time - application.release, "time")
