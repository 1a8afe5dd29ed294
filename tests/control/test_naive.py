"""The naive control fails, as the lesson about it says: where all wheels slip at once it sees no slip."""

from __future__ import annotations

import numpy as np
import pytest

from pneusim.control.naive import NaiveAntiLock
from pneusim.control.teaching import TeachingAntiLock
from tests.control.plant import DRY, ICE, LOW, RELEASE, WET, peak, stop
from tests.control.test_teaching import BRIEF, FOUR, KMH, unlike


@pytest.mark.parametrize("surface", [WET, LOW, ICE])
def test_all_wheels_lock_together(surface):
    fooled = stop(NaiveAntiLock(FOUR), unlike(surface), 50 * KMH)
    assert fooled.locked() > 1.0
    middle = len(fooled.time) // 2
    assert fooled.told[middle][0] < 0.2 * fooled.speed[middle], "what it takes for the vehicle stands too"


def test_with_one_wheel_that_rolls_it_gives_braking_away():
    """A wheel without a brake keeps its reference right: then it swings between nothing and all."""
    groups, roads = ((0,), (1,), (2,)), [LOW, LOW, LOW]
    naive, taught = NaiveAntiLock(groups), TeachingAntiLock(groups)
    rates = []
    for control in (naive, taught):
        run = stop(control, roads, 70 * KMH, unbraked=(2,))
        assert run.locked() <= BRIEF
        rates.append(run.braking_rate() / (2.0 / 3.0 * peak(LOW)))
    assert rates[0] < rates[1] - 0.05
    assert rates[1] >= 0.75


def test_a_lost_sensor_releases_its_brake_for_good():
    run = stop(NaiveAntiLock(FOUR), [DRY] * 4, 80 * KMH, demand=200e3, lost={1: 1.0})
    assert set(run.commands[run.time > 1.1, 1]) == {RELEASE}
    assert np.all(run.commands[:, 0] != RELEASE)
