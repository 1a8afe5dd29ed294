"""Bands over neighbouring runs."""

from dataclasses import replace

import pytest

from pneusim.circuit.road import Road
from pneusim.circuit.scenario import Scenario
from pneusim.errors import UsageError
from pneusim.results.road.band import Band, bands, neighbours
from pneusim.results.run import MeasureResult
from tests.results.synthetic import run_of


def run(**values):
    made = run_of({}, [])
    why = "it does not come to rest"
    measures = (MeasureResult(name, value, "distance", "" if value else why) for name, value in values.items())
    return replace(made, measures=tuple(measures))


def test_the_lowest_and_the_highest_of_every_measure():
    found = bands([run(s=37.30, t=5.0), run(s=37.26, t=5.1), run(s=37.28, t=5.05)])
    assert found == (Band("s", "distance", 37.26, 37.30), Band("t", "distance", 5.0, 5.1))


def test_a_measure_that_one_run_lacks_has_no_band():
    found = bands([run(s=37.30, t=5.0), run(s=None)])
    assert found == (
        Band("s", "distance", None, None, "it does not come to rest"),
        Band("t", "distance", None, None, "one of the runs does not have it"),
    )
    assert bands([]) == ()


def test_three_initial_speeds():
    speeds = [scenario.road.speed for scenario in neighbours(Scenario("s", road=Road(speed=20.0)))]
    assert speeds == pytest.approx([19.99, 20.0, 20.01])


@pytest.mark.parametrize("road", [None, Road()])
def test_what_does_not_move_has_no_neighbours(road):
    with pytest.raises(UsageError, match="no initial speed"):
        neighbours(Scenario("s", road=road))
