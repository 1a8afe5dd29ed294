"""A trailer that comes away comes to rest where Newton's second law says.

Its springs' force, and when it comes, are taken from the run; masses, loads, friction and grade from the file.
The way is then a closed form: what acts at once (grade, a nose on the road, rolling resistance, air) gives an even
deceleration, the springs' force grows on it as 1 - exp(-t/tau).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from pneusim.circuit.road import Road
from pneusim.physics.stopping import nose_braking, separated_distance
from pneusim.quantities import STANDARD_GRAVITY as G
from pneusim.results.run import Run
from tests.circuits.rolling import locked
from tests.circuits.shipped import run, value

FULL, SEMI = "truck-turntable-trailer", "tractor-semitrailer"
ROLLING, AIR = 0.007, 0.6 * 3.0  # of the road over load [-], of the air over v^2 [N s2/m2]
SNOW = 0.13  # locked [-]
CENTRE_OVER_BASE, NOSE = 2.0 / 7.7, 12.0 / 36.0  # of the semitrailer


def lag(of: Run) -> tuple[float, float, float]:
    """When the springs begin to brake, in which time their force grows [s], and the force [N]."""
    force = of["trailer.vehicle.brake_force"]
    end = float(force.values[-1])
    begins = float(force.times[force.values > 0.01 * end][0])
    times = np.linspace(begins, begins + 6.0, 6001)
    missing = 1.0 - np.interp(times, force.times, force.values) / end
    return begins - 1.0, float(missing.mean() * 6.0), end


def braking(of: Run, force: float) -> float:
    """Deceleration by a force of the brakes and by all that acts without them [m/s2]."""
    vehicle, road = of.circuit.vehicles[-1], of.scenario.road
    assert isinstance(road, Road)
    assert vehicle.motion is not None
    mass, slope = vehicle.motion.laden.mass, -math.atan(road.grade)
    turning = sum(2.0 * 13.0 / (axle.tyre_radius or math.nan) ** 2 for axle in vehicle.axles)
    semi = vehicle.kind == "semitrailer"
    weight = mass * G * math.cos(slope)
    rest = ROLLING * (1.0 - NOSE if semi else 1.0) + AIR * road.speed**2 / 2.0 / weight
    z = force / weight + rest
    if semi:
        z = nose_braking(z, vehicle.motion.skid, NOSE, CENTRE_OVER_BASE)
    return G * (z * math.cos(slope) - math.sin(slope)) * mass / (mass + turning)


@pytest.mark.parametrize("scenario", ["separation_level_dry", "separation_downhill_dry"])
@pytest.mark.parametrize("name", [FULL, SEMI])
def test_it_comes_to_rest_where_the_closed_form_says(name: str, scenario: str) -> None:
    result = run(name, scenario)
    dead, tau, force = lag(result)
    v = result["trailer.vehicle.speed"](1.0)
    before, full = braking(result, 0.0), braking(result, force)
    late = dead + tau
    rest = (v + (full - before) * late) / full
    way = v * rest - before * rest**2 / 2.0 - (full - before) * ((rest - late) ** 2 + tau**2) / 2.0
    assert value(result, "trailer.vehicle.rest_distance") == pytest.approx(way, rel=0.02)


def test_on_the_level_without_a_nose_the_short_formula_will_do() -> None:
    result = run(FULL, "separation_level_dry")
    dead, tau, force = lag(result)
    way = separated_distance(80.0 / 3.6, dead, tau, 1.0, 1.0, braking(result, force))
    assert value(result, "trailer.vehicle.rest_distance") == pytest.approx(way, rel=0.02)


def test_on_snow_the_braked_wheels_lock_and_slide() -> None:
    """Rear axles: 17 of 25 t at rest, 1.8 m over 4.75 m shift to the front; friction of the wheels that slide."""
    result = run(FULL, "separation_level_snow")
    z = (SNOW * 17.0 / 25.0 + ROLLING * 8.0 / 25.0) / (1.0 + SNOW * 1.8 / 4.75)
    assert value(result, "trailer.vehicle.mean_deceleration") == pytest.approx(G * z, rel=0.03)
    assert locked(result, "trailer.axle_1_left") == 0.0  # it has no springs
    assert locked(result, "trailer.axle_3_right") > 15.0


@pytest.mark.parametrize("scenario", ["separation_level_snow", "separation_downhill_snow"])
def test_a_semitrailer_on_snow_is_stopped_by_its_nose(scenario: str) -> None:
    result = run(SEMI, scenario)
    z = (0.4 * NOSE + SNOW * (1.0 - NOSE)) / (1.0 - (0.4 - SNOW) * CENTRE_OVER_BASE)
    slope = 0.06 if "downhill" in scenario else 0.0
    assert value(result, "trailer.vehicle.mean_deceleration") == pytest.approx(G * (z - slope), rel=0.03)
    assert all(locked(result, f"trailer.axle_{n}_left") > 5.0 for n in (1, 2, 3))


def test_the_same_trailer_needs_longer_downhill_and_on_snow() -> None:
    dry, down, snow = (
        value(run(FULL, f"separation_{name}"), "trailer.vehicle.rest_distance")
        for name in ("level_dry", "downhill_dry", "level_snow")
    )
    assert dry < down < snow


def test_on_snow_downhill_it_does_not_stop_for_a_long_while() -> None:
    result = run(FULL, "separation_downhill_snow")
    rest = next(m for m in result.measures if m.name == "trailer.vehicle.rest_distance")
    assert rest.value is None
    assert "does not come to rest" in rest.reason


def test_the_towing_vehicle_rolls_on() -> None:
    result = run(SEMI, "separation_level_dry")
    assert result["tractor.vehicle.speed"](9.0) > 15.0
    assert result["trailer.vehicle.hitched"](0.9) == 1.0
    assert result["trailer.vehicle.hitched"](2.0) == 0.0
