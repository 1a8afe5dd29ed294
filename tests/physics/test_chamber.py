"""Chamber and spring-brake laws: work of the air, stops, contact, friction, continuity, trade magnitudes."""

import pytest
from scipy.integrate import quad, solve_ivp

from pneusim.physics.chamber import (
    PRELOAD_FADE,
    chamber_rate,
    effective_area,
    pushrod_force,
    spring_brake_rates,
    swept_volume,
)
from tests.physics.derivatives import assert_continuous

AREA, S_MAX, DECLINE = 193.5e-4, 63.5e-3, 0.35
PA = 101325.0
ROD = (AREA, S_MAX, DECLINE, 387.0, 3e3, 14e-3, 500e3, 2e6, 39.0, 0.06, 100.0)
SPRING = (AREA, 7600.0, 45e3, 57e-3, 150.0, 2e6)
FOOT = 20.0


def chamber(gauge, s, **changes):
    names = (
        "area", "s_max", "decline", "return_preload", "return_rate", "free_stroke", "brake_stiffness",
        "stop_stiffness", "friction_base", "friction_share", "damping",
    )  # fmt: skip
    values = {**dict(zip(names, ROD)), **changes}
    return chamber_rate(gauge + PA, PA, s, *(values[name] for name in names), FOOT)


def actuator(service, hold_off, s, z):
    return spring_brake_rates(service + PA, hold_off + PA, PA, s, z, *ROD, *SPRING, FOOT)


def settled(rates, state, seconds=20.0):
    """Where the rates bring the state to."""
    solution = solve_ivp(lambda _, x: rates(x), (0.0, seconds), state, method="LSODA", rtol=1e-9, atol=1e-12)
    return solution.y[:, -1]


@pytest.mark.parametrize("s", [-2e-3, 0.0, 20e-3, 50.8e-3, 58e-3, 63.5e-3, 66e-3])
def test_swept_volume_is_the_integral_of_the_area(s):
    def area(x):
        return effective_area(x, AREA, S_MAX, DECLINE)

    integral = quad(area, 0.0, s, points=[50.8e-3, 63.5e-3] if s > 50.8e-3 else None)[0]
    assert swept_volume(s, AREA, S_MAX, DECLINE) == pytest.approx(integral, rel=1e-9, abs=1e-15)


def test_area_is_constant_to_the_knee_and_continuous_beyond():
    assert effective_area(0.8 * S_MAX, AREA, S_MAX, DECLINE) == AREA
    assert effective_area(S_MAX, AREA, S_MAX, DECLINE) == pytest.approx(0.65 * AREA, rel=1e-12)
    assert_continuous(lambda s: effective_area(s, AREA, S_MAX, DECLINE), [0.0], [70e-3])


def test_ideal_force_of_a_type_30_at_100_psi_is_3000_pounds():
    # British Columbia manual "Driving Commercial Vehicles", p. 159: 3000 lbf at 100 psi
    assert 689475.7 * effective_area(30e-3, 30 * 6.4516e-4, S_MAX, DECLINE) == pytest.approx(3000 * 4.448222, rel=1e-4)


def test_brake_force_starts_at_the_free_stroke():
    assert pushrod_force(13.9e-3, 14e-3, 500e3) == 0.0
    assert_continuous(lambda s: pushrod_force(s, 14e-3, 500e3), [0.0], [30e-3])


def test_rates_are_continuous_over_every_kink_of_the_stroke():
    for gauge in (0.0, 19e3, 200e3, 690e3):
        assert_continuous(lambda s, g=gauge: chamber(g, s), [-5e-3], [70e-3])
    assert_continuous(lambda s: chamber(0.0, s), [-2e-4], [2e-4])


def test_rates_are_continuous_over_the_whole_pressure_range():
    assert_continuous(lambda g: chamber(g, 30e-3), [-20e3], [900e3])
    assert_continuous(lambda h: actuator(0.0, h, 20e-3, 20e-3), [0.0], [900e3])


def test_spring_brake_rates_are_continuous_over_contact_and_stops():
    for hold_off in (0.0, 300e3, 700e3):
        assert_continuous(lambda s, z, h=hold_off: actuator(0.0, h, s, z), [40e-3, -6e-3], [10e-3, 62e-3])


def test_a_released_chamber_stays_at_rest():
    rate, force = chamber(0.0, 0.0)
    assert force == 0.0
    settled_at = settled(lambda x: [chamber(0.0, x[0])[0]], [0.0])[0]
    assert -PRELOAD_FADE < settled_at <= 0.0
    assert rate <= 0.0


def test_pushrod_balance_at_service_pressure():
    s = settled(lambda x: [chamber(588e3, x[0])[0]], [0.0])[0]
    air = 588e3 * effective_area(s, AREA, S_MAX, DECLINE)
    force = chamber(588e3, s)[1]
    friction = 39.0 + 0.06 * force
    left_over = air - 387.0 - 3e3 * s - force
    assert left_over == pytest.approx(friction - 0.5 * FOOT, abs=1.0)
    assert force == pytest.approx(500e3 * (s - 14e-3), rel=1e-12)


def test_friction_holds_more_force_on_the_way_down():
    up = settled(lambda x: [chamber(400e3, x[0])[0]], [0.0])[0]
    top = settled(lambda x: [chamber(600e3, x[0])[0]], [up])[0]
    down = settled(lambda x: [chamber(400e3, x[0])[0]], [top])[0]
    assert chamber(400e3, down)[1] > 1.1 * chamber(400e3, up)[1]
    assert chamber(400e3, 0.5 * (up + down))[0] == 0.0


def test_the_stop_bounds_the_stroke_without_a_brake():
    s = settled(lambda x: [chamber(700e3, x[0], brake_stiffness=0.0)[0]], [0.0])[0]
    assert S_MAX < s < S_MAX + 6e-3


def test_spring_is_held_off_above_its_pressure_and_applies_without_it():
    s, z = settled(lambda x: actuator(0.0, 690e3, *x)[:2], [0.0, 0.0])
    assert z <= 0.0
    assert actuator(0.0, 690e3, s, z)[2] == 0.0
    s, z = settled(lambda x: actuator(0.0, 0.0, *x)[:2], [s, z])
    force = actuator(0.0, 0.0, s, z)[2]
    assert z > s > 14e-3
    # inside the 6.7 to 8.9 kN of the coil spring less what stroke, return spring and friction take
    assert 5.0e3 < force < 6.7e3


def test_spring_piston_pushes_and_never_pulls():
    alone = chamber(300e3, 20e-3)
    assert actuator(300e3, 690e3, 20e-3, 0.0)[::2] == pytest.approx(alone, rel=1e-12)


def test_service_and_spring_forces_add_when_compounded():
    s, z = settled(lambda x: actuator(0.0, 0.0, *x)[:2], [0.0, 0.0])
    parked = actuator(0.0, 0.0, s, z)[2]
    s, z = settled(lambda x: actuator(588e3, 0.0, *x)[:2], [s, z])
    assert actuator(588e3, 0.0, s, z)[2] > parked + 0.8 * chamber(588e3, 34.8e-3)[1]


def test_a_caged_spring_gives_no_force():
    caged = (AREA, 0.0, 0.0, *SPRING[3:])
    s, z = settled(lambda x: spring_brake_rates(PA, PA, PA, *x, *ROD, *caged, FOOT)[:2], [0.0, 0.0])
    assert abs(z) < 1e-6
    assert spring_brake_rates(PA, PA, PA, s, z, *ROD, *caged, FOOT)[2] == 0.0
