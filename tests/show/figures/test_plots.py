from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from pneusim import simulate
from pneusim.circuit.circuit import Component, Joint, Port
from pneusim.circuit.scenario import Expectation, Measure
from pneusim.cli import main
from pneusim.errors import UsageError
from pneusim.parts.registry import part
from pneusim.reading import load_text
from pneusim.results import finish
from pneusim.results.run import Event
from pneusim.results.store import store
from pneusim.show.figures import curves, plots
from pneusim.show.figures.against import ARROWS
from pneusim.show.figures.flows import of_flows
from pneusim.show.figures.limits import limits
from pneusim.show.figures.marks import MOST, legend, marks
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
    assert legend(found, left_out)[-1] == "and 16 more events, see the list of events"


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
    name, long = "tractor.primary.pressure", "a name of a channel that goes on and on " * 4
    wordy = replace(run, channels={**run.channels, name: replace(run.channels[name], label=long)})
    for figure in (*(plots.plot(run, name) for name in ("chambers", "forces", "controls")), plots.plot(wordy, name)):
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
        ((), {"start": 99.0}, "nothing to draw from 99 s on: the run ends at 12 s; begin before that"),
        (("chamber",), {}, "no group or channel 'chamber' in this run; nearest: the group chambers"),
        (("reservoirs", "tank.pressure"), {}, "reservoirs is a group: name groups alone, or channels alone"),
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


def expecting(run, *expectations):
    return finish(replace(run, scenario=replace(run.scenario, measures=(), expectations=expectations)))


def test_what_is_expected_of_a_curve_is_a_line_in_its_panel():
    held = "tractor.axle_1_left.application_1.asymptotic_pressure"
    force = "trailer.axle_1_left.final_force"
    run = expecting(
        separation(),
        Expectation(held, low=600e3, high=900e3),
        Expectation(held.replace("left", "right"), low=600e3),
        Expectation(force, low=99e3),
        Expectation("trailer.axle_1_left.application_1.time_to_75", high=0.5),
    )
    found, left_out = limits(run, curves.of_chambers(run))
    assert [(limit.value, limit.words) for limit in found] == [
        (900e3, "held, at most 900 kPa: tractor axle 1 left"),
        (600e3, "held, at least 600 kPa: tractor axle 1"),
    ]
    assert left_out == 0
    (missed,) = limits(run, curves.of_forces(run))[0]
    assert missed.words == "force at the end, at least 99 kN: trailer axle 1 left, NOT MET"
    figure = plots.plot(run, "chambers", units="us")
    axes = figure.subfigs[0].axes[0]
    level = 600e3 / 6894.757
    assert any(np.allclose(line.get_ydata(), level) for line in axes.get_lines() if len(line.get_xdata()) == 2)
    assert {"a", "b"} <= {text.get_text() for text in axes.texts}
    assert "held, at least 87 psi" in figure.subfigs[1].texts[0].get_text()


def test_a_limit_above_all_curves_is_inside_the_axes():
    run = expecting(separation(), Expectation("tractor.axle_1_left.highest_pressure", high=2e6))
    figure = plots.plot(run, "chambers")
    assert figure.subfigs[0].axes[0].get_ylim()[1] > 2000.0


def test_share_kept_is_a_pressure_and_the_files_own_measures_keep_their_names():
    run = separation()
    tank = "tractor.primary"
    asked = Measure("late", kind="value_at", channel=f"{tank}.pressure", at=11.0)
    scenario = replace(
        run.scenario,
        measures=(asked,),
        expectations=(Expectation(f"{tank}.kept", low=0.5), Expectation("late", low=100e3)),
    )
    run = finish(replace(run, scenario=scenario))
    start = float(run.channels[f"{tank}.pressure"].values[0])
    found, _ = limits(run, curves.of_reservoirs(run))
    assert found[0].value == pytest.approx(0.5 * start)
    assert [limit.words for limit in found] == [
        "kept, at least 50 %: Primary", "late at 11 s, at least 100 kPa",
    ]  # fmt: skip


def test_the_level_to_which_a_judged_time_counts_is_drawn(run):
    channel = "trailer.axle_1_left.service_pressure"
    asked = (
        Measure("rise", since="tractor.foot.travel", reach="all_brakes", level=414e3),
        Measure("emptied", since="tractor.foot.travel", reach=channel, level=35e3, falling=True),
        Measure("unjudged", since="tractor.foot.travel", reach=channel, level=100e3),
        Measure("share", since="tractor.foot.travel", reach="all_brakes", level=0.75, relative=True),
    )
    judged = tuple(Expectation(name, high=0.6) for name in ("rise", "emptied", "share"))
    made = finish(replace(run, scenario=replace(run.scenario, measures=asked, expectations=judged)))
    found, _ = limits(made, curves.of_channels(made, [channel]))
    assert [(limit.value, limit.words) for limit in found] == [
        (414e3, "rise counts to 414 kPa"), (35e3, "emptied counts down to 35 kPa"),
    ]  # fmt: skip
    assert limits(made, curves.of_channels(made, ["tractor.foot.travel"]))[0] == []


def tank_with_switches():
    """A reservoir that falls from 8 bar to 2 bar; two switches joined to it, a third elsewhere; a safety valve that
    opens far above."""
    parts = [
        Component("tank", "reservoir", {"volume": 0.04}),
        Component("low", "pressure_switch", {"closes_below": 450e3}, label="low-pressure switch"),
        Component("twin", "pressure_switch", {"closes_below": 450e3}, label="twin"),
        Component("other", "pressure_switch", {"closes_below": 300e3}),
        Component("safety", "safety_valve", {"opens": 1300e3}),
    ]
    run = run_of({"tank.pressure": ([0, 5], [800e3, 200e3], "pressure")}, parts)
    joint = Joint((Port("tank", "21"), Port("low", "1"), Port("twin", "1"), Port("safety", "1")))
    return replace(run, circuit=replace(run.circuit, joints=(joint,)))


def test_levels_of_parts_that_sense_what_is_shown_are_lines():
    run = tank_with_switches()
    found, left_out = limits(run, curves.of_reservoirs(run))
    assert [limit.words for limit in found] == [
        "low-pressure switch closes its contact below 450 kPa, as does twin",
    ]  # fmt: skip
    assert left_out == 0


def test_the_largest_flows_are_shown_and_lines_in_a_row_once():
    times = np.linspace(0.0, 4.0, 401)
    pulse = 0.05 * np.exp(-((times - 1.0) ** 2))
    run = run_of(
        {
            "first.flow": (times, pulse, "mass_flow"),
            "second.flow": (times, -pulse * 0.99, "mass_flow"),
            "small.flow": (times, 0.1 * np.sin(times) ** 2 * pulse, "mass_flow"),
            "none.flow": (times, 1e-7 * pulse, "mass_flow"),
            "tank.pressure": (times, 1e5 + times, "pressure"),
        },
        [],
    )
    found = of_flows(run, 0.0, 4.0)
    assert [curve.channels for curve in found] == [("first.flow", "second.flow"), ("small.flow",)]
    assert found[0].label == "first.flow (1 more with the same flow)"
    axes = plots.plot(run, "flows").subfigs[0].axes[0]
    assert axes.get_ylabel() == "flow [g/s]"
    (litres,) = axes.child_axes
    assert litres.get_ylabel() == "flow [L/min (ANR)]"
    litres.apply_aspect()
    per_gram = litres.get_ylim()[1] / axes.get_ylim()[1]
    assert per_gram == pytest.approx(60.0 / 1.185, rel=1e-6)  # 1 g of air is 1/1.185 L at the reference atmosphere


def test_a_channel_against_another_has_its_hysteresis_arrows_and_the_line_of_equality():
    times = np.linspace(0.0, 2.0, 201)
    signal = 6e5 * np.sin(0.5 * np.pi * times)
    run = run_of(
        {
            "signal.pressure": (times, signal, "pressure"),
            "relay.pressure": (times, np.maximum(signal - np.where(times < 1.0, 3e4, -3e4), 0.0), "pressure"),
            "rod.force": (times, 1e-2 * signal, "force"),
        },
        [],
    )
    figure = plots.plot(run, "relay.pressure", "rod.force", against="signal.pressure")
    pressure, force = figure.subfigs[0].axes
    curve, equal = pressure.get_lines()
    assert np.interp(300.0, curve.get_xdata()[:100], curve.get_ydata()[:100]) == pytest.approx(270.0, abs=1.0)
    assert np.array_equal(equal.get_xdata(), equal.get_ydata())
    assert pressure.get_xlim() == pressure.get_ylim()
    assert len(pressure.texts) == ARROWS
    assert all(arrow.arrow_patch is not None for arrow in pressure.texts)
    assert pressure.get_xlabel() == "signal.pressure [kPa]"
    assert (len(force.get_lines()), force.get_ylabel()) == (1, "force [kN]")


def test_two_runs_are_aligned_at_their_first_steps_and_told_apart(run):
    later = {name: replace(c, times=c.times + 0.5) for name, c in run.channels.items()}
    events = tuple(replace(event, time=event.time + 0.5) for event in run.events)
    other = replace(run, channels=later, events=events, variant="late")
    figure = plots.plot(run, "forces", beside=other)
    lines = [line for line in figure.subfigs[0].axes[0].get_lines() if len(line.get_xdata()) > 2]
    ours = next(line for line in lines if line.get_label() == "A: tractor axle 1 both sides")
    theirs = next(line for line in lines if line.get_label() == "B: tractor axle 1 both sides")
    assert (ours.get_linestyle(), theirs.get_linestyle()) == ("-", "--")
    assert np.allclose(ours.get_xdata(), theirs.get_xdata())
    text = " ".join(figure.subfigs[1].texts[0].get_text().split())
    assert "dashed: " in text
    assert ", variant late; times of B are moved by -0.50 s, so that the first step of both coincides" in text
    assert "A and B: " in text


def test_hold_off_of_two_runs_is_told_apart(run):
    axes = plots.plot(run, "chambers", beside=run).subfigs[0].axes[0]
    dashes = {line.get_label(): line._unscaled_dash_pattern for line in axes.get_lines()}
    kinds = [dashes[f"{key}: trailer axles 1 to 3{words}"] for key in "AB" for words in (", hold-off",)]
    kinds += [dashes[f"{key}: tractor axle 1 both sides"] for key in "AB"]
    assert len({str(kind) for kind in kinds}) == 4


def test_a_run_in_which_nothing_is_done_is_not_moved(run):
    still = replace(run, events=())
    text = " ".join(plots.plot(run, "forces", beside=still).subfigs[1].texts[0].get_text().split())
    assert "times of both count from their own start" in text


def test_a_figure_is_written_where_it_is_told(run, tmp_path):
    figure = plots.plot(run, "forces")
    for path in (tmp_path / "a.png", str(tmp_path / "a.svg")):
        assert figure.save(path) == Path(path)
        assert Path(path).stat().st_size > 1000
    with pytest.raises(UsageError, match=r"a\.jpg: a figure is written as \.png, \.svg, \.pdf"):
        figure.save(tmp_path / "a.jpg")
    with pytest.raises(UsageError, match=r"cannot be written \(No such file or directory\)"):
        figure.save(str(tmp_path / "nowhere" / "a.png"))


def test_characteristics_need_channels(run):
    with pytest.raises(UsageError, match="must be channels"):
        plots.plot(run, "forces", against="tractor.foot.travel")
    with pytest.raises(UsageError, match=r"no channel 'foot\.travl' in this run; nearest: tractor\.foot\.travel"):
        plots.plot(run, "tractor.primary.pressure", against="foot.travl")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A stored result of a small circuit of its own."""
    circuit = load_text(part("relay_valve").example)
    return store(simulate.run(circuit, next(iter(circuit.scenarios))), tmp_path_factory.mktemp("result"))


def test_figures_of_a_result_from_the_command_line(folder, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    shell = CliRunner()
    assert shell.invoke(main, ["plot", str(folder)]).output == f"written to {folder.name}.png\n"
    arguments = ["--against", "signal.pressure", "--from", "0.5", "-o", "a.svg", "--beside"]
    told = shell.invoke(main, ["plot", str(folder), "relay.pressure", *arguments, str(folder)])
    assert told.output == "written to a.svg\n"
    text = (tmp_path / "a.svg").read_text(encoding="utf-8")
    assert "B: relay: delivered pressure" in text
    assert "Arrows show the direction of time." in text


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["relay.presure"], "no channel 'relay.presure' in this run; nearest: relay.pressure"),
        (["-o", "a.docx"], "a figure is written as .png, .svg, .pdf"),
        (["-o", "nowhere/a.png"], "nowhere/a.png: cannot be written (No such file or directory)"),
        (["chambers", "--against", "signal.pressure"], "must be channels"),
    ],
)
def test_wrong_wishes_on_the_command_line_are_told(folder, tmp_path, monkeypatch, arguments, words):
    monkeypatch.chdir(tmp_path)
    told = CliRunner().invoke(main, ["plot", str(folder), *arguments])
    assert told.exit_code == UsageError.exit_code
    assert words in told.output
