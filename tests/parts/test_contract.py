"""The contract of every part: what it declares is what it does, and what it does is declared."""

from __future__ import annotations

import ast
import inspect
from typing import Any, get_args

import numpy as np
import pytest
from pydantic import ValidationError

from pneusim.parts._foundation import BrakeBuilder, FoundationBrake
from pneusim.parts.base import Part
from pneusim.parts.builder import Builder
from pneusim.parts.catalogue import SOURCES, default_of, entry
from pneusim.parts.registry import part, part_types
from pneusim.quantities import DIMENSIONS, express
from pneusim.reading import load_text
from pneusim.simulate import run
from tests.parts.recorder import BrakeRecorder, Recorder, lowered

WORDS = {"word", "flag", "name"}
REQUIRED: dict[str, dict[str, Any]] = {
    "reservoir": {"volume": 0.04},
    "test_volume": {"volume": 819e-6},
    "restriction": {"conductance": 1e-8},
    "coupling_head": {"role": "control"},
}

NO_CURVE = {"atmosphere", "plug", "tee"}  # they do nothing that a curve could tell

ELECTRIC = {"anti_lock_control", "wheel_speed_sensor"}  # no air passes them, so they have no ports

every_part = pytest.mark.parametrize("kind", part_types())


def made(kind: str, **parameters: Any) -> Part:
    return part(kind)(**REQUIRED.get(kind, {}) | parameters)


def catalogue_keys(cls: type[Part], name: str) -> list[str]:
    """Catalogue keys of a parameter; with braces, one for every size."""
    key = cls.model_fields[name].json_schema_extra["catalogue"]
    if key is None:
        return []
    if "{" not in key:
        return [key]
    sizes = get_args(cls.model_fields["size"].annotation)
    return [key.format(**cls(size=size).sizes()) for size in sizes]


def test_the_parts_of_the_trade_are_there():
    assert set(part_types()) >= {
        *("reservoir", "supply", "atmosphere", "restriction", "stop_valve", "tee", "plug", "test_volume"),
        *("coupling_head", "check_valve", "double_check_valve", "compressor", "governor", "air_dryer"),
        *(
            "safety_valve",
            "protection_valve",
            "foot_valve",
            "hand_valve",
            "relay_valve",
            "quick_release_valve",
        ),
        *("park_control", "trailer_supply_control", "tractor_protection_valve", "trailer_spring_brake_valve"),
        *("pressure_switch", "brake_chamber", "spring_brake_actuator", "s_cam", "air_disc"),
    }


@every_part
def test_it_is_named_and_described(kind):
    cls = part(kind)
    assert cls.type == kind == cls.__module__.rpartition(".")[2]
    assert cls.title
    assert cls.symbol
    assert cls.__doc__ is not None
    assert cls.__doc__.strip().endswith(".")
    assert f"type: {kind}" in cls.example
    assert bool(cls.ports) != (issubclass(cls, FoundationBrake) or kind in ELECTRIC), "a component of the air has ports"
    assert len({spec.number for spec in cls.ports}) == len(cls.ports)
    assert len({spec.name for spec in cls.ports}) == len(cls.ports)


@every_part
def test_every_parameter_has_a_dimension_bounds_a_sentence_and_a_sourced_default(kind):
    cls = part(kind)
    required = {name for name, field in cls.model_fields.items() if field.is_required()}
    assert required <= set(REQUIRED.get(kind, {}))
    for name, field in cls.model_fields.items():
        dimension = field.json_schema_extra["dimension"]
        assert dimension in WORDS | set(DIMENSIONS), f"{name}: {dimension}"
        assert field.description is not None
        assert field.description.endswith("."), name
        if dimension not in WORDS:
            assert field.metadata, f"{name} has no bounds"
        for key in catalogue_keys(cls, name):
            default = entry(key)
            assert default.source in SOURCES, key
            assert default.note, key


@every_part
def test_every_default_lies_within_its_bounds(kind):
    cls = part(kind)
    for name in cls.model_fields:
        dimension = cls.model_fields[name].json_schema_extra["dimension"]
        for key in catalogue_keys(cls, name):
            made(kind, **{name: default_of(key, dimension)})


@every_part
def test_an_unknown_parameter_and_a_wrong_type_are_refused(kind):
    with pytest.raises(ValidationError):
        made(kind, colour="red")
    for name, field in part(kind).model_fields.items():
        if field.json_schema_extra["dimension"] not in WORDS:
            with pytest.raises(ValidationError):
                made(kind, **{name: "much"})
            with pytest.raises(ValidationError):
                made(kind, **{name: float("nan")})


@every_part
@pytest.mark.parametrize("optional", [True, False])
def test_lowering_does_exactly_what_is_declared(kind, optional):
    recorder = lowered(made(kind), optional)
    cls = part(kind)
    assert list(recorder.channels) != [] or kind == "plug"
    assert set(recorder.channels) == {spec.name for spec in cls.channels}
    assert set(recorder.input_names) == {spec.name for spec in cls.inputs}
    assert set(recorder.fault_names) == {spec.name for spec in cls.faults}
    assert sorted(event.name for event in recorder.events) == sorted(spec.name for spec in cls.events)


@every_part
def test_declared_names_are_unique_and_in_range(kind):
    cls = part(kind)
    for specs in (cls.inputs, cls.faults, cls.events, cls.channels):
        assert len({spec.name for spec in specs}) == len(specs)
    for spec in cls.inputs:
        assert spec.dimension in DIMENSIONS
        assert spec.low <= spec.initial <= spec.high
        assert all(spec.low <= value <= spec.high for value in (spec.choices or {}).values())
        assert spec.name in {channel.name for channel in cls.channels}, f"input {spec.name} is not a channel"
        assert spec.words
    for spec in cls.faults:
        assert spec.dimension in {"flag", *DIMENSIONS}
        assert spec.low < spec.default <= spec.high
        assert spec.words
    for spec in cls.channels:
        assert spec.dimension in DIMENSIONS
        assert spec.words


@every_part
def test_every_event_is_a_sentence_and_disarms_itself(kind):
    cls = part(kind)
    recorder = lowered(made(kind))
    for spec in cls.events:
        assert spec.category in {"trip", "warning", "mode", "mechanics"}
        sentence = spec.sentence.format(title="The valve", level=express(207e3, "pressure"))
        assert sentence.startswith("The valve ")
        assert "{" not in sentence
    for event in recorder.events:
        assert event.direction in {-1, +1}
        assert any(event.armed.get(mode) not in {None, value} for mode, value in event.sets.items()), (
            event.name
        )


@every_part
def test_lowering_holds_no_solver_code(kind):
    tree = ast.parse(inspect.getsource(inspect.getmodule(part(kind))))
    imported = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    imported |= {
        alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names
    }
    allowed = (
        "pneusim.parts",
        "pneusim.quantities",
        "pneusim.circuit",
        "pydantic",
        "typing",
        "math",
        "__future__",
    )
    assert all(str(name).startswith(allowed) for name in imported), imported


@every_part
def test_every_volume_that_a_fault_or_state_needs_is_air(kind):
    recorder = lowered(made(kind))
    assert len({name for name, *_ in recorder.airs}) == len(recorder.airs), "air added twice to one node"


@pytest.mark.parametrize("kind", [kind for kind in part_types() if kind not in NO_CURVE])
def test_its_characteristic_is_a_curve_of_its_example(kind):
    characteristic = part(kind).characteristic
    assert characteristic is not None
    circuit = load_text(part(kind).example)
    channels = run(circuit, next(iter(circuit.scenarios))).channels
    for name in characteristic:
        assert name == "time" or np.ptp(channels[name].values) > 0.0, f"{name} stays where it is"
    assert len(set(characteristic)) == 2
    assert characteristic[1] != "time"


@pytest.mark.parametrize(("protocol", "recorder"), [(Builder, Recorder), (BrakeBuilder, BrakeRecorder)])
def test_the_recorder_is_a_builder(protocol, recorder):
    assert {name for name in vars(protocol) if not name.startswith("_")} <= set(dir(recorder))
