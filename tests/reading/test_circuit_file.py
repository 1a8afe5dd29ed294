"""What a circuit file says is in the circuit: values in SI, defaults, several units."""

from __future__ import annotations

from pathlib import Path

import pytest

from pneusim.circuit.circuit import Ambient, Circuit, Heat, Port, Vehicle
from pneusim.errors import InvalidFile
from pneusim.reading import load, load_text, read
from tests.reading.reader import FOLDER

CIRCUITS = Path(__file__).parents[2] / "circuits"


def one(lines: str = "", components: str = "", head: str = "") -> Circuit:
    """A tank and a vessel with a line; more lines, components and sections on demand."""
    return load_text(
        f"pneusim: 1\n{head}components:\n"
        "  tank:   {type: reservoir, volume: 40 L, pressure: 8 bar}\n"
        "  vessel: {type: test_volume, volume: 385 cm3}\n"
        f"{components}lines:\n  feed: {{from: tank.21, to: vessel.1, length: 3 m, {lines or 'bore: 9 mm'}}}\n"
    )


def test_the_example_of_one_axle() -> None:
    circuit = load(CIRCUITS / "one-axle.yaml")
    assert (circuit.name, circuit.title) == ("one-axle", "One drive axle with spring brakes")
    assert circuit.source == str(CIRCUITS / "one-axle.yaml")
    (vehicle,) = circuit.vehicles
    assert (vehicle.name, vehicle.kind, vehicle.practice, vehicle.tows) == ("", "truck", "un13", False)
    (axle,) = vehicle.axles
    assert axle.load == pytest.approx(9000 * 9.80665)
    assert axle.brake == {"type": "s_cam"}
    right = circuit.components["right"]
    assert right.parameters == {"size": "30/30", "free_stroke": pytest.approx(0.014)}
    assert (right.axle, right.side, right.type) == (1, "right", "spring_brake_actuator")
    rod = circuit.lines["rod_r"]
    assert (rod.start, rod.end) == (Port("relay", "22"), Port("right", "11"))
    assert (rod.length, rod.bore) == (pytest.approx(1.2), pytest.approx(0.009))
    assert circuit.joints[0].ports == (Port("tank", "23"), Port("foot", "11"), Port("low", "1"))


@pytest.mark.parametrize("path", sorted(CIRCUITS.glob("*.yaml")), ids=lambda path: path.stem)
def test_every_shipped_circuit_reads_without_a_fault(path: Path) -> None:
    circuit, faults = read(path)
    assert faults == []
    assert circuit is not None
    assert circuit.scenarios or circuit.name != "tractor-semitrailer"


@pytest.mark.parametrize(
    ("size", "bore", "roughness"),
    [
        ("bore: 9 mm", 9e-3, 1.5e-6),
        ("tube: 12x1.5", 9e-3, 1.5e-6),
        ("tube: 10 x 1.25", 7.5e-3, 1.5e-6),
        ("tube: 1/2 in", 0.376 * 0.0254, 1.5e-6),
        ("tube: 3/8in", 0.251 * 0.0254, 1.5e-6),
        ("hose: 9.5 mm", 9.5e-3, 10e-6),
        ("hose: 3/8 in", 9.525e-3, 10e-6),
        ("hose: 13 mm, roughness: 20 um", 13e-3, 20e-6),
    ],
)
def test_bores_by_bore_tube_and_hose(size: str, bore: float, roughness: float) -> None:
    line = one(size).lines["feed"]
    assert line.bore == pytest.approx(bore)
    assert line.roughness == pytest.approx(roughness)


def test_defaults_of_a_line() -> None:
    line = one().lines["feed"]
    assert (line.loss, line.model, line.cells, line.heat, line.friction_factor) == (
        0.0,
        "distributed",
        None,
        None,
        None,
    )
    assert not line.coupling


def test_losses_of_bends_are_added() -> None:
    assert one("bore: 9 mm, bends: 2").lines["feed"].loss == pytest.approx(2 * 0.3)
    assert one("bore: 9 mm, bends: 1, loss: 1.5").lines["feed"].loss == pytest.approx(1.8)


def test_everything_a_line_may_say() -> None:
    line = one("bore: 9 mm, model: lumped, cells: 4, heat: adiabatic, friction_factor: 0.02, label: Vorrat").lines[
        "feed"
    ]
    assert (line.model, line.cells, line.friction_factor) == ("lumped", 4, 0.02)
    assert line.heat == Heat("adiabatic")
    assert (line.label, line.title) == ("Vorrat", "Vorrat")


def test_ambient_and_absolute_pressures() -> None:
    circuit = one(
        head="ambient: {pressure: 80 kPa abs, temperature: -10 degC}\nheat: 30 W/(m2 K)\n",
        components="  other: {type: test_volume, volume: 1 L, pressure: 5 bar abs}\n"
        "  cap:   {type: plug}\n"
        "joints:\n  - [other.1, cap.1]\n",
    )
    assert circuit.ambient == Ambient(80e3, pytest.approx(263.15))
    assert circuit.heat == Heat("fixed", 30.0)
    assert circuit.components["other"].parameters["pressure"] == pytest.approx(500e3 - 80e3)


def test_pos_label_and_heat_of_a_component() -> None:
    circuit = one(components="  left: {type: brake_chamber, size: 30, pos: [3, -1.5], label: Bremse, heat: adiabatic}\n"
                  "  cap: {type: plug}\njoints: [[left.11, tank.22], [cap.1, tank.23]]\n")  # fmt: skip
    left = circuit.components["left"]
    assert (left.pos, left.label, left.heat) == ((3.0, -1.5), "Bremse", Heat("adiabatic"))
    assert left.parameters == {"size": "30"}


def test_a_file_without_a_title_is_called_after_its_name() -> None:
    assert load_text("pneusim: 1\ncomponents: {a: {type: reservoir, volume: 9 L}, b: {type: tee}}\n"
                     "joints: [[a.21, b.1]]\n",
                     "two-tanks.yaml").title == "two tanks"  # fmt: skip


def test_what_the_drawing_tool_wrote_is_kept() -> None:
    circuit = one(head="layout: {tank: [1, 2], made: {by: hand}}\n")
    assert circuit.layout == {"tank": [1, 2], "made": {"by": "hand"}}


def test_several_units() -> None:
    circuit = load(FOLDER / "included" / "combination.yaml")
    assert [vehicle.name for vehicle in circuit.vehicles] == ["tractor", "trailer"]
    assert list(circuit.components)[:3] == ["tractor.tank", "tractor.supply_head", "tractor.control_head"]
    assert circuit.components["trailer.relay"].unit == "trailer"
    assert circuit.lines["trailer.rod"].start == Port("trailer.relay", "21")
    supply = circuit.couplings["supply_line"]
    assert (supply.start, supply.end) == (Port("tractor.supply_head", "2"), Port("trailer.supply_head", "2"))
    assert (supply.stays_with, supply.unit) == ("tractor", "")
    assert circuit.scenarios == {}  # those of the trailer's own file do not count


def test_units_of_units(tmp_path: Path) -> None:
    for name in ("tractor", "trailer", "combination"):
        text = (FOLDER / "included" / f"{name}.yaml").read_text()
        (tmp_path / f"{name}.yaml").write_text(text)
    (tmp_path / "train.yaml").write_text(
        "pneusim: 1\nvehicles:\n  front: {circuit: combination.yaml}\n  rear: {circuit: trailer.yaml}\n"
        "components:\n  extra: {type: plug}\njoints:\n  - [front.trailer.tank.22, extra.1]\n"
        "scenarios:\n  part:\n    steps:\n      - {at: 1 s, separate: [front.supply_line]}\n"
    )
    circuit = load(tmp_path / "train.yaml")
    assert [vehicle.name for vehicle in circuit.vehicles] == ["front.tractor", "front.trailer", "rear"]
    assert circuit.couplings["front.supply_line"].stays_with == "front.tractor"
    assert circuit.joints[0].ports == (Port("front.trailer.tank", "22"), Port("extra", "1"))
    assert circuit.scenarios["part"].steps[0].targets == ("front.supply_line",)


def test_ambient_and_heat_of_the_outermost_file_count(tmp_path: Path) -> None:
    (tmp_path / "unit.yaml").write_text(
        "pneusim: 1\nambient: {pressure: 70 kPa abs}\nheat: adiabatic\ncomponents:\n"
        "  tank: {type: reservoir, volume: 10 L, pressure: 5 bar abs}\n  cap: {type: plug}\njoints: [[tank.1, cap.1]]\n"
    )
    (tmp_path / "all.yaml").write_text(
        "pneusim: 1\nambient: {pressure: 100 kPa abs}\nheat: isothermal\nvehicles: {one: {circuit: unit.yaml}}\n"
    )
    circuit = load(tmp_path / "all.yaml")
    assert circuit.ambient.pressure == 100e3
    assert circuit.heat == Heat("isothermal")
    assert circuit.components["one.tank"].parameters["pressure"] == pytest.approx(400e3)


def test_a_partner_is_named_within_its_unit(tmp_path: Path) -> None:
    (tmp_path / "unit.yaml").write_text(
        "pneusim: 1\ncomponents:\n  engine_air: {type: compressor}\n  tank: {type: reservoir, volume: 10 L}\n"
        "  governor: {type: governor, compressor: engine_air}\nlines:\n"
        "  pipe: {from: engine_air.2, to: tank.1, bore: 12 mm, length: 2 m}\njoints: [[tank.2, governor.1]]\n"
    )
    (tmp_path / "all.yaml").write_text("pneusim: 1\nvehicles: {one: {circuit: unit.yaml}}\n")
    assert load(tmp_path / "all.yaml").components["one.governor"].parameters["compressor"] == "one.engine_air"


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "outside.yaml").write_text((FOLDER / "included" / "trailer.yaml").read_text())
    inside = tmp_path / "inside"
    inside.mkdir()
    (inside / "link.yaml").symlink_to(tmp_path / "outside.yaml")
    (inside / "all.yaml").write_text("pneusim: 1\nvehicles: {one: {circuit: link.yaml}}\n")
    with pytest.raises(InvalidFile) as caught:
        load(inside / "all.yaml")
    assert [fault.code for fault in caught.value.faults] == ["F02"]


def test_files_that_name_each_other_without_end_are_stopped(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("pneusim: 1\nvehicles: {x: {circuit: b.yaml}, y: {circuit: b.yaml}}\n")
    (tmp_path / "b.yaml").write_text("pneusim: 1\nvehicles: {x: {circuit: a.yaml}}\n")
    _, faults = read(tmp_path / "a.yaml")
    assert {fault.code for fault in faults} == {"F04"}
    for depth in range(6):
        many = ", ".join(f"v{i}: {{circuit: d{depth + 1}.yaml}}" for i in range(8))
        (tmp_path / f"d{depth}.yaml").write_text(f"pneusim: 1\nvehicles: {{{many}}}\n")
    (tmp_path / "d6.yaml").write_text((FOLDER / "included" / "trailer.yaml").read_text())
    _, faults = read(tmp_path / "d0.yaml")
    assert {fault.code for fault in faults} <= {"F05", "Z01"}


def test_faults_come_all_at_once_in_the_order_of_the_lines() -> None:
    text = (
        "pneusim: 1\ncomponents:\n  tank: {type: reservoir, volume: 40, presure: 8 bar}\n"
        "  relay: {type: relay_valve, crack: -1 bar}\nlines:\n"
        "  feed: {from: tank.1, to: rely.1, bore: 9 mn, length: 1 m}\n"
        "scenarios:\n  s:\n    steps:\n      - {at: 1 s, set: tank.drain, to: ajar}\n"
    )
    with pytest.raises(InvalidFile) as caught:
        load_text(text)
    codes = [fault.code for fault in caught.value.faults]
    assert codes == ["U02", "S01", "U07", "C03", "U03", "T06"]
    lines = [fault.place.line for fault in caught.value.faults]
    assert lines == sorted(lines)


def test_a_vehicle_need_not_be_described() -> None:
    assert one().vehicles == (Vehicle(),)
