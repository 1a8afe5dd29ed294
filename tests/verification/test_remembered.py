"""Figures from memory, to be read against the official texts: they hold the catalogue to what is remembered."""

from __future__ import annotations

import pytest

from pneusim.reading import load_text
from tests.reference_figures import figure, figures


@pytest.mark.parametrize("name", [name for name in figures() if name.startswith("j844_")])
def test_bore_of_a_plastic_tube(name: str):
    f = figure(name)
    circuit = load_text(f"""
pneusim: 1
title: A tube by its size
components:
  a: {{type: supply}}
  b: {{type: test_volume, volume: 1 L}}
lines:
  tube: {{from: a.1, to: b.1, tube: {f["size"].removeprefix("OD ")}, length: 1 m}}
""")
    f.check(circuit.lines["tube"].bore)
