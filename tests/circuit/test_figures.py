"""Figures of surfaces and rolling: each says where it is from; the curves are what their notes say."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import pytest

from pneusim.circuit.figures import file
from pneusim.circuit.surfaces import COEFFICIENTS, shipped_surfaces
from pneusim.parts.catalogue import SOURCES


def leaves(node: dict[str, Any], path: str) -> Iterator[tuple[str, dict[str, Any]]]:
    if "value" in node:
        yield path, node
        return
    for key, value in node.items():
        if key != "words":
            yield from leaves(value, f"{path}.{key}")


@pytest.mark.parametrize("name", ["motion", "surfaces"])
def test_every_figure_has_value_source_and_note(name: str) -> None:
    found = list(leaves(file(name), name))
    assert found
    for path, node in found:
        assert set(node) == {"value", "source", "note"}, path
        assert node["source"] in SOURCES, path
        assert node["note"].strip(), path


def friction(c1: float, c2: float, c3: float, slip: float) -> float:
    return c1 * (1.0 - math.exp(-c2 * slip)) - c3 * slip


def peak(c1: float, c2: float, c3: float) -> float:
    return max(friction(c1, c2, c3, 1e-4 * n) for n in range(1, 10_001))


@pytest.mark.parametrize(
    ("name", "top"), [("dry", 1.17), ("wet", 0.80), ("cobbles_wet", 0.38), ("snow", 0.19), ("ice", 0.05)]
)
def test_the_peaks_of_car_tyres_are_the_round_numbers_of_the_book(name: str, top: float) -> None:
    """Peaks as Kiencke and Nielsen, Automotive Control Systems, have them: from memory, to be read against the book."""
    given = [float(file("surfaces")[name][key]["value"]) for key in COEFFICIENTS]
    assert peak(*given) == pytest.approx(top, abs=0.004)


@pytest.mark.parametrize(
    ("name", "top", "locked"), [("dry", 0.82, 0.53), ("wet", 0.64, 0.41), ("snow", 0.19, 0.13), ("low", 0.31, 0.24)]
)
def test_truck_tyres_have_the_friction_that_the_notes_say(name: str, top: float, locked: float) -> None:
    given = shipped_surfaces()[name].coefficients
    assert given is not None
    assert peak(*given) == pytest.approx(top, abs=0.005)
    assert friction(*given, 1.0) == pytest.approx(locked, abs=0.005)
