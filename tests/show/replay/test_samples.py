"""Thinning loses no extreme, blurs no event, and leaves alone what needs none."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from pneusim.show.replay.samples import BINS, FINEST, thin
from tests.results.synthetic import run_of, separation


def run(times, **values):
    times = np.asarray(times, float)
    channels = {name.replace("__", "."): (times, np.asarray(v, float), "pressure") for name, v in values.items()}
    return run_of(channels, [])


def thinned(times, values):
    samples = thin(run(times, a__pressure=values), ["a.pressure"])
    return samples.times, samples.values["a.pressure"], samples


def test_few_samples_stay_as_they_are():
    times, values, samples = thinned([0.0, 0.5, 0.5, 2.0], [1.0, 2.0, 7.0, 3.0])
    assert times.tolist() == [0.0, 0.5, 0.5, 2.0]
    assert values.tolist() == [1.0, 2.0, 7.0, 3.0]
    assert (samples.width, samples.found) == (FINEST, 4)


def test_a_spike_inside_a_bin_stays_at_full_height():
    times = np.linspace(0.0, 1.0, 100_001)
    values = np.zeros_like(times)
    values[54_321] = 8e5
    few, kept, _ = thinned(times, values)
    assert len(few) < 2100
    assert kept.max() == 8e5
    assert few[kept.argmax()] == pytest.approx(times[54_321], abs=FINEST)


def test_a_fall_then_a_rise_keep_their_order():
    times = [0.0, 0.0002, 0.0003, 0.0004, 0.0009, 0.0011]
    assert thinned(times, [5.0, 5.0, 9.0, 1.0, 5.0, 5.0])[1].tolist() == [5.0, 9.0, 1.0, 5.0]
    assert thinned(times, [5.0, 5.0, 1.0, 9.0, 5.0, 5.0])[1].tolist() == [5.0, 1.0, 9.0, 5.0]


def test_every_channel_has_its_own_extremes():
    both = run([0.0, 0.0002, 0.0003, 0.0004, 0.001], a__pressure=[0, 0, 3, 1, 0], b__pressure=[0, 4, 0, 2, 0])
    samples = thin(both, both.channels)
    assert samples.values["a.pressure"].tolist() == [0, 0, 3, 0]
    assert samples.values["b.pressure"].tolist() == [0, 4, 0, 0]


def test_both_sides_of_an_event_stay_exact():
    fine = np.array([0.0, 1e-4, 2e-4, 3e-4, 4e-4])
    times = np.concatenate([fine, fine + 4e-4, [1.0]])
    values = [0.0, 3.0, 9.0, 2.0, 1.0, 6.0, 0.0, 8.0, 7.0, 5.0, 5.0]
    few, kept, _ = thinned(times, values)
    at = np.flatnonzero(few == 4e-4)
    assert len(at) == 2
    assert (kept[at[0]], kept[at[1]]) == (1.0, 6.0)
    assert kept.tolist() == [0.0, 9.0, 2.0, 1.0, 6.0, 0.0, 8.0, 5.0, 5.0]


def test_before_a_gap_the_last_sample_stays_so_that_no_extreme_is_drawn_across_it():
    times = [0.0, 0.0101, 0.0102, 0.0103, 0.0104, 5.0]
    few, kept, _ = thinned(times, [0.0, 0.0, 9.0, 2.0, 2.0, 2.0])
    assert kept[few >= 0.0104].tolist() == [2.0, 2.0]
    assert kept.max() == 9.0


def test_a_long_run_has_wider_bins():
    times, _, samples = thinned(np.linspace(0.0, 600.0, 300_001), np.zeros(300_001))
    assert samples.width == pytest.approx(600.0 / BINS)
    assert len(times) <= 2 * BINS + 2


@given(
    st.lists(st.sampled_from([0.0, 1e-5, 3e-4, 2e-3]), min_size=1, max_size=60).flatmap(
        lambda gaps: st.tuples(st.just(gaps), arrays.arrays(float, len(gaps), elements=st.integers(0, 9)))
    )
)
def test_what_is_kept_covers_what_was_there(drawn):
    """In every bin of the page's own, no value lies outside of what is kept near it, and both ends stay."""
    gaps, values = drawn
    times = np.cumsum([0.0, *gaps[1:]])
    few, kept, samples = thinned(times, values)
    assert (kept[0], kept[-1], few[0], few[-1]) == (values[0], values[-1], times[0], times[-1])
    assert np.all(np.diff(few) >= 0.0)
    for time, value in zip(times, values):
        near = kept[np.abs(few - time) <= samples.width]
        assert near.min() <= value <= near.max()
    twice = np.flatnonzero(np.diff(times) == 0.0)
    assert sorted(set(few[np.flatnonzero(np.diff(few) == 0.0)])) == sorted(set(times[twice]))


def test_a_run_keeps_its_times_common_to_all_channels():
    whole = separation()
    samples = thin(whole, whole.channels)
    assert set(samples.values) == set(whole.channels)
    assert {len(own) for own in samples.values.values()} == {len(samples.times)}
    for name, channel in whole.channels.items():
        assert samples.values[name].min() == channel.values.min()
        assert samples.values[name].max() == channel.values.max()
