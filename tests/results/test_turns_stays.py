"""Turns of a spring: looking at the ends of its stays alone finds what looking at every sample finds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pneusim.results.measures.crossing import first_crossing
from pneusim.results.measures.turns import AT_REST, MOVED, _edges
from pneusim.results.run import Channel


def by_every_sample(travel: Channel, hold_off: Channel) -> list[tuple[int, float, float]]:
    """The definition of a turn, one sample after the other."""
    edges: list[tuple[int, float, float]] = []
    low = high = direction = 0
    z, times = np.maximum(travel.values, 0.0), travel.times
    travel, held = replace(travel, values=z), np.maximum(hold_off.values, 0.0)
    held_low = held_high = held[0]
    for i in range(1, len(z)):
        if z[i] <= z[low]:
            low, held_low = i, held[i]
        elif held[i] >= held_low:
            low = i
        if z[i] >= z[high]:
            high, held_high = i, held[i]
        elif held[i] <= held_high:
            high = i
        if direction <= 0 and z[i] - z[low] >= MOVED:
            direction, extreme = +1, low
        elif direction >= 0 and z[high] - z[i] >= MOVED:
            direction, extreme = -1, high
        else:
            continue
        rests = extreme + int(np.flatnonzero(direction * (z[extreme : i + 1] - z[extreme]) <= AT_REST)[-1])
        level = float(z[extreme]) + direction * MOVED
        begins = first_crossing(travel, level, direction, float(times[rests]), float(times[i]))
        edges.append((direction, float(times[rests]), float(times[i]) if begins is None else begins))
        low = high = i
        held_low = held_high = held[i]
    return edges


@pytest.mark.parametrize("seed", range(8))
def test_the_ends_of_stays_tell_as_much_as_every_sample(seed):
    random, found = np.random.default_rng(seed), 0
    for _ in range(200):
        count = int(random.integers(2, 60))
        times = np.cumsum(random.choice([0.0, 0.1, 0.2], count))
        z = random.choice([-1e-3, 0.0, 1e-3, 2e-3, 3e-3, 5e-3, 20e-3], count)
        for _ in range(int(random.integers(0, 5))):
            first, last = sorted(random.integers(0, count, 2))
            z[first:last] = z[first]
        held = random.choice([0.0, 1e5, 2e5, 3e5, 4e5], count)
        travel, hold_off = (Channel(n, times, v, d, n) for n, v, d in (("z", z, "length"), ("p", held, "pressure")))
        edges = _edges(travel, hold_off)
        assert edges == by_every_sample(travel, hold_off)
        found += len(edges)
    assert found > 100
