"""Rules about loads: what just fits, what just does not, and units that stand in a chain."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pneusim.circuit.circuit import Axle, Circuit, Vehicle
from pneusim.circuit.motion import Hitch, Loading, Motion, Rolling, Tyre
from pneusim.lints.registry import lint
from pneusim.quantities import STANDARD_GRAVITY as G


def axle(number: int, at: float, tonnes: float, group: str = "rear", rated: float | None = None) -> Axle:
    tyre = Tyre(rated_load=0.5e3 * G * (rated or tonnes))
    return Axle(number, 1e3 * G * tonnes, rolling=Rolling(at, group, 10.0, tyre))


def tractor(front: float = 5.4, rear: float = 15.4, **more: float) -> Vehicle:
    """Of 8.8 t, 12 t of the semitrailer 0.3 m before its rear axles."""
    motion = Motion(Loading(8.8e3, 1.0, 2.07), rear_hitch=Hitch(4.0, 1.2))
    axles = axle(1, 0.0, front, "front"), axle(2, 4.3, rear, **more)
    return Vehicle("tractor", "tractor", axles=axles, motion=motion)


SEMI = Vehicle("semi", "semitrailer", axles=(axle(1, 7.7, 24.0),), motion=Motion(
    Loading(36e3, 2.0), front_hitch=Hitch(0.0, 1.2)))  # fmt: skip


def found(*vehicles: Vehicle) -> list[str]:
    return sorted(fault.code for fault in lint(Circuit("", {}, {}, vehicles=vehicles)))


def test_a_tractor_alone_may_bear_more_than_it_weighs_but_not_less() -> None:
    assert found(tractor(rated=10.0)) == []
    assert found(tractor(5.0, 3.0)) == ["W16"]


@pytest.mark.parametrize(("rear", "codes"), [(15.4, []), (15.9, []), (16.3, ["W16"]), (14.5, ["W16"])])
def test_with_its_semitrailer_the_sum_is_known_within_three_per_cent(rear: float, codes: list[str]) -> None:
    assert found(tractor(rear=rear), SEMI) == codes


def test_a_semitrailer_bears_no_more_than_it_weighs() -> None:
    motion = replace(SEMI.motion, laden=Loading(23e3, 2.0))
    assert found(replace(SEMI, motion=motion)) == ["W16"]
    given = replace(SEMI.motion, laden=Loading(36e3, 2.0, 5.13))
    assert found(replace(SEMI, motion=given)) == []


@pytest.mark.parametrize(("rated", "codes"), [(16.1, []), (15.9, ["W17"]), (119.0, []), (121.0, ["W17"])])
def test_tyres_from_a_fifth_to_one_and_a_half_of_their_rated_load(rated: float, codes: list[str]) -> None:
    semi = replace(SEMI, axles=(axle(1, 7.7, 24.0, rated=rated),))
    assert found(semi) == codes
    assert found(tractor(), semi) == codes


def test_vehicles_that_only_stand_are_not_looked_at() -> None:
    assert found(replace(tractor(5.0, 3.0), motion=None)) == []
    assert found(replace(SEMI, axles=(replace(SEMI.axles[0], rolling=None),))) == []
