import pytest

from pneusim.circuit.circuit import Component
from pneusim.results.measures.applications import applications
from tests.results.synthetic import run_of


def inputs(**channels):
    """A run with one foot valve and one hand valve; each channel is (times, values)."""
    parts = [
        Component("foot", "foot_valve"),
        Component("hand", "hand_valve"),
        Component("relay", "relay_valve"),
    ]
    return run_of({n.replace("__", "."): (t, v, "fraction") for n, (t, v) in channels.items()}, parts)


def test_times_are_first_movements():
    run = inputs(foot__travel=([0, 1, 1.2, 3, 3.2, 5], [0, 0, 1, 1, 0, 0]))
    (one,) = applications(run)
    assert (one.start, one.release, one.end) == (1.0, 3.0, 5.0)
    assert one.name == "application_1"


def test_a_step_moves_at_its_own_time():
    run = inputs(foot__travel=([0, 1, 1, 3, 3, 5], [0, 0, 1, 1, 0, 0]))
    (one,) = applications(run)
    assert (one.start, one.release) == (1.0, 3.0)


def test_applications_of_all_controls_are_numbered_in_time():
    run = inputs(
        foot__travel=([0, 1, 1.1, 2, 2.1, 6, 6.1, 9], [0, 0, 1, 1, 0, 0, 1, 1]),
        hand__travel=([0, 4, 4.1, 5, 5.1, 9], [0, 0, 0.5, 0.5, 0, 0]),
    )
    found = applications(run)
    assert [(a.number, a.control, a.start) for a in found] == [(1, "foot", 1), (2, "hand", 4), (3, "foot", 6)]
    assert found[0].end == 6.0
    assert found[2].release is None


@pytest.mark.parametrize(
    ("values", "release"),
    [([0, 0, 1, 1, 0.5, 0.5, 0], 2.0), ([0, 0, 0.5, 0.5, 1, 1, 0], 5.0), ([0, 0, 1, 1, 0.5, 0.5, 0.5], 2.0)],
)
def test_the_release_is_the_last_way_back(values, release):
    run = inputs(foot__travel=([0, 0.9, 1, 2, 3, 5, 6], values))
    (one,) = applications(run)
    assert one.release == release


def test_a_control_applied_at_the_start_is_told():
    run = inputs(foot__travel=([0, 3, 3.2, 5], [0.4, 0.4, 0, 0]))
    (one,) = applications(run)
    assert one.already
    assert (one.start, one.release) == (0.0, 3.0)


def test_demand_counts_like_travel_and_rest_is_no_application():
    run = inputs(foot__demand=([0, 1, 2, 9], [0, 0, 600e3, 600e3]), hand__travel=([0, 9], [0, 0]))
    (one,) = applications(run)
    assert (one.input, one.start) == ("foot.demand", 1.0)
