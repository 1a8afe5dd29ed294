"""Figures of runs on a road: wheels that do the same are one curve, locked spans, points on curves, several runs."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from click.testing import CliRunner

from pneusim.circuit.circuit import Component
from pneusim.cli import main
from pneusim.errors import UsageError
from pneusim.results.store import store
from pneusim.show.figures import plots
from pneusim.show.figures.corners import corners
from pneusim.show.figures.road import curves, rows
from pneusim.show.figures.road.ellipse import shares
from pneusim.show.figures.road.moment import points
from pneusim.show.figures.road.side_force import left
from pneusim.simulate.footing import SEARCHED
from tests.circuits import shipped
from tests.circuits.on_road import stop
from tests.results.road.made import TRAIN, braking, pedal, road_run, times

PICTURES = ("friction", "ellipse", "side_force", "distance", "utilisation")


def labels(found):
    return [curve.label for curve in found]


@cache
def made_up():
    """A train whose rear trailer wheels lock from 2 s to 3 s, and whose trailer comes off at 6 s."""
    t = times(8.0)
    V = braking(t, 20.0, 1.0, 2.0)
    locked = np.where((t > 2.0) & (t < 3.0), 0.0, V)
    foot, moved = pedal(t, 1.0)
    speeds = {"tractor.vehicle": V, "trailer.axle_2_left": locked, "trailer.axle_2_right": locked}
    return road_run(t, speeds, vehicles=TRAIN, components=[foot], more=moved)


def test_units_and_wheels_of_one_speed_are_one_curve_in_the_colour_of_their_axle():
    found = curves.of_speeds(made_up())
    wheels = [f"wheels of {where}" for where in ("tractor axles 1 and 2", "trailer axle 1", "trailer axle 2")]
    assert labels(found) == ["tractor and trailer", *wheels]
    vehicle, *wheels = found
    assert vehicle.dash == "dashed"
    assert [wheel.colour for wheel in wheels] == [0, 2, 3]
    assert vehicle.colour not in [wheel.colour for wheel in wheels]


def test_a_locked_span_is_a_row_under_the_speeds():
    (row,) = rows.of_speeds(made_up())
    ((start, end, state),) = row.states
    assert (row.label, state) == ("trailer axle 2", "locked")
    assert (start, end) == pytest.approx((2.0, 3.0), abs=0.02)


def test_commands_of_a_modulator_are_told_from_the_first_that_is_not_to_apply():
    run = made_up()
    t = run["tractor.vehicle.speed"].times
    command = np.select([(t > 1.0) & (t < 1.5), (t >= 1.5) & (t < 2.0)], [-1.0, 0.0], 1.0)
    part = Component("tractor.mod", "brake_modulator", axle=1, side="left", unit="tractor")
    twin = replace(part, name="tractor.mod2", side="right")
    channel = replace(run["tractor.vehicle.speed"], name="tractor.mod.command", values=command, dimension="fraction")
    both = {one.name: one for one in (part, twin)}
    found = rows.of_speeds(
        replace(
            run, circuit=replace(run.circuit, components={**run.circuit.components, **both}),
            channels={**run.channels, **{f"{name}.command": channel for name in both}},
        )
    )  # fmt: skip
    assert found[-1].label == "tractor axle 1"
    assert [state for *_, state in found[-1].states] == ["release", "hold"]
    assert found[-1].states[0][:2] == pytest.approx((1.0, 1.5), abs=0.02)


def test_slip_is_told_as_long_as_the_vehicle_moves():
    for curve in curves.of_slips(made_up()):
        assert np.nanmax(np.abs(curve.values)) <= 1.0


@pytest.mark.parametrize("name", PICTURES)
def test_every_picture_draws(name):
    figure = plots.plot(stop(), name)
    assert figure.as_bytes("svg") == plots.plot(stop(), name).as_bytes("svg")


def test_steady_wheels_lie_on_the_curve_of_the_surface_at_their_tyre():
    for point in points(stop(), 1.4):
        curve = point.footing.friction(SEARCHED, point.speed, point.load)
        assert np.interp(point.slip, SEARCHED, curve) == pytest.approx(point.friction, abs=0.01)
        assert point.footing.surface == "wet"


def test_a_locked_wheel_has_next_to_no_side_force_left_and_one_that_rolls_all():
    rear = points(stop(), 1.4)[-1]
    assert rear.slip > 0.95
    rolling, locked = left(rear.footing, np.array([0.0, 1.0]), 2.0, rear.speed, rear.load)
    assert rolling == pytest.approx(1.0)
    assert locked < 0.1
    along, across = shares(rear.footing, rear, SEARCHED, 10.0)
    assert (along**2 + across**2).max() <= 1.0 + 1e-6


def test_a_wheel_off_the_road_is_no_point():
    def lifted(owner):
        off = {name: replace(one, values=0.0 * one.values) for name, one in stop().channels.items()
               if name.endswith(".load") and name.startswith(owner)}  # fmt: skip
        return replace(stop(), channels={**stop().channels, **off})

    assert [point.label for point in points(lifted("axle_2"), 1.4)] == ["wheels of axle 1"]
    with pytest.raises(UsageError, match="no wheel of what moves bears a load"):
        points(lifted("axle_"), 1.4)


def test_utilisation_is_drawn_for_states_of_which_all_is_known():
    run = stop()
    (truck,) = run.circuit.vehicles

    def drawn(**changes):
        motion = replace(truck.motion, **changes)
        circuit = replace(run.circuit, vehicles=(replace(truck, motion=motion),))
        return plots.plot(replace(run, circuit=circuit), "utilisation").as_bytes("svg").decode()

    assert ", empty" in drawn()
    assert ", empty" not in drawn(empty=replace(truck.motion.empty, centre_at=None, mass=1e3))
    with pytest.raises(UsageError, match="centre_at or loads of all axles that fit"):
        drawn(laden=replace(truck.motion.laden, centre_at=None, mass=1e3), empty=None)
    assert ", laden" not in drawn(laden=replace(truck.motion.laden, centre_at=None, mass=1e3))


def test_distance_takes_several_runs_and_tells_them_apart_by_their_roads():
    figure = plots.plot(stop(), "distance", beside=[stop("wet", "empty"), stop("dry")])
    svg = figure.as_bytes("svg").decode()
    for words in ("A wet, laden: ", "B wet, empty: ", "C dry, laden: ", "by lag"):
        assert words in svg


def test_pictures_are_refused_where_they_make_no_sense():
    brake = shipped.run("one-axle", "brake")
    with pytest.raises(UsageError, match="friction needs a road"):
        plots.plot(brake, "friction")
    with pytest.raises(UsageError, match="a picture by itself"):
        plots.plot(stop(), "friction", "speeds")
    with pytest.raises(UsageError, match="not a moment"):
        plots.plot(stop(), "distance", at=1.0)
    with pytest.raises(UsageError, match="no vehicle moves"):
        plots.plot(stop(), "friction", at=2.9)
    with pytest.raises(UsageError, match="shown by pictures alone"):
        plots.plot(stop(), "speeds", at=1.0)
    with pytest.raises(UsageError, match="nearest: the picture friction"):
        plots.plot(stop(), "frictions")
    with pytest.raises(UsageError, match="two runs at most"):
        plots.plot(stop(), "speeds", beside=[stop(), stop()])


def test_a_run_on_a_road_has_its_own_figures_and_others_none_of_them():
    assert {"speeds", "slips", "loads", "heat", "friction", "distance"} <= set(plots.views(stop()))
    assert "speeds" in plots.views(stop())["overview"].groups
    assert not {"speeds", "friction"} & set(plots.views(shipped.run("one-axle", "brake")))


def test_corners_of_a_band_are_read_with_their_units(tmp_path):
    path = tmp_path / "band.csv"
    path.write_text("# pressure, lowest, highest\n20 kPa, 0 %, 10 %\n\n4.5 bar, 0.3, 0.5\n")
    assert corners(path) == [(20e3, 0.0, 0.1), (450e3, 0.3, 0.5)]
    path.write_text("20 kPa, 0 %\n")
    with pytest.raises(UsageError, match=r"band\.csv, line 1: found '20 kPa, 0 %'; a line holds pressure"):
        corners(path)
    path.write_text("20 kPa, 0 %, 3 m\n")
    with pytest.raises(UsageError, match=r"line 1: .*3 m"):
        corners(path)


def test_the_command_draws_a_moment(tmp_path):
    folder = store(stop(), tmp_path)
    path = tmp_path / "point.png"
    result = CliRunner().invoke(main, ["plot", str(folder), "friction", "--at", "1.2", "-o", str(path)])
    assert result.exit_code == 0, result.output
    assert path.stat().st_size > 10_000
