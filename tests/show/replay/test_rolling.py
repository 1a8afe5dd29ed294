"""What a page says of a run on a road, and that any other run has nothing of it."""

import numpy as np
import pytest

from pneusim.circuit.circuit import Component
from pneusim.circuit.rolling import road_channels
from pneusim.reading import load
from pneusim.show.replay.content import document
from pneusim.show.replay.pack import RESOLUTION
from pneusim.show.replay.quantities import quantities
from pneusim.show.replay.samples import MOST_ROLLING, thin
from pneusim.show.schematic.layout import lay_out
from pneusim.show.schematic.sheet import sheet
from pneusim.show.schematic.vehicle import vehicle_group
from tests.circuits import shipped
from tests.circuits.on_road import separated, stop
from tests.results.road.made import TRUCK, braking, road_run


@pytest.fixture(scope="module")
def train():
    return document(separated())


def test_every_wheel_and_unit_of_the_road_is_in_the_drawing_and_has_its_channels(train):
    content, (drawing,) = train
    road, samples = content["runs"][0]["road"], content["runs"][0]["samples"]
    assert len(road["wheels"]) == 12
    assert [unit["before"] for unit in road["units"]] == [None, "tractor.vehicle"]
    for wheel in road["wheels"]:
        assert f'data-id="{wheel["element"]}"' in drawing
        assert {f"{wheel['owner']}.{one}" for one in ("speed", "load", "slip")} <= set(samples["channels"])
        assert wheel["up"] == wheel["owner"].endswith("right")
    for unit in road["units"]:
        assert f'data-unit="{unit["unit"]}"' in drawing
        assert f"{unit['owner']}.distance" in samples["channels"]
    heaviest = max(separated()[f"{wheel['owner']}.load"].values.max() for wheel in road["wheels"])
    assert heaviest <= road["full"] <= 4.0 * heaviest


def test_the_first_plot_is_of_speeds_and_the_table_has_the_wheels(train):
    run = train[0]["runs"][0]
    assert [plot["title"][:5] for plot in run["plots"][:2]] == ["Speed", "Slips"]
    assert all(curve["while_above"][0].endswith("vehicle.speed") for curve in run["plots"][1]["curves"])
    rows = {row["component"]: row for row in run["table"]}
    assert rows["trailer.axle_2_left"]["element"] == "w-trailer.axle2_left"
    assert {"trailer.vehicle", "tractor.axle_1", "tractor.axle_1_right"} <= set(rows)


def test_locked_wheels_and_rest_are_in_the_list_of_events():
    told = [event["text"] for event in document(stop())[0]["runs"][0]["events"] if event["told"]]
    assert any("wheels of axle 2 locked" in text for text in told)
    assert any("came to rest" in text for text in told)


def test_a_run_without_a_road_has_nothing_of_it():
    run = document(shipped.run("one-axle", "brake"))[0]["runs"][0]
    assert "road" not in run
    assert not any("ends" in plot for plot in run["plots"])
    assert not any("while_above" in curve for plot in run["plots"] for curve in plot["curves"])


def test_channels_of_the_road_are_written_as_fine_as_their_digits_need():
    for dimension in {channel.dimension for channel in road_channels(separated().circuit.vehicles)}:
        quantity = quantities([dimension], "si")[dimension]
        assert RESOLUTION[dimension] <= quantity["factor"] * 10.0 ** -quantity["digits"] / 3.0


def test_a_run_on_a_road_that_never_rests_is_thinned_further_and_keeps_its_extremes():
    t = np.linspace(0.0, 20.0, 60_001)
    V = braking(t, 20.0, 1.0, 1.0)
    wild = V * (1.0 - 0.3 * np.sin(400.0 * t) ** 2)
    run = road_run(t, {"vehicle": V, "axle_1_left": wild}, vehicles=TRUCK)
    samples = thin(run, list(run.channels))
    assert len(samples.times) <= MOST_ROLLING
    assert samples.width <= 0.02
    for name in ("axle_1_left.speed", "axle_1_left.slip"):
        kept, whole = samples.values[name], run[name].values
        assert (kept.min(), kept.max()) == (whole.min(), whole.max())


def test_the_wheel_stands_beside_the_brake_where_a_modulator_is_on_the_axle_too():
    circuit = load(shipped.FILES["one-axle"])
    brake = next(one for one in circuit.components.values() if one.axle is not None and one.side == "left")
    circuit.components["zz_modulator"] = Component("zz_modulator", "brake_modulator", axle=brake.axle, side="left",
                                                   unit=brake.unit)  # fmt: skip
    layout = lay_out(sheet(circuit))
    (unit,) = layout.sheet.units
    assert f'id="w-{brake.name}"' in vehicle_group(unit, layout)
    assert "w-zz_modulator" not in vehicle_group(unit, layout)
