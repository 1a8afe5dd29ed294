"""The editor schema accepts every sound circuit and refuses what the reader refuses by form."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from pneusim.parts.registry import part, part_types
from pneusim.quantities import DIMENSIONS
from pneusim.reading import shipped_circuits, shipped_lessons, syntax
from pneusim.reading.faults import Faults
from pneusim.reading.schema import json_schema
from pneusim.reading.schema_pieces import quantity
from pneusim.reading.tree import plain
from tests.reading.reader import FOLDER

jsonschema = pytest.importorskip("jsonschema")
CIRCUITS = [*(shipped_circuits() | shipped_lessons()).values()]


@pytest.fixture(scope="module")
def validator() -> Any:
    schema = json_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def tree(path: Path) -> object:
    root = syntax.parse(path.read_text(), path.name, Faults())
    assert root is not None
    return plain(root)


@pytest.mark.parametrize("path", CIRCUITS, ids=lambda path: path.stem)
def test_shipped_circuits_fit(path: Path, validator: Any) -> None:
    assert [error.message for error in validator.iter_errors(tree(path))] == []


@pytest.mark.parametrize("name", part_types())
def test_the_example_of_each_part_fits(name: str, validator: Any) -> None:
    root = syntax.parse(part(name).example, name, Faults())
    assert root is not None
    assert [error.message for error in validator.iter_errors(plain(root))] == []


@pytest.mark.parametrize(
    "stem",
    ["S01_misspelt", "S01_section", "S02_missing", "S02_version", "S03_version", "S06_word", "S07_whole", "S08_flag",
     "U01_form", "U02_bare", "U03_unit", "N01_name", "P03_type", "C06_joint", "T08_action",
     "S01_question", "S02_question", "S05_question", "T19_words", "T20_choices", "T22_alone"],
)  # fmt: skip
def test_faults_of_form_are_refused(stem: str, validator: Any) -> None:
    assert not validator.is_valid(tree(FOLDER / f"{stem}.yaml"))


def test_quantities() -> None:
    pressure = jsonschema.Draft202012Validator(quantity("pressure"))
    assert all(pressure.is_valid(text) for text in ("8 bar", "8.5bar", "-1e2 kPa", "6 bar abs"))
    assert not any(pressure.is_valid(value) for value in ("8", 8, "8 barg", "bar", "8 bar abs abs"))
    fraction = jsonschema.Draft202012Validator(quantity("fraction"))
    assert all(fraction.is_valid(value) for value in ("75 %", 0.3, 1))
    assert not any(fraction.is_valid(value) for value in (75, "75"))


@pytest.mark.parametrize("dimension", [name for name, table in DIMENSIONS.items() if table.units])
def test_every_unit_of_a_dimension_fits_its_pattern(dimension: str) -> None:
    validator = jsonschema.Draft202012Validator(quantity(dimension))
    assert all(validator.is_valid(f"3 {unit}") for unit in DIMENSIONS[dimension].units)


def test_each_parameter_says_what_it_is() -> None:
    for name, schema in json_schema()["$defs"].items():
        for parameter in part(name).model_fields:
            assert schema["properties"][parameter]["description"], f"{name}.{parameter}"
