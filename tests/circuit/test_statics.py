"""How chains of units stand: against the closed form of a tractor and its semitrailer, and equilibrium."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from pneusim.circuit.circuit import Axle, Vehicle
from pneusim.circuit.motion import Hitch, Loading, Motion, Rolling
from pneusim.circuit.road import Road
from pneusim.circuit.statics import centres, stand
from pneusim.quantities import STANDARD_GRAVITY as G


def axle(number: int, at: float, group: str = "rear", load: float | None = None, empty: float | None = None) -> Axle:
    return Axle(number, load, empty, 0.5, rolling=Rolling(at, group))


def unit(name: str, kind: str, axles: tuple[Axle, ...], motion: Motion) -> Vehicle:
    return Vehicle(name, kind, axles=axles, motion=motion)


TRACTOR = unit("tractor", "tractor", (axle(1, 0.0, "front"), axle(2, 3.8)),
               Motion(Loading(8e3, 1.0, 1.3), rear_hitch=Hitch(3.2, 1.2)))  # fmt: skip
SEMI = unit("semi", "semitrailer", (axle(1, 6.4), axle(2, 7.7), axle(3, 9.0)),
            Motion(Loading(30e3, 2.0, 5.0), Loading(7e3, 1.2, 5.4), front_hitch=Hitch(0.0, 1.2),
                   rear_hitch=Hitch(10.0, 0.9)))  # fmt: skip
FULL = unit("full", "full_trailer", (axle(1, 2.0, "front"), axle(2, 6.7), axle(3, 8.0)),
            Motion(Loading(18e3, 1.8, 4.9), front_hitch=Hitch(0.0, 0.9)))  # fmt: skip


def closed_form(z: float) -> tuple[float, float, float]:
    """Loads of tractor axles and semitrailer group [N] where every axle brakes at z of its load.

    Trailer about the ground below the kingpin, tractor about its rear axle: free-body diagrams as in Wong, Theory of
    Ground Vehicles, chapter 3, from memory.
    """
    w1, l1, a1, h1, e, hk = 8e3 * G, 3.8, 1.3, 1.0, 0.6, 1.2
    w2, l2, b2, h2 = 30e3 * G, 7.7, 5.0, 2.0
    n3 = w2 * (b2 - z * h2 + z * hk) / (l2 + z * hk)
    fz = w2 - n3
    n1 = (w1 * (l1 - a1) + z * w1 * h1 + fz * e + z * fz * hk) / l1
    return n1, w1 + fz - n1, n3


@pytest.mark.parametrize("z", [0.0, 0.3, 0.5, 0.6, -0.1])
def test_tractor_and_semitrailer_by_the_closed_form(z: float) -> None:
    tractor, semi = stand([TRACTOR, SEMI], braking_ratio=z)
    assert (*tractor.loads, semi.loads[1]) == pytest.approx(closed_form(z), rel=1e-12)


@pytest.mark.parametrize("grade", [0.0, 0.12, -0.2])
@pytest.mark.parametrize("speed", [0.0, 20.0])
def test_the_road_bears_the_weight(grade: float, speed: float) -> None:
    chain = [TRACTOR, SEMI, FULL]
    on_road = sum(stood.load for standing in stand(chain, Road(speed, grade)) for stood in standing.axles)
    assert on_road == pytest.approx(56e3 * G * math.cos(math.atan(grade)), rel=1e-12)


def test_moments_of_a_parked_truck_on_a_slope() -> None:
    """About the rear contact: uphill the weight turns over the rear axle, mu = tan of the slope."""
    truck = unit("", "truck", (axle(1, 0.0, "front"), axle(2, 5.0)), Motion(Loading(16e3, 1.2, 3.2)))
    slope = math.atan(0.15)
    front = 16e3 * G * (math.cos(slope) * 1.8 - math.sin(slope) * 1.2) / 5.0
    assert stand([truck], Road(grade=0.15))[0].loads[0] == pytest.approx(front, rel=1e-12)
    rolling = 16e3 * G * math.cos(slope) * 1.8 / 5.0  # rolling freely, weight along the road turns into acceleration
    assert stand([truck], Road(speed=10.0, grade=0.15))[0].loads[0] == pytest.approx(rolling, rel=1e-12)


def test_truck_braked_at_half_its_weight() -> None:
    """N1 = m g (b + z h)/L with b from the rear axle to the centre of mass: Wong, from memory."""
    truck = unit("", "truck", (axle(1, 0.0, "front"), axle(2, 5.0)), Motion(Loading(16e3, 1.2, 3.2)))
    assert stand([truck], braking_ratio=0.5)[0].loads[0] == pytest.approx(16e3 * G * (1.8 + 0.5 * 1.2) / 5.0)


def test_units_stand_hitch_on_hitch() -> None:
    assert [standing.offset for standing in stand([TRACTOR, SEMI, FULL])] == [0.0, 3.2, 13.2]
    drawn = replace(FULL, motion=replace(FULL.motion, front_hitch=Hitch(-2.0, 0.9)))
    assert stand([SEMI, drawn])[1].offset == 12.0


def test_a_full_trailer_rests_nothing_on_the_unit_before_it() -> None:
    alone, before = stand([SEMI])[0], stand([SEMI, FULL])[0]
    assert alone.loads == before.loads
    assert [stood.support for stood in stand([FULL])[0].axles] == [0, 1, 1]


def test_shares_are_those_of_the_given_loads() -> None:
    axles = (axle(1, 6.0, load=60e3, empty=10e3), axle(2, 8.0, load=40e3, empty=10e3))
    semi = replace(SEMI, axles=axles)
    assert [stood.share for stood in stand([semi])[0].axles] == [0.6, 0.4]
    assert stand([semi])[0].supports == (0.0, pytest.approx(6.8))
    assert stand([semi], Road(loading={"semi": "empty"}))[0].supports == (0.0, 7.0)


def loaded(chain: list[Vehicle]) -> list[Vehicle]:
    """A chain whose axles have the loads that they bear, and whose centres of mass are not given."""
    found = []
    for standing in stand(chain):
        axles = tuple(replace(stood.axle, load=stood.load) for stood in standing.axles)
        motion = standing.vehicle.motion
        assert motion is not None
        laden = replace(motion.laden, centre_at=None)
        found.append(replace(standing.vehicle, axles=axles, motion=replace(motion, laden=laden)))
    return found


def test_centres_of_mass_follow_from_loads() -> None:
    chain = [TRACTOR, SEMI, FULL]
    assert centres(loaded(chain), {}) == {name: pytest.approx(at) for name, at in
                                          (("tractor", 1.3), ("semi", 5.0), ("full", 4.9))}  # fmt: skip


def test_a_dolly_and_its_semitrailer() -> None:
    dolly = unit("dolly", "dolly", (axle(1, 2.0),), Motion(Loading(1.5e3, 0.8, 1.8), front_hitch=Hitch(0.0, 0.9),
                 rear_hitch=Hitch(2.0, 1.2)))  # fmt: skip
    first, second, last = stand([SEMI, dolly, replace(SEMI, name="last")])
    kingpin = last.loads[0]
    assert second.loads == (pytest.approx(1.5e3 * G * 0.2 / 2.0), pytest.approx(1.5e3 * G * 1.8 / 2.0 + kingpin))
    assert sum(first.loads) == pytest.approx(30e3 * G + second.loads[0])
    assert centres(loaded([SEMI, dolly, replace(SEMI, name="last")]), {})["dolly"] == pytest.approx(1.8)


def test_loads_that_do_not_fit_the_mass_tell_no_centre() -> None:
    tractor, semi = loaded([TRACTOR, SEMI])
    assert centres([tractor], {}) == {"tractor": None}  # its axles bear a semitrailer that is not there
    for mass, known in ((8.4e3, True), (9e3, False)):  # its axles bear 18.5 t in all; 3 % of it is allowed
        other = replace(tractor, motion=replace(tractor.motion, laden=Loading(mass, 1.0)))
        assert (centres([other, semi], {})["tractor"] is not None) is known
    with pytest.raises(ValueError, match="tractor is not known"):
        stand([tractor])


def test_the_empty_state_counts_where_it_is_given() -> None:
    empty = stand([TRACTOR, SEMI], Road(loading={"semi": "empty", "tractor": "empty"}))
    assert sum(empty[1].loads) == pytest.approx(7e3 * G)
    assert empty[1].loads[1] == pytest.approx(7e3 * G * 5.4 / 7.7)
    assert empty[0].mass == 8e3
