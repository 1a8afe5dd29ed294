import numpy as np
import pytest

from pneusim.circuit.circuit import Component
from pneusim.results.measures import measure
from tests.results.synthetic import run_of


def one_brake(pressure, travel=None, times=None, released=8.0):
    """A brake whose pressure is a function of time, and a foot valve moved at 1 s and then released."""
    times = np.linspace(0.0, 12.0, 12001) if times is None else times
    values = pressure(times)
    stroke = np.full_like(times, 0.02)
    knots = ([0, 1.0, 1.2, released, released + 0.2, 12], [0, 0, 1, 1, 0, 0]) if travel is None else travel
    return run_of(
        {
            "foot.travel": (*knots, "fraction"),
            "left.service_pressure": (times, values, "pressure"),
            "left.pushrod_force": (times, 0.02 * values, "force"),
            "left.stroke": (times, stroke, "length"),
        },
        [Component("foot", "foot_valve"), Component("left", "brake_chamber")],
    )


def results(run):
    return {result.name: result for result in measure(run)}


def first_order(held, tau, start=1.0, release=8.0):
    return lambda t: held * (1 - np.exp(-np.maximum(t - start, 0) / tau)) * np.exp(-np.maximum(t - release, 0) / tau)


def test_first_order_rise_has_its_closed_form():
    found = results(one_brake(first_order(600e3, 0.2)))
    value = {name.removeprefix("left.application_1."): result.value for name, result in found.items()}
    assert value["asymptotic_pressure"] == pytest.approx(600e3, rel=1e-9)
    assert value["time_to_10"] == pytest.approx(0.2 * np.log(1 / 0.9), abs=2e-6)
    assert value["time_to_75"] == pytest.approx(0.2 * np.log(4), abs=2e-6)
    assert value["time_to_414"] == pytest.approx(-0.2 * np.log(1 - 414 / 600), abs=2e-6)
    assert value["release_time"] == pytest.approx(0.2 * np.log(600 / 34.5), abs=2e-6)
    assert value["highest_pressure"] == pytest.approx(600e3, rel=1e-9)
    assert value["highest_force"] == pytest.approx(12e3, rel=1e-9)


def test_what_is_held_before_release_counts_not_the_peak():
    run = one_brake(lambda t: 500e3 * np.clip(t - 1, 0, 1) + 100e3 * np.exp(-(((t - 3) / 0.2) ** 2)) * (t < 8))
    found = results(run)
    assert found["left.application_1.asymptotic_pressure"].value == pytest.approx(500e3)
    assert found["left.application_1.highest_pressure"].value == pytest.approx(600e3)
    assert found["left.application_1.time_to_75"].value == pytest.approx(0.75)


def test_without_release_the_settled_end_counts():
    found = results(one_brake(first_order(600e3, 0.2, release=99), ([0, 1, 1.2, 12], [0, 0, 1, 1])))
    assert found["left.application_1.asymptotic_pressure"].value == pytest.approx(600e3)
    assert found["left.application_1.release_time"].value is None
    assert "not released" in found["left.application_1.release_time"].reason


def test_a_drifting_end_gives_no_asymptote_and_says_so():
    found = results(one_brake(lambda t: 5e3 * np.maximum(t - 1, 0), ([0, 1, 1.2, 12], [0, 0, 1, 1])))
    held = found["left.application_1.asymptotic_pressure"]
    assert held.value is None
    assert "5 kPa per second" in held.reason
    assert found["left.application_1.time_to_75"].value is None
    assert "asymptotic" in found["left.application_1.time_to_75"].reason


def test_the_drift_limit_is_1_kpa_per_second():
    still = ([0, 1, 1.2, 12], [0, 0, 1, 1])
    under = results(one_brake(lambda t: 300e3 * (t > 1) + 0.99e3 * t, still))
    over = results(one_brake(lambda t: 300e3 * (t > 1) + 1.01e3 * t, still))
    assert under["left.application_1.asymptotic_pressure"].value == pytest.approx(300e3 + 0.99e3 * 12)
    assert over["left.application_1.asymptotic_pressure"].value is None


def test_levels_never_reached_have_reasons():
    found = results(one_brake(first_order(300e3, 0.1)))
    missed = found["left.application_1.time_to_414"]
    assert missed.value is None
    assert missed.reason == "never reached 414 kPa before release; highest 300 kPa"


def test_a_pre_charged_brake_is_not_timed():
    found = results(one_brake(lambda t: np.full_like(t, 655e3) * np.exp(-np.maximum(t - 8, 0) / 0.2)))
    assert "already at 414 kPa" in found["left.application_1.time_to_414"].reason
    assert found["left.application_1.release_time"].value == pytest.approx(0.2 * np.log(655 / 34.5), abs=1e-5)


def test_an_application_from_before_the_run_gives_a_release_only():
    run = one_brake(first_order(655e3, 0.2, start=-20), ([0, 8, 8.2, 12], [1, 1, 0, 0]))
    found = results(run)
    assert "already applied" in found["left.application_1.time_to_75"].reason
    assert found["left.application_1.release_time"].value == pytest.approx(0.2 * np.log(655 / 34.5), abs=1e-5)


def test_a_brake_without_air_from_the_application_says_so():
    found = results(one_brake(lambda t: np.zeros_like(t)))
    assert "brought no pressure" in found["left.application_1.time_to_10"].reason
    assert "already below 34.5 kPa" in found["left.application_1.release_time"].reason


def test_pressure_that_stays_is_no_release():
    found = results(one_brake(first_order(600e3, 0.2, release=99)))
    assert found["left.application_1.release_time"].value is None
    assert "still at 600 kPa at 12 s" in found["left.application_1.release_time"].reason


def test_a_pressure_that_is_lost_while_the_control_is_held_is_none_held():
    """It leaks down by 40 kPa/s and then stays at what is left: the end is steady, but nothing was held."""
    leak = lambda t: np.where(t < 1, 0.0, np.interp(t, [1, 1.3, 4, 9], [0, 400e3, 400e3, 200e3]))  # noqa: E731
    found = results(one_brake(leak, ([0, 1, 1.2, 12], [0, 0, 1, 1])))
    held = found["left.application_1.asymptotic_pressure"]
    assert held.value is None
    assert held.reason == "it fell from 400 kPa to 200 kPa while the control was held"
    assert "fell from 400 kPa" in found["left.application_1.time_to_75"].reason
    assert results(one_brake(leak, released=10.0))["left.application_1.asymptotic_pressure"].value is None


def test_a_pressure_that_the_control_lowered_is_held():
    found = results(
        one_brake(
            lambda t: np.interp(t, [1, 1.3, 4, 5.0, 8, 8.2], [0, 400e3, 400e3, 150e3, 150e3, 200e3]),
            ([0, 1, 1.2, 4, 4.5, 8, 8.1, 12], [0, 0, 1, 1, 0.4, 0.4, 0.5, 0.5]),
        )
    )
    assert found["left.application_1.asymptotic_pressure"].value == pytest.approx(200e3)


def sprung(travel, force):
    """A brake with a spring, and a foot valve pressed at 1 s; 500 kPa of service air push with 10 kN."""
    times = np.linspace(0.0, 12.0, 1201)
    service = 500e3 * (times > 1.0)
    return run_of(
        {
            "foot.travel": ([0, 1.0, 1.2, 12], [0, 0, 1, 1], "fraction"),
            "left.service_pressure": (times, service, "pressure"),
            "left.spring_pressure": (times, np.zeros_like(times), "pressure"),
            "left.pushrod_force": (times, force(times), "force"),
            "left.stroke": (times, np.full_like(times, 0.03), "length"),
            "left.spring_travel": (times, travel(times), "length"),
        },
        [Component("foot", "foot_valve"), Component("left", "spring_brake_actuator")],
    )


def test_the_force_of_an_application_is_that_of_service_air():
    force = lambda t: np.where(t > 6, 15e3, 10e3)  # noqa: E731
    found = results(sprung(lambda t: np.where(t > 6, 0.03, 0.0), force))
    assert found["left.application_1.highest_force"].value == pytest.approx(10e3)
    assert found["left.highest_force"].value == pytest.approx(15e3)
    always = results(sprung(lambda t: np.full_like(t, 0.03), force))["left.application_1.highest_force"]
    assert (always.value, always.reason) == (None, "the spring pushes all the time")
