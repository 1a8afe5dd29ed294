"""The examples in the docstrings of quantities and reading hold."""

from __future__ import annotations

import doctest
from importlib import import_module
from pkgutil import iter_modules

import pytest

import pneusim.circuit
import pneusim.reading

MODULES = [
    "pneusim.quantities",
    *(f"pneusim.reading.{module.name}" for module in iter_modules(pneusim.reading.__path__)),
    *(f"pneusim.circuit.{module.name}" for module in iter_modules(pneusim.circuit.__path__)),
]


@pytest.mark.parametrize("name", MODULES)
def test_examples(name: str) -> None:
    assert doctest.testmod(import_module(name)).failed == 0
