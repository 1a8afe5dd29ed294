from dataclasses import replace

import numpy as np
import pytest

from pneusim.circuit.circuit import Component
from pneusim.errors import UsageError
from pneusim.results import finish
from pneusim.results.run import Event
from pneusim.show import curves, plots
from pneusim.show.marks import MOST, legend, marks
from tests.results.synthetic import run_of, separation


@pytest.fixture(scope="module")
def run():
    return finish(separation())


def labels(found):
    return [curve.label for curve in found]


def test_sides_that_coincide_are_one_curve(run):
    assert labels(curves.of_chambers(run)) == [
        "tractor axle 1 both sides",
        "tractor axle 2 both sides",
        "trailer axle 1 both sides",
        "trailer axle 2 both sides",
        "trailer axle 3 both sides",
        "tractor axle 2 both sides, hold-off",
        "trailer axles 1 to 3, hold-off",
    ]


def test_brakes_that_only_differ_by_noise_are_one_curve():
    whole = separation()
    service = [n for n in whole.channels if n.startswith("trailer") and n.endswith(".service_pressure")]
    noise = {n: replace(whole.channels[n], values=np.sin(k + whole.channels[n].times)) for k, n in enumerate(service)}
    found = curves.of_chambers(replace(whole, channels={**whole.channels, **noise}))
    assert "trailer axles 1 to 3" in labels(found)


def test_parts_of_the_same_title_are_told_apart_by_their_unit(run):
    twin = Component("tractor.supply", "coupling_head", label="supply head", unit="tractor")
    components = {**run.circuit.components, "tractor.supply": twin}
    components["trailer.supply"] = replace(components["trailer.supply"], label="supply head")
    channels = {**run.channels, "tractor.supply.pressure": run.channels["trailer.supply.pressure"]}
    both = replace(run, circuit=replace(run.circuit, components=components), channels=channels)
    assert {"tractor supply head", "trailer supply head"} <= set(labels(curves.of_controls(both)))


def test_a_side_that_differs_is_its_own_curve_with_hollow_markers():
    whole = separation()
    name = "trailer.axle_2_right.service_pressure"
    weak = replace(whole.channels[name], values=0.5 * whole.channels[name].values)
    found = curves.of_chambers(replace(whole, channels={**whole.channels, name: weak}))
    left, right = (next(c for c in found if c.label == f"trailer axle 2 {side}") for side in ("left", "right"))
    assert (left.hollow, right.hollow) == (False, True)
    assert left.colour == right.colour


def test_an_axle_has_one_colour_in_all_figures(run):
    chambers = {c.label: c.colour for c in curves.of_chambers(run)}
    assert chambers["tractor axle 2 both sides"] == chambers["tractor axle 2 both sides, hold-off"]
    for force in curves.of_forces(run):
        assert force.colour == chambers[force.label]


def test_one_moment_is_one_mark_and_mechanics_are_not_marked(run):
    found, left_out = marks(run, 0.0, 12.0, "si")
    assert [mark.time for mark in found] == [1.0, 3.0, 5.0, 5.31]
    assert left_out == 0
    assert found[3].text.startswith("4  5.31 s: the trailer supply control tripped")
    assert "30 psi" in marks(run, 0.0, 12.0, "us")[0][3].text


def test_too_many_marks_keep_trips_and_warnings_and_count_the_rest():
    events = [Event(0.1 * k, "set", "foot", f"step {k}") for k in range(1, 30)]
    events.append(Event(4.0, "closed", "low", "low closed", "warning"))
    run = run_of({"a.pressure": ([0, 5], [0, 1], "pressure")}, [], events=tuple(events))
    found, left_out = marks(run, 0.0, 5.0, "si")
    assert len(found) == MOST
    assert left_out == 16
    assert found[-1].texts == ("low closed",)
    assert legend(found, left_out, 60).endswith("and 16 more events, see the list of events")


def test_overview_has_four_panels_with_axes_in_the_units_asked_for(run):
    figure = plots.plot(run, units="us")
    axes = [a for sub in figure.subfigs for a in sub.axes]
    assert [a.get_title(loc="left") for a in axes] == [
        "Reservoirs", "Controls and couplings", "Brake chambers", "Pushrod forces",
    ]  # fmt: skip
    assert [a.get_ylabel() for a in axes] == ["pressure [psi]"] * 3 + ["force [lbf]"]
    top = max(float(line.get_ydata().max()) for line in axes[0].get_lines()[:3])
    assert top == pytest.approx(827e3 / 6894.757, rel=1e-6)


def test_channels_are_drawn_by_name_one_panel_for_each_dimension(run):
    figure = plots.plot(run, "tractor.primary.pressure", "tractor.foot.travel", start=0.5, end=2.0)
    axes = [a for sub in figure.subfigs for a in sub.axes]
    assert [a.get_ylabel() for a in axes] == ["pressure [kPa]", "share [%]"]
    assert axes[0].get_xlim() == (0.5, 2.0)


def test_text_is_large_enough_to_be_read(run):
    figure = plots.plot(run, "chambers")
    figure.draw_without_rendering()
    texts = [t for t in figure.findobj(lambda artist: hasattr(artist, "get_fontsize")) if t.get_text()]
    assert len(texts) > 10
    scale = 8.0 / figure.get_size_inches()[0]
    assert min(t.get_fontsize() for t in texts) * scale >= 11.0


def test_nothing_sticks_out_of_the_figure(run):
    for name in ("chambers", "forces", "controls"):
        figure = plots.plot(run, name)
        figure.draw_without_rendering()
        box = figure.get_tightbbox()
        width, height = figure.get_size_inches()
        assert box.x0 >= -0.01
        assert box.y0 >= -0.01
        assert box.x1 <= width + 0.01
        assert box.y1 <= height + 0.01


@pytest.mark.parametrize(
    ("what", "options", "words"),
    [
        (("tank.presure",), {}, "no channel 'tank.presure' in this run; nearest:"),
        (("tank.presure",), {}, "or name a group: reservoirs, controls"),
        ((), {"units": "metric"}, "unit system 'metric' is unknown"),
        ((), {"start": 5.0, "end": 5.0}, "the part from 5 s to 5 s is empty"),
    ],
)
def test_wrong_wishes_are_told(run, what, options, words):
    with pytest.raises(UsageError, match=words.replace("(", r"\(")):
        plots.plot(run, *what, **options)


def test_a_run_without_brakes_says_that_there_is_nothing():
    run = run_of({"a.pressure": ([0, 5], [0, 1], "pressure")}, [Component("a", "tee")])
    with pytest.raises(UsageError, match="this run has no forces"):
        plots.plot(run, "forces")
    assert plots.plot(run, "a.pressure")._repr_png_()[:4] == b"\x89PNG"


def test_saved_pictures_are_the_same_bytes_again(run, tmp_path):
    written = plots.save(run, tmp_path)
    first = {path.name: path.read_bytes() for path in written}
    assert {name.split(".")[0] for name in first} == {
        "overview", "reservoirs", "controls", "chambers", "forces", "application_1",
        "spring_application_1",
    }  # fmt: skip
    plots.save(run, tmp_path)
    assert {path.name: path.read_bytes() for path in written} == first


def test_the_first_application_is_drawn_large(run):
    start, end = plots._first_rise(run)
    assert start == pytest.approx(0.95)
    assert end == pytest.approx(1.0 + 2.5 * 0.36036, abs=1e-3)
    still = run_of({"a.pressure": (np.array([0, 5]), np.array([0, 1]), "pressure")}, [])
    assert plots._first_rise(finish(still)) is None


def test_the_springs_first_application_is_drawn_large(run):
    """From the step that brought it about (5 s) to a third more than the slowest spring took."""
    start, end = plots._first_springs(run)
    full = max(m.value for m in run.measures if m.name.endswith(".spring_application_1.force_90"))
    assert start == pytest.approx(4.9)
    assert end == pytest.approx(full + (full - 5.0) / 3.0)
    still = run_of({"a.pressure": (np.array([0, 5]), np.array([0, 1]), "pressure")}, [])
    assert plots._first_springs(finish(still)) is None


def test_run_plots_itself(run):
    assert isinstance(run.plot("forces"), plots.RunFigure)
