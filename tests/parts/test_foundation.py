"""Foundation brakes: their gains, what they refuse, and that they have no threshold of their own."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from pneusim.parts.air_disc import AirDisc
from pneusim.parts.registry import part
from pneusim.parts.s_cam import GEOMETRY, SCam
from tests.parts.recorder import Moment, lowered

SHOES = {"lining_friction": 0.32, "hinge": 0.1227, "lining_start": 0.0, "lining_end": 2.199, "shoe_arm": 0.212}


def torque(brake, force: float) -> float:
    return lowered(brake).channel_at("brake_torque", Moment(pressures={"pushrod_force": force}))


def test_the_default_gains():
    """0.1397 m x 0.75 x 16.504 x 0.70, and 15.5 x 0.95 x 2 x 0.38 x 0.173 m."""
    assert torque(SCam(), 1.0) == pytest.approx(1.210, abs=5e-4)
    assert torque(AirDisc(), 1.0) == pytest.approx(1.936, abs=5e-4)


@pytest.mark.parametrize("brake", [SCam(), AirDisc()])
def test_torque_is_proportional_to_the_pushrod_force_from_zero_on(brake):
    assert torque(brake, 0.0) == 0.0
    assert torque(brake, 9e3) == pytest.approx(9e3 * torque(brake, 1.0), rel=1e-14)


@pytest.mark.parametrize(
    ("name", "power"), [("arm", 1), ("drum_radius", 1), ("efficiency", 1), ("shoe_factor", 1), ("cam_radius", -1)]
)
def test_every_figure_of_an_s_cam_counts(name, power):
    half = SCam(**{name: 0.5 * getattr(SCam(), name)})
    assert torque(half, 1.0) / torque(SCam(), 1.0) == pytest.approx(0.5**power)


@pytest.mark.parametrize("name", ["lever_ratio", "efficiency", "pad_friction", "effective_radius"])
def test_every_figure_of_a_disc_counts(name):
    half = AirDisc(**{name: 0.5 * getattr(AirDisc(), name)})
    assert torque(half, 1.0) / torque(AirDisc(), 1.0) == pytest.approx(0.5)


def test_the_shoe_factor_follows_from_the_shoes():
    """The recorder gives the friction back in its place."""
    assert torque(SCam(**SHOES), 1.0) / torque(SCam(), 1.0) == pytest.approx(0.32 / 1.4)


@pytest.mark.parametrize("missing", GEOMETRY)
def test_shoes_described_in_part_are_refused(missing):
    given = {name: value for name, value in SHOES.items() if name != missing}
    with pytest.raises(ValidationError, match=f"described in part: {missing} "):
        SCam(**given)


def test_shoes_beside_a_shoe_factor_and_a_lining_the_wrong_way_round_are_refused():
    with pytest.raises(ValidationError, match="beside the geometry"):
        SCam(**SHOES, shoe_factor=1.4)
    with pytest.raises(ValidationError, match="lining_start must be smaller"):
        SCam(**SHOES | {"lining_start": 2.5})


@pytest.mark.parametrize("kind", ["s_cam", "air_disc"])
@pytest.mark.parametrize("name", ["threshold", "hysteresis"])
def test_threshold_and_hysteresis_are_the_actuators(kind, name):
    with pytest.raises(ValidationError):
        part(kind)(**{name: 0.1})
