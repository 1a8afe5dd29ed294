"""Foundation brakes: shoes of textbooks, torque of S-cam brakes by pressure, what spring brakes hold.

Sources of the figures: `shared/references/brakes.yaml`, each with title, edition and page.
"""

from __future__ import annotations

import math

import pytest

from pneusim.physics.shoes import (
    actuating_force,
    equal_travel_factor,
    friction_moment,
    normal_moment,
    shoe_gain,
    shoe_torque,
)
from tests.reference_figures import Figure, figure
from tests.validation.circuits import told

IDEAL = "return_rate: 0 N/mm, friction_pressure: 0 kPa, friction_share: 0 %, free_stroke: 10 mm"


class Drum:
    """A textbook's brake: the leading shoe at the largest pressure, the trailing one under the same force."""

    def __init__(self, f: Figure) -> None:
        self.hinge = math.hypot(f["hinge_across"], f["hinge_aside"])
        self.f, self.shoe = f, (f["radius"], self.hinge, f["start"], f["end"])
        normal = normal_moment(f["pressure"], f["width"], *self.shoe)
        friction = friction_moment(f["friction"], f["pressure"], f["width"], *self.shoe)
        self.force = actuating_force(normal, friction, f["arm"], leading=True)
        self.trailing_pressure = f["pressure"] * self.force / actuating_force(normal, friction, f["arm"], leading=False)
        self.leading, self.trailing = self._torque(f["pressure"]), self._torque(self.trailing_pressure)

    def _torque(self, pressure: float) -> float:
        f = self.f
        return shoe_torque(f["friction"], pressure, f["width"], f["radius"], f["start"], f["end"])

    def gains(self) -> list[float]:
        return [shoe_gain(self.f["friction"], *self.shoe, self.f["arm"], leading=leading) for leading in (True, False)]


@pytest.mark.parametrize(("example", "pairs"), [("bhandari_12_8", 1), ("bhandari_12_9", 2)])
def test_an_internal_shoe_brake_of_a_textbook(example: str, pairs: int):
    force, torque = figure(f"{example}_force"), figure(f"{example}_torque")
    drum = Drum(force)
    force.check(drum.force)
    torque.check(pairs * (drum.leading + drum.trailing))
    per_force = torque.expected / (pairs * force["radius"] * force.expected)
    assert sum(drum.gains()) == pytest.approx(per_force, rel=1e-4), "equal forces: C* is the sum of the gains"


def test_the_brake_of_another_textbook():
    drum = Drum(figure("shigley_16_2_force"))
    figure("shigley_16_2_force").check(drum.force)
    figure("shigley_16_2_leading").check(drum.leading)
    figure("shigley_16_2_trailing").check(drum.trailing)
    figure("shigley_16_2_total").check(drum.leading + drum.trailing)
    figure("shigley_16_2_pressure").check(drum.trailing_pressure)


def test_a_described_drum_brakes_as_its_shoes_do():
    """The whole way from a file: the cam gives the same travel, so the shoes share its force as 1/S1 to 1/S2."""
    f = figure("bhandari_12_8_torque")
    drum = Drum(f)
    run = told(f"""
axles:
  1: {{brake: {{type: s_cam, arm: 150 mm, cam_radius: 12 mm, efficiency: 80 %, drum_radius: {f.inputs["radius"]},
              lining_friction: {f["friction"]}, hinge: {1e3 * drum.hinge} mm, lining_start: {f.inputs["start"]},
              lining_end: {f.inputs["end"]}, shoe_arm: {f.inputs["arm"]}}}}}
components:
  source: {{type: supply}}
  left:   {{type: brake_chamber, axle: 1, side: left}}
lines:
  rod: {{from: source.1, to: left.11, bore: 9 mm, length: 1 m}}
scenarios:
  check:
    lasts: 2 s
    steps:
      - {{at: 0.1 s, set: source.pressure, to: 4 bar}}
""")
    pushed = run["left.pushrod_force"](2.0) * 0.150 * 0.80 / 0.012
    first, second = drum.gains()
    drag = pushed / (1.0 / first + 1.0 / second)
    assert run["left.brake_torque"](2.0) == pytest.approx(2.0 * drag * f["radius"], rel=1e-9)
    assert equal_travel_factor(first, second) < first + second


@pytest.mark.parametrize("size", [30, 20, 16])
@pytest.mark.parametrize("psi", [60, 100])
def test_torque_of_an_s_cam_brake(size: int, psi: int):
    f = figure(f"s_cam_{size}_{psi}_psi")
    f.check(braked(f)["left.brake_torque"](3.0))


def test_force_at_the_tyre():
    f = figure("s_cam_30_tyre_force")
    f.check(braked(f, f"tyre_radius: {f.inputs['tyre_radius']}, ")["left.brake_force"](3.0))


def braked(f: Figure, tyre: str = ""):
    """A chamber whose return spring is the threshold, at the pressure of a figure."""
    return told(f"""
axles:
  1: {{{tyre}brake: {{type: s_cam}}}}
components:
  source: {{type: supply}}
  left:   {{type: brake_chamber, size: {f.inputs["size"]}, axle: 1, return_pressure: {f.inputs["threshold"]}, {IDEAL}}}
lines:
  rod: {{from: source.1, to: left.11, bore: 9 mm, length: 1 m}}
scenarios:
  check:
    lasts: 3 s
    steps:
      - {{at: 0.1 s, set: source.pressure, to: {f.inputs["pressure"]}}}
""")


def test_what_four_springs_hold():
    force, grade = figure("parking_four_springs"), figure("parking_grade_24_t")
    spring = f"spring_force: {force.inputs['spring']}, spring_rate: 0 N/mm, spring_friction: 0 N, spring_area: 30 in2"
    axle = f"load: {force.inputs['axle']}, tyre_radius: {force.inputs['tyre_radius']}, brake: {{type: s_cam}}"
    run = told(f"""
axles:
  1: {{{axle}}}
  2: {{like: 1}}
components:
  hold:    {{type: supply, pressure: 100 psi}}
  service: {{type: supply}}
  brake_1: {{type: spring_brake_actuator, axle: 1, side: left, return_pressure: 0 kPa, {spring}, {IDEAL}}}
  brake_2: {{like: brake_1, side: right}}
  brake_3: {{like: brake_1, axle: 2}}
  brake_4: {{like: brake_1, axle: 2, side: right}}
lines:
{"".join(f"  rod_{n}: {{from: service.{n}, to: brake_{n}.11, bore: 9 mm, length: 1 m}}" + chr(10) for n in range(1, 5))}
{"".join(f"  off_{n}: {{from: hold.{n}, to: brake_{n}.12, bore: 9 mm, length: 1 m}}" + chr(10) for n in range(1, 5))}
scenarios:
  check:
    lasts: 6 s
    steps:
      - {{at: 0.1 s, set: hold.pressure, to: 0 psi}}
""")
    found = {measure.name: measure.value for measure in run.measures}
    force.check(found["vehicle.parking_force"])
    grade.check(found["vehicle.grade_held"])
