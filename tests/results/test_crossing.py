import numpy as np
import pytest

from pneusim.results.measures.crossing import before, first_crossing, highest, lowest
from tests.results.synthetic import channel


def test_interpolates_linearly_between_samples():
    ramp = channel("a.pressure", [0.0, 2.0], [0.0, 800e3])
    assert first_crossing(ramp, 414e3, +1, 0.0, 2.0) == pytest.approx(1.035, rel=1e-12)


def test_counts_only_what_lies_in_the_window():
    saw = channel("a.pressure", [0.0, 1.0, 2.0, 3.0, 4.0], [0.0, 10.0, 0.0, 10.0, 0.0])
    assert first_crossing(saw, 5.0, +1, 0.0, 4.0) == 0.5
    assert first_crossing(saw, 5.0, +1, 0.6, 4.0) == 2.5
    assert first_crossing(saw, 5.0, -1, 0.6, 4.0) == 1.5
    assert first_crossing(saw, 5.0, +1, 0.6, 2.4) is None


def test_a_level_that_holds_at_the_start_is_no_crossing():
    flat = channel("a.pressure", [0.0, 1.0], [7.0, 9.0])
    assert first_crossing(flat, 5.0, +1, 0.0, 1.0) is None


def test_a_level_touched_exactly_counts_once():
    peak = channel("a.pressure", [0.0, 1.0, 2.0], [0.0, 5.0, 0.0])
    assert first_crossing(peak, 5.0, +1, 0.0, 2.0) == 1.0


def test_jump_at_an_event_has_both_limits():
    jump = channel("a.pressure", [0.0, 1.0, 1.0, 2.0], [0.0, 0.0, 8.0, 8.0])
    assert (before(jump, 1.0), jump(1.0)) == (0.0, 8.0)
    assert first_crossing(jump, 4.0, +1, 0.0, 2.0) == 1.0
    assert highest(jump, 0.0, 1.0) == 0.0
    assert lowest(jump, 1.0, 2.0) == 8.0


def test_extremes_include_interpolated_ends():
    ramp = channel("a.pressure", [0.0, 1.0], [0.0, 10.0])
    assert highest(ramp, 0.2, 0.5) == pytest.approx(5.0)
    assert lowest(ramp, 0.2, 0.5) == pytest.approx(2.0)


def test_crossing_of_a_curve_is_the_curves_own():
    times = np.linspace(0.0, 1.0, 2001)
    rise = channel("a.pressure", times, 1.0 - np.exp(-times / 0.1))
    assert first_crossing(rise, 0.75, +1, 0.0, 1.0) == pytest.approx(0.1 * np.log(4.0), abs=1e-6)
