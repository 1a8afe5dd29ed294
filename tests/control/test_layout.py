"""Which sensors drive which modulator, from circuit files."""

from __future__ import annotations

import pytest

from pneusim.control.layout import Wiring, groups_of
from pneusim.errors import UsageError
from pneusim.reading import load_text

SIDES = ("left", "right")


def vehicle(modulators: dict[str, list[str]], sensors: list[str], chambers: list[str], extra: str = ""):
    """A vehicle of wheels such as ``1_left``; every modulator feeds its chambers through a tee."""
    at = {wheel: "axle: {}, side: {}".format(*wheel.split("_")) for wheel in {*sensors, *chambers}}
    parts = ["  source: {type: supply, pressure: 6 bar}", "  fork: {type: tee}"]
    lines = ["  main: {from: source.1, to: fork.1, bore: 9 mm, length: 1 m}"]
    parts += [f"  chamber_{wheel}: {{type: brake_chamber, size: 24, {at[wheel]}}}" for wheel in chambers]
    parts += [f"  speed_{wheel}: {{type: wheel_speed_sensor, {at[wheel]}}}" for wheel in sensors]
    for n, (name, fed) in enumerate(modulators.items()):
        parts += [f"  {name}: {{type: brake_modulator}}", f"  tee_{name}: {{type: tee}}"]
        lines.append(f"  in_{name}: {{from: fork.{n + 2}, to: {name}.1, bore: 9 mm, length: 1 m}}")
        lines.append(f"  out_{name}: {{from: {name}.21, to: tee_{name}.1, bore: 9 mm, length: 1 m}}")
        lines += [f"  rod_{wheel}: {{from: tee_{name}.{k + 2}, to: chamber_{wheel}.11, bore: 9 mm, length: 1 m}}"
                  for k, wheel in enumerate(fed)]  # fmt: skip
    parts.append("  anti_lock: {type: anti_lock_control}")
    return load_text("\n".join(["pneusim: 1", "components:", *parts, *extra.splitlines(), "lines:", *lines, ""]))


def wheels(*axles: int) -> list[str]:
    return [f"{axle}_{side}" for axle in axles for side in SIDES]


def driven(circuit, word: str = "individual") -> dict[str, set[str]]:
    """By modulator the wheels of the sensors that drive it."""
    found = groups_of(circuit, "anti_lock", word)
    names = [[found.sensors[n].removeprefix("speed_") for n in group] for group in found.groups]
    return {name: set(group) for name, group in zip(found.modulators, names)}


def truck():
    """Four sensors, four modulators."""
    return vehicle({f"m_{wheel}": [wheel] for wheel in wheels(1, 2)}, wheels(1, 2), wheels(1, 2))


def test_four_sensors_and_four_modulators():
    assert driven(truck()) == {f"m_{wheel}": {wheel} for wheel in wheels(1, 2)}
    assert driven(truck(), "select_low") == {f"m_{a}_{side}": set(wheels(a)) for a in (1, 2) for side in SIDES}
    front = {f"m_1_{side}": set(wheels(1)) for side in SIDES}
    assert driven(truck(), "mixed") == front | {f"m_2_{side}": {f"2_{side}"} for side in SIDES}


def test_names_and_indices_are_in_the_order_of_the_file():
    assert groups_of(truck(), "anti_lock", "individual") == Wiring(
        tuple(f"m_{wheel}" for wheel in wheels(1, 2)), tuple(f"speed_{wheel}" for wheel in wheels(1, 2)),
        ((0,), (1,), (2,), (3,)),
    )  # fmt: skip


def test_a_tandem_whose_second_axle_has_no_sensors_is_driven_by_the_first():
    fed = {f"m_{side}": [f"2_{side}", f"3_{side}"] for side in SIDES}
    assert driven(vehicle(fed, wheels(2), wheels(2, 3))) == {f"m_{side}": {f"2_{side}"} for side in SIDES}


def test_two_sensors_and_one_modulator():
    assert driven(vehicle({"m": wheels(1, 2, 3)}, wheels(2), wheels(1, 2, 3))) == {"m": set(wheels(2))}


def test_four_sensors_and_two_modulators_by_sides():
    fed = {f"m_{side}": [f"{axle}_{side}" for axle in (1, 2, 3)] for side in SIDES}
    trailer = vehicle(fed, wheels(1, 3), wheels(1, 2, 3))
    assert driven(trailer) == {f"m_{side}": {f"1_{side}", f"3_{side}"} for side in SIDES}
    assert driven(trailer, "select_low") == {f"m_{side}": set(wheels(1, 3)) for side in SIDES}


def test_a_modulator_without_a_sensor_of_its_own_takes_the_nearest_of_its_side():
    fed = {f"m_{wheel}": [wheel] for wheel in wheels(1, 2, 3)}
    found = driven(vehicle(fed, wheels(1, 3), wheels(1, 2, 3)))
    assert found["m_2_left"] == {"1_left"}
    assert found["m_3_right"] == {"3_right"}
    low = driven(vehicle(fed, wheels(1, 3), wheels(1, 2, 3)), "select_low")
    assert low["m_2_left"] == set(wheels(1))


VALVES = """\
pneusim: 1
components:
  source:  {type: supply, pressure: 6 bar}
  before:  {type: tee}
  m:       {type: brake_modulator}
  other:   {type: brake_modulator}
  quick:   {type: quick_release_valve}
  near:    {type: brake_chamber, size: 24, axle: 1, side: left}
  far:     {type: spring_brake_actuator, size: 24/24, axle: 2, side: left}
  beside:  {type: brake_chamber, size: 24, axle: 3, side: left}
  s_1:     {type: wheel_speed_sensor, axle: 1, side: left}
  s_2:     {type: wheel_speed_sensor, axle: 2, side: left}
  s_3:     {type: wheel_speed_sensor, axle: 3, side: left}
  anti_lock: {type: anti_lock_control}
lines:
  a: {from: source.1, to: before.1, bore: 9 mm, length: 1 m}
  b: {from: before.2, to: m.1, bore: 9 mm, length: 1 m}
  c: {from: before.3, to: far.12, bore: 9 mm, length: 1 m}
  d: {from: m.21, to: quick.1, bore: 9 mm, length: 1 m}
  e: {from: quick.21, to: near.11, bore: 9 mm, length: 1 m}
  f: {from: quick.22, to: far.11, bore: 9 mm, length: 1 m}
  g: {from: m.22, to: other.1, bore: 9 mm, length: 1 m}
joints:
  - [other.21, beside.11]
"""


def test_it_follows_the_air_through_valves_and_joints_up_to_the_next_modulator():
    found = groups_of(load_text(VALVES), "anti_lock", "individual")
    assert found == Wiring(("m", "other"), ("s_1", "s_2", "s_3"), ((0, 1), (2,)))


def test_the_air_of_a_spring_brake_is_no_service_brake():
    parking = VALVES.replace("before.3, to: far.12", "before.3, to: far.11")
    parking = parking.replace("quick.22, to: far.11", "quick.22, to: far.12")
    assert groups_of(load_text(parking), "anti_lock", "individual").groups == ((0,), (2,))


# ---- what is refused


def refused(circuit, match: str) -> None:
    with pytest.raises(UsageError, match=match) as raised:
        groups_of(circuit, "anti_lock", "individual")
    assert ". Fix: " in str(raised.value)
    assert ":" in str(raised.value).split(" ")[0], "it tells where"


def test_without_a_modulator():
    text = "pneusim: 1\ncomponents:\n  source: {type: supply, pressure: 6 bar}\n"
    text += "  left: {type: brake_chamber, size: 24}\n"
    text += "  s: {type: wheel_speed_sensor, axle: 1, side: left}\n  anti_lock: {type: anti_lock_control}\n"
    text += "lines:\n  rod: {from: source.1, to: left.11, bore: 9 mm, length: 1 m}\n"
    refused(load_text(text), "its unit has no brake_modulator that it could command. Fix: put one before the chambers")


def test_without_a_sensor():
    silent = vehicle({"m": ["1_left"]}, [], ["1_left"])
    refused(silent, "no wheel_speed_sensor that it could listen to. Fix: add one with")


def test_with_no_sensor_on_the_side():
    refused(
        vehicle({"m": ["2_left"]}, ["1_right"], ["2_left"]),
        "m: no wheel_speed_sensor is at a wheel that it brakes, nor on the left side. "
        "Fix: add one with 'axle: 2, side: left'",
    )


def test_with_a_modulator_that_brakes_no_wheel():
    refused(vehicle({"m": ["1_left"], "n": []}, ["1_left"], ["1_left"]), "n: no brake chamber lies behind its delivery")


def test_with_two_sensors_at_a_wheel():
    twice = vehicle({"m": ["1_left"]}, ["1_left"], ["1_left"], "  s: {type: wheel_speed_sensor, axle: 1, side: left}")
    refused(twice, "s: it is at the wheel of speed_1_left. Fix: keep one of them")


@pytest.mark.parametrize(("lacking", "told"), [(", side: left", "side missing"), ("axle: 1, ", "axle missing")])
@pytest.mark.parametrize("part", ["wheel_speed_sensor", "brake_chamber, size: 24"])
def test_with_a_part_that_does_not_say_at_which_wheel(part, lacking, told):
    line = f"type: {part}, axle: 1, side: left"
    text = VALVES.replace(line, line.replace(lacking, ""), 1)
    refused(load_text(text), f"it is not said at which wheel it is: {told}. Fix: give it 'axle: <number>'")


def test_with_two_controls():
    both = VALVES.replace("lines:", "  second: {type: anti_lock_control}\nlines:")
    both = both.replace("{type: wheel_speed_sensor,", "{type: wheel_speed_sensor, anti_lock_control: anti_lock,")
    refused(load_text(both), "its unit has 2 anti_lock_controls: anti_lock, second. Fix: keep one")
