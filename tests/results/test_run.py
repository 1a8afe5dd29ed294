from dataclasses import replace

import pytest

from pneusim.results import finish
from pneusim.results.run import Event
from pneusim.results.units import si_unit
from tests.results.synthetic import channel, run_of, separation


@pytest.fixture(scope="module")
def run():
    return finish(separation())


def test_a_channel_is_called_at_a_time():
    jump = channel("a.pressure", [0.0, 1.0, 1.0, 2.0], [0.0, 10.0, 20.0, 40.0])
    assert [jump(t) for t in (-1.0, 0.5, 1.0, 1.5, 9.0)] == [0.0, 5.0, 20.0, 30.0, 40.0]
    assert jump.unit == "Pa"


@pytest.mark.parametrize(
    ("dimension", "unit"),
    [("pressure", "Pa"), ("force", "N"), ("length", "m"), ("temperature", "K"), ("mass_flow", "kg/s"), ("flow", "kg/s"),
     ("conductance", "m3/(s Pa)"), ("rotation", "rev/s"), ("fraction", "1"), ("number", "1"), ("flag", "1")],
)  # fmt: skip
def test_values_are_in_coherent_units(dimension, unit):
    assert si_unit(dimension) == unit


def test_a_wrong_channel_name_tells_the_nearest(run):
    with pytest.raises(KeyError, match=r"tractor\.primary\.pressure"):
        run["tractor.primary.presure"]


def test_modes_of_settling_are_known_as_such():
    run = run_of({"a.pressure": ([0, 1], [0, 1], "pressure")}, [])
    assert run.settled(Event(0.0, "charged", "park", "", "mode"))
    assert not run.settled(Event(0.5, "charged", "park", "", "mode"))
    assert not run.settled(Event(0.0, "set", "park", "", "step"))
    assert run.span == (0.0, 1.0)
    assert run_of({}, []).span == (0.0, 0.0)


def test_all_channels_as_a_data_frame(run):
    frame = run.to_pandas()
    assert frame.index.name == "time"
    assert frame["tractor.foot.travel"].max() == 1.0
    assert frame.shape[1] == len(run.channels)


def test_a_run_shows_itself_in_a_notebook(run):
    html = run._repr_html_()
    assert "<h4>Made up: Both couplings part while driving</h4>" in html
    assert "<li>The trailer is held by its springs.</li>" in html
    assert "<td>drive_lag</td><td>0.36 s</td><td>at most 0.6 s</td><td>met</td>" in html


def test_names_are_escaped_in_a_notebook(run):
    circuit = replace(run.circuit, title="<script>alert(1)</script>")
    assert "<script>" not in replace(run, circuit=circuit)._repr_html_()


def test_a_run_at_the_prompt_is_one_line(run):
    assert repr(run).startswith(f"<Run '{run.scenario.name}' of '{run.circuit.title}': ok, ")
    assert repr(replace(run, variant="wide")).startswith(f"<Run '{run.scenario.name}+wide'")
    assert repr(run.circuit).startswith(f"<Circuit '{run.circuit.title}': {len(run.circuit.components)} parts")
    assert "\n" not in repr(run) + repr(run.circuit)
