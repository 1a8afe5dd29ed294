"""The other measures: lags, reservoirs, happenings, the file's own, and expectations."""

import numpy as np
import pytest

from pneusim.circuit.automatic import AUTOMATIC
from pneusim.circuit.circuit import Component
from pneusim.circuit.scenario import Expectation, Measure, Scenario, Trigger
from pneusim.results import finish
from pneusim.results.run import Event
from tests.results.synthetic import run_of, separation


@pytest.fixture(scope="module")
def finished():
    return {result.name: result for result in finish(separation()).measures}


def asked(measure, *expectations, **channels):
    """The result of one measure on channels given as (times, values) or (times, values, dimension)."""
    scenario = Scenario("s", measures=(measure,), expectations=expectations)
    data = {name: value if len(value) == 3 else (*value, "pressure") for name, value in channels.items()}
    run = run_of(data, [Component("foot", "foot_valve")], scenario=scenario)
    return next(result for result in finish(run).measures if result.name == measure.name)


RAMP = ([0.0, 10.0], [0.0, 1000e3])
PEDAL = ([0.0, 2.0, 2.2, 10.0], [0.0, 0.0, 1.0, 1.0], "fraction")


def test_lag_of_an_axle_is_its_slowest_brake_behind_the_first_axle(finished):
    t75 = {k: v.value for k, v in finished.items() if k.endswith("application_1.time_to_75")}
    first = max(t75[f"tractor.axle_1_{side}.application_1.time_to_75"] for side in ("left", "right"))
    last = max(t75[f"trailer.axle_3_{side}.application_1.time_to_75"] for side in ("left", "right"))
    assert finished["tractor.axle_1.application_1.lag_75"].value == 0.0
    assert finished["trailer.axle_3.application_1.lag_75"].value == pytest.approx(last - first)
    slowest_of_tractor = max(v for k, v in t75.items() if k.startswith("tractor"))
    assert finished["trailer.application_1.lag_75"].value == pytest.approx(last - slowest_of_tractor)


def test_reservoirs_have_their_lowest_and_what_they_kept(finished):
    assert finished["trailer.tank.lowest"].value == pytest.approx(760e3, rel=1e-6)
    assert finished["trailer.tank.kept"].value == pytest.approx(760 / 820, rel=1e-6)


def test_an_empty_reservoir_kept_nothing_that_can_be_told():
    run = run_of({"tank.pressure": (*RAMP, "pressure")}, [Component("tank", "reservoir")])
    found = {result.name: result for result in finish(run).measures}
    assert found["tank.kept"].value is None
    assert "empty" in found["tank.kept"].reason


def test_happenings_are_measures_in_order():
    events = tuple(Event(t, "closed", "low", "low closed", "warning") for t in (3.0, 7.0))
    run = run_of({"tank.pressure": (*RAMP, "pressure")}, [], events=events)
    found = {result.name: result.value for result in finish(run).measures}
    assert (found["low.closed"], found["low.closed_2"]) == (3.0, 7.0)


def test_time_since_an_input_to_a_level():
    result = asked(
        Measure("lag", since="foot.travel", reach="a.pressure", level=414e3),
        **{"a.pressure": RAMP, "foot.travel": PEDAL},
    )
    assert result.value == pytest.approx(2.14)


def test_time_since_a_channel_to_a_share():
    line = ([0, 1, 2, 10], [0, 0, 650e3, 650e3])
    brake = ([0, 2, 3, 10], [0, 0, 600e3, 600e3])
    trigger = Trigger("line.pressure", 65e3, +1)
    measure = Measure("lag", since=trigger, reach="brake.pressure", level=0.75, relative=True)
    result = asked(measure, **{"line.pressure": line, "brake.pressure": brake})
    assert result.value == pytest.approx(2.75 - 1.1)


def test_a_share_counts_from_what_the_named_control_held():
    foot = ([0, 1, 1.1, 5, 5.1, 20], [0, 0, 1, 1, 0, 0], "fraction")
    hand = ([0, 2, 2.1, 15, 15.1, 20], [0, 0, 1, 1, 0, 0], "fraction")
    brake = ([0, 2, 3, 6, 7, 20], [0, 0, 200e3, 200e3, 600e3, 600e3])
    scenario = Scenario(
        "s", measures=(Measure("lag", since="hand.travel", reach="a.pressure", level=0.5, relative=True),)
    )
    channels = {"foot.travel": foot, "hand.travel": hand, "a.pressure": (*brake, "pressure")}
    controls = [Component("foot", "foot_valve"), Component("hand", "hand_valve")]
    run = finish(run_of(channels, controls, scenario=scenario))
    assert next(m.value for m in run.measures if m.name == "lag") == pytest.approx(6.25 - 2.0)


def test_falls_to():
    measure = Measure(
        "fall",
        since=Trigger("a.pressure", 900e3, -1),
        reach="a.pressure",
        level=0.5,
        relative=True,
        falling=True,
    )
    result = asked(measure, **{"a.pressure": ([0.0, 10.0], [1000e3, 0.0])})
    assert result.value == pytest.approx(4.5)


@pytest.mark.parametrize(
    ("measure", "value"),
    [
        (Measure("m", kind="max", channel="a.pressure"), 1000e3),
        (Measure("m", kind="min", channel="a.pressure"), 0.0),
        (Measure("m", kind="min", channel="a.pressure", since="foot.travel"), 200e3),
        (Measure("m", kind="value_at", channel="a.pressure", at=2.5), 250e3),
    ],
)
def test_extremes_and_values(measure, value):
    result = asked(measure, **{"a.pressure": RAMP, "foot.travel": PEDAL})
    assert (result.value, result.dimension) == (pytest.approx(value), "pressure")


@pytest.mark.parametrize(
    ("measure", "reason"),
    [
        (
            Measure("m", since="foot.travel", reach="a.pressure", level=2e6),
            "never reached 2000 kPa; it came to 1000 kPa",
        ),
        (Measure("m", since="foot.travel", reach="a.pressure", level=1e5), "was already at 100 kPa at 2 s"),
        (Measure("m", since="park.lever", reach="a.pressure", level=1e5), "park.lever was never moved"),
        (
            Measure("m", since=Trigger("a.pressure", 2e6, 1), reach="a.pressure", level=1e5),
            "never rose above 2000 kPa",
        ),
        (Measure("m", since="foot.travel", reach="b.pressure", level=1e5), "no channel b.pressure"),
        (Measure("m", since="foot.travel", reach="all_brakes", level=1e5), "no brakes"),
        (
            Measure("m", since="foot.travel", reach="a.pressure", level=0.75, relative=True),
            "no asymptotic value",
        ),
        (Measure("m", kind="value_at", channel="a.pressure", at=11.0), "ends at 10 s"),
    ],
)
def test_what_is_never_reached_has_a_reason(measure, reason):
    still = ([0.0, 10.0], [1.0, 1.0], "fraction")
    result = asked(measure, **{"a.pressure": RAMP, "foot.travel": PEDAL, "park.lever": still})
    assert result.value is None
    assert reason in result.reason


def test_all_brakes_means_the_slowest(finished):
    slowest = max(v.value for k, v in finished.items() if k.endswith("application_1.time_to_75"))
    assert finished["drive_lag"].value == pytest.approx(slowest)


@pytest.mark.parametrize(
    ("low", "high", "words", "met"),
    [
        (None, 2.2, "at most 2.2 s", True),
        (None, 2.1, "at most 2.1 s", False),
        (2.14, None, "at least 2.14 s", True),
        (2.2, None, "at least 2.2 s", False),
        (1.0, 3.0, "between 1 s and 3 s", True),
        (1.0, 2.0, "between 1 s and 2 s", False),
    ],
)
def test_expectations_are_judged(low, high, words, met):
    result = asked(
        Measure("lag", since="foot.travel", reach="a.pressure", level=414e3),
        Expectation("lag", low, high),
        **{"a.pressure": ([0.0, 10.0], [0.0, 1000e3]), "foot.travel": PEDAL},
    )
    assert (result.limit, result.met) == (words, met)


def test_two_expectations_on_one_measure_must_both_hold():
    result = asked(
        Measure("top", kind="max", channel="a.pressure"),
        Expectation("top", low=2e6, source="a rule, clause 1"),
        Expectation("top", high=3e6, source="common practice"),
        **{"a.pressure": RAMP},
    )
    assert result.limit == "at least 2000 kPa and at most 3000 kPa"
    assert result.source == "a rule, clause 1; common practice"
    assert result.met is False


def test_an_expectation_without_value_or_measure_is_not_met():
    measure = Measure("lag", since="foot.travel", reach="a.pressure", level=2e6)
    channels = {"a.pressure": RAMP, "foot.travel": PEDAL}
    assert asked(measure, Expectation("lag", high=1.0), **channels).met is False
    run = run_of({"a.pressure": (*RAMP, "pressure")}, [], scenario=Scenario("s", expectations=(Expectation("x", 1),)))
    (result,) = finish(run).measures
    assert (result.met, result.value) == (False, None)
    assert "no measure of that name" in result.reason


def test_a_run_cut_short_is_measured_as_far_as_it_went():
    whole = separation()
    cut = {n: (c.times[c.times < 1.05], c.values[c.times < 1.05], c.dimension) for n, c in whole.channels.items()}
    run = run_of(cut, list(whole.circuit.components.values()), status="failed", message="The step size ran out.")
    done = finish(run)
    found = {result.name: result for result in done.measures}
    assert found["tractor.axle_1_left.application_1.time_to_75"].value is None
    assert done.narrative[-1] == "The run failed: The step size ran out."
    assert np.isfinite([r.value for r in done.measures if r.value is not None]).all()


def test_every_automatic_measure_is_in_the_table_that_the_reader_checks_limits_with() -> None:
    run = finish(separation())
    asked_for = {measure.name for measure in run.scenario.measures}
    happenings = {event.kind for event in run.events}
    for measure in run.measures:
        word = measure.name.rpartition(".")[2]
        if measure.name not in asked_for and word not in happenings:
            assert AUTOMATIC[word] == measure.dimension
