"""Runs on a road as a user asks for them: separation, controllers of one's own, bands, and what is refused."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from pneusim.circuit.circuit import Circuit
from pneusim.circuit.road import Road, Stretch
from pneusim.circuit.scenario import Scenario, Step
from pneusim.circuit.surfaces import shipped_surfaces
from pneusim.errors import UsageError
from pneusim.reading import load
from pneusim.results.road.stability import divergence
from pneusim.results.run import Run
from pneusim.simulate import run

BRAKE = Step("set", at=0.2, target="foot.travel", to=1.0, over=0.1)


def on(surface: str, speed: float, **more: object) -> Road:
    """A road of one surface."""
    return replace(Road(speed, stretches=(Stretch(-1e6, surface, surface),), surfaces=shipped_surfaces()), **more)


def stop(name: str, road: Road | None, lasts: float = 4.0) -> tuple[Circuit, Scenario]:
    """A full application of a truck."""
    return load(name), Scenario("stop", lasts=lasts, begin={"park.lever": 1.0}, steps=(BRAKE,), road=road)


def same(one: Run, other: Run) -> bool:
    """Whether two runs are the same to the bit."""
    return all(
        np.array_equal(channel.values, other[name].values) and np.array_equal(channel.times, other[name].times)
        for name, channel in one.channels.items()
    )


@pytest.fixture(scope="module")
def controlled() -> Run:
    """A stop under control."""
    return run(*stop("anti-lock-truck", on("low", 8.0)))


def test_a_road_leaves_the_air_before_it_as_it_is():
    """What the brakes get does not depend on whether the vehicle moves."""
    standing, moving = run(*stop("rigid-truck", None)), run(*stop("rigid-truck", on("dry", 10.0)))
    for time in (0.4, 0.6, 1.0, 3.9):
        name = "rear_left.service_pressure"
        assert moving[name](time) == pytest.approx(standing[name](time), abs=500.0)


def test_what_moves_keeps_or_turns_all_its_energy(controlled):
    assert controlled.closure.motion < 1e-6
    assert run(*stop("rigid-truck", None)).closure.motion is None


def test_a_stop_under_control_is_the_same_every_time(controlled):
    assert same(controlled, run(*stop("anti-lock-truck", on("low", 8.0))))


class Counting:
    """Never does anything, and counts how often it is asked."""

    controlling = False

    def __init__(self) -> None:
        self.samples = 0
        self.times: list[float] = []

    def on_sample(self, time: float, speeds: Sequence[float]) -> Sequence[int]:
        """Apply all."""
        self.samples += 1
        self.times.append(time)
        assert self.samples == len(self.times) == round(time / 0.005) + 1
        return [1] * 4


def test_a_controller_of_ones_own_is_asked_at_every_sample_once():
    """Its own assertion fails where a sample is skipped or comes twice; the one that was given stays as it is."""
    mine = Counting()
    result = run(*stop("anti-lock-truck", on("dry", 8.0), 1.0), controllers={"anti_lock": mine})
    assert mine.samples == 0
    assert all(np.all(result[f"{name}.command"].values == 1.0) for name in modulators(result))


class Releasing(Counting):
    """Releases all at one sample."""

    controlling = True

    def on_sample(self, time: float, speeds: Sequence[float]) -> Sequence[int]:
        """Release from 0.505 s on."""
        super().on_sample(time, speeds)
        return [1 if time < 0.5049 else -1] * 4


def modulators(result: Run) -> list[str]:
    """Names of the brake modulators of a run."""
    return [c.name for c in result.circuit.components.values() if c.type == "brake_modulator"]


def test_a_command_acts_the_delay_after_its_sample():
    result = run(*stop("anti-lock-truck", on("dry", 20.0), 1.0), controllers={"anti_lock": Releasing()})
    for name in modulators(result):
        command = result[f"{name}.command"]
        first = command.times[np.flatnonzero(command.values < 0.0)[0]]
        assert first == pytest.approx(0.505 + 0.015, abs=1e-9)


def test_a_controller_that_answers_wrongly_is_told():
    class Short(Counting):
        def on_sample(self, time: float, speeds: Sequence[float]) -> Sequence[int]:
            return [1]

    with pytest.raises(UsageError, match="wanted are 4 commands"):
        run(*stop("anti-lock-truck", on("dry", 8.0), 1.0), controllers={"anti_lock": Short()})


def test_a_controller_that_cannot_be_copied_is_told():
    mine = Counting()
    mine.log = open(__file__)  # type: ignore[attr-defined]  # noqa: SIM115
    with mine.log, pytest.raises(UsageError, match="anti_lock cannot be copied: cannot pickle"):
        run(*stop("anti-lock-truck", on("dry", 8.0), 1.0), controllers={"anti_lock": mine})


def test_controllers_want_a_control_and_a_road():
    with pytest.raises(UsageError, match="there are: anti_lock"):
        run(*stop("anti-lock-truck", on("dry", 8.0)), controllers={"antilock": Counting()})
    with pytest.raises(UsageError, match="has no road"):
        run(*stop("anti-lock-truck", None), controllers={"anti_lock": Counting()})


def test_without_voltage_wheels_lock():
    circuit, scenario = stop("anti-lock-truck", on("low", 8.0))
    dead = replace(scenario, steps=(*scenario.steps, Step("fault", at=0.0, target="anti_lock.voltage_lost", to=1.0)))
    result = run(circuit, dead)
    assert np.all(result["anti_lock.lamp"].values[result["anti_lock.lamp"].times > 0.01] == 1.0)
    assert any(event.kind == "locks" for event in result.events)


def test_a_band_tells_how_far_a_measure_moves(controlled):
    banded = run(*stop("anti-lock-truck", on("low", 8.0)), band=True)
    known = {m.name: m for m in banded.measures}
    plain = {m.name: m.value for m in controlled.measures}
    distance = known["vehicle.stopping_distance"]
    assert distance.value == plain["vehicle.stopping_distance"]
    assert 0.0 < distance.error < 0.1 * distance.value


def test_a_band_wants_a_road_and_no_error_bar():
    with pytest.raises(UsageError, match="no initial speed"):
        run(*stop("rigid-truck", None), band=True)
    with pytest.raises(UsageError, match="ask for one"):
        run(*stop("rigid-truck", on("dry", 8.0)), band=True, error_bar=True)


def test_units_part_where_the_last_coupling_between_them_does():
    circuit = load("tractor-semitrailer")
    begin = {"tractor.park.lever": 1.0, "tractor.trailer_supply.knob": 1.0}
    for couplings, parts in ((("supply_line",), False), (("supply_line", "control_line"), True)):
        step = Step("separate", at=0.5, targets=couplings, over=0.05)
        road = on("dry", 15.0)
        result = run(circuit, Scenario("part", lasts=3.0, begin=begin, steps=(step,), road=road))
        gap = result["tractor.vehicle.distance"](3.0) - result["trailer.vehicle.distance"](3.0)
        assert (gap > 2.0) is parts
        assert (result["trailer.vehicle.hitched"](3.0) == 0.0) is parts


def hot_truck() -> Circuit:
    """The truck with drums of 45 kg."""
    circuit = load("rigid-truck")
    truck = circuit.vehicles[0]
    axles = tuple(replace(axle, brake={**axle.brake, "thermal_mass": 45.0}) for axle in truck.axles)
    return replace(circuit, vehicles=(replace(truck, axles=axles),))


def test_heat_of_brakes_warms_their_drums():
    """A stop leaves m c (T - T0) in the drums, what the air takes meanwhile aside."""
    _, scenario = stop("rigid-truck", on("dry", 15.0), 6.0)
    result = run(hot_truck(), scenario)
    wheels = [f"axle_{n}_{side}" for n in (1, 2) for side in ("left", "right")]
    stored = sum(45.0 * 500.0 * (result[f"{wheel}.temperature"](6.0) - 293.15) for wheel in wheels)
    assert stored == pytest.approx(result["vehicle.brake_heat"](6.0), rel=0.02)


def test_a_hot_brake_loses_torque_and_stroke():
    """Down a slope with the pedal held: 10 % of the torque and 3.6 mm of the stroke for each 100 K above 66 degC."""
    road = on("dry", 22.0, grade=-0.10)
    begin = {"park.lever": 1.0}
    held = Step("set", at=0.2, target="foot.travel", to=0.3, over=0.1)
    result = run(hot_truck(), Scenario("down", lasts=60.0, begin=begin, steps=(held,), road=road))
    moving = result["vehicle.speed"].values > 5.0
    time = float(result["vehicle.speed"].times[moving][-1])
    above = result["axle_2_left.temperature"](time) - 339.15
    assert above > 20.0
    left = 1.0 - 1e-3 * above
    rolling = 0.007 * result["axle_2_left.load"](time) * 0.5
    torque = left * result["rear_left.brake_torque"](time) + rolling
    assert result["axle_2_left.torque"](time) == pytest.approx(torque, rel=1e-3)
    cool = run(load("rigid-truck"), Scenario("down", lasts=60.0, begin=begin, steps=(held,), road=road))
    longer = result["rear_left.stroke"](time) - cool["rear_left.stroke"](time)
    # Return spring and friction of the actuator push a little less where the rod goes further out.
    assert 0.75 * 3.6e-5 * above < longer <= 3.6e-5 * above


def test_brakes_without_a_thermal_mass_have_no_temperature():
    assert not [name for name in run(*stop("rigid-truck", on("dry", 5.0), 1.0)).channels if "axle" in name
                and name.endswith(".temperature")]  # fmt: skip


def test_locked_drive_axles_of_a_tractor_let_it_jackknife_and_rolling_ones_do_not():
    """Gillespie, Fundamentals of Vehicle Dynamics, and Limpert, Brake Design and Safety (from memory): which axle locks
    decides; with all locked a combination slides nearly straight on.
    """
    circuit = load("tractor-semitrailer")
    begin = {"tractor.park.lever": 1.0, "tractor.trailer_supply.knob": 1.0}
    brake = replace(BRAKE, target="tractor.foot.travel")
    rates = {}
    for surface in ("wet", "snow"):
        result = run(circuit, Scenario("stop", lasts=3.0, begin=begin, steps=(brake,), road=on(surface, 22.0)))
        rates[surface] = {m.name: m.value for m in result.measures}["combination.divergence_rate"]
        assert divergence(result, 0.1) < 0.0
        assert (result["tractor.axle_1_left.slip"](2.9) > 0.95) is (surface == "snow")
    assert rates["wet"] > 2.0 > 1.0 > rates["snow"] > 0.0


def test_a_run_on_a_road_names_the_sources_of_friction_and_of_what_rolls():
    way = Road(8.0, stretches=(Stretch(-1e6, "dry", "wet"),), surfaces=shipped_surfaces())
    told = run(*stop("rigid-truck", way, 0.2)).sources
    assert "memory: surfaces dry, wet (c1, c2, c3, truck)" in told
    assert "assumption: surfaces dry, wet (fading)" in told
    memory = next(one for one in told if one.startswith("memory: defaults "))
    assert "motion.rolling_resistance" in memory
    assert "motion.wheel_inertia.steer" in memory
    assert "motion.wheel_inertia.others" not in memory, "the file gives that of the rear axle"


def test_a_run_without_a_road_names_nothing_of_one():
    told = " ".join(run(*stop("rigid-truck", None, 0.2)).sources)
    assert "surfaces" not in told
    assert "motion." not in told


def test_ratios_of_an_empty_vehicle_are_over_its_own_weight():
    """Force over 7 t, not over the 16 t that it weighs laden."""
    circuit = load("rigid-truck")
    scenario = Scenario("parked", lasts=1.0, begin={"park.lever": 0.0}, road=on("dry", 0.0, loading={"": "empty"}))
    known = {m.name: m.value for m in run(circuit, scenario).measures}
    weight = 7e3 * 9.80665
    assert known["vehicle.parking_ratio"] == pytest.approx(known["vehicle.parking_force"] / weight, rel=1e-9)
