"""Loads of a braked tractor and semitrailer: laws of single units against moments of the whole train.

No published example was found; the table is a closed form of statics.
"""

from __future__ import annotations

import pytest

from pneusim.physics.train import pull, supports

G = 9.80665
TRACTOR = {"mass": 8e3, "base": 3.8, "centre": 1.3, "height": 1.0, "hitch": 3.2}  # fifth wheel 0.6 m before the axle
TRAILER = {"mass": 30e3, "base": 7.7, "centre": 5.0, "height": 2.0}  # from the kingpin
COUPLING = 1.2  # height of the fifth wheel [m]


def by_units(z: float) -> tuple[float, float, float, float, float]:
    """Axle loads, vertical and horizontal coupling force, each axle braked at z of its load: unit by unit."""
    m1, m2 = TRACTOR["mass"], TRAILER["mass"]
    a = pull(-z * (m1 + m2) * G, m1 + m2, 0.0, 0.0)
    N3 = m2 * G
    for _ in range(60):
        push = m2 * a + z * N3  # pull at the kingpin, negative while the trailer pushes
        kingpin, N3 = supports(
            a, push, 0.0, 0.0, m2 * G, m2, 0.0, 0.0, TRAILER["base"], TRAILER["centre"], TRAILER["height"], COUPLING,
            0.0, 0.0,
        )  # fmt: skip
    N1, N2 = supports(
        a, 0.0, push, kingpin, m1 * G, m1, 0.0, 0.0, TRACTOR["base"], TRACTOR["centre"], TRACTOR["height"], 0.0,
        COUPLING, TRACTOR["hitch"],
    )  # fmt: skip
    return N1, N2, N3, kingpin, -push


def closed_form(z: float) -> tuple[float, float, float, float, float]:
    """The same from moments about the ground below the kingpin and about the rear axle."""
    W1, W2 = TRACTOR["mass"] * G, TRAILER["mass"] * G
    N3 = W2 * (TRAILER["centre"] - z * TRAILER["height"] + z * COUPLING) / (TRAILER["base"] + z * COUPLING)
    down, along = W2 - N3, z * (W2 - N3)
    L1 = TRACTOR["base"]
    ahead = L1 - TRACTOR["hitch"]
    N1 = (W1 * (L1 - TRACTOR["centre"]) + z * W1 * TRACTOR["height"] + down * ahead + along * COUPLING) / L1
    return N1, W1 + down - N1, N3, down, along


@pytest.mark.parametrize("z", [0.0, 0.2, 0.3, 0.5, 0.6, 0.8])
def test_units_one_by_one_are_the_train(z: float):
    assert by_units(z) == pytest.approx(closed_form(z), rel=1e-9, abs=1e-6)


@pytest.mark.parametrize("z", [0.0, 0.3, 0.7])
def test_identities(z: float):
    N1, N2, N3, down, along = by_units(z)
    assert sum((N1, N2, N3)) == pytest.approx(38e3 * G, rel=1e-12)
    assert along == pytest.approx(z * down, rel=1e-9, abs=1e-6)


@pytest.mark.parametrize(
    ("z", "expected"),
    [
        (0.0, (67.9, 113.7, 191.0, 103.2, 0.0)), (0.3, (88.2, 110.7, 173.7, 120.5, 36.1)),
        (0.5, (103.4, 106.3, 163.1, 131.1, 65.6)), (0.6, (111.3, 103.4, 157.9, 136.3, 81.8)),
    ],
)  # fmt: skip
def test_table_of_loads(z: float, expected: tuple[float, ...]):
    assert [x / 1e3 for x in by_units(z)] == pytest.approx(expected, abs=0.051)


def test_a_truck_at_half_a_g():
    """N1 = m g (b + z h)/L: 16 t, wheelbase 5 m, centre 3.2 m behind the front axle and 1.2 m high."""
    loads = supports(-0.5 * G, 0.0, 0.0, 0.0, 16e3 * G, 16e3, 0.0, 0.0, 5.0, 3.2, 1.2, 0.0, 0.0, 0.0)
    assert loads[0] == pytest.approx(16e3 * G * (1.8 + 0.5 * 1.2) / 5.0, rel=1e-12)
    assert sum(loads) == pytest.approx(16e3 * G, rel=1e-12)
