"""What a notebook shows of a circuit and of a run: nothing runs, nothing is fetched, names are text."""

import base64
import re
from dataclasses import replace

import pytest

import pneusim as ps
from pneusim.circuit.circuit import Circuit, Component
from pneusim.reading import load
from pneusim.results import finish
from tests.results.synthetic import separation

EVIL = "<script>alert('x')</script>"


def test_a_circuit_whose_parts_are_pinned_shows_its_schematic():
    circuit = load("one-axle")
    html = circuit._repr_html_()
    assert f"<b>{circuit.title}</b>" in html
    assert all(f"<b>{name}</b>" in html for name in circuit.scenarios)
    assert html.endswith(ps.draw(circuit).svg)


def test_a_circuit_without_places_shows_its_parts_at_once(monkeypatch):
    monkeypatch.setattr("pneusim.show.notebook.draw", pytest.fail)
    tank = Component("tank", "reservoir", {"volume": 0.02}, label="the <tank>")
    html = Circuit("One tank", {"tank": tank}, {})._repr_html_()
    assert "<tr><td>tank</td><td>the &lt;tank&gt;</td><td>reservoir</td></tr>" in html


def test_names_are_text():
    circuit = load("one-axle")
    evil = replace(circuit, title=EVIL, about=EVIL, scenarios={EVIL: replace(circuit.scenarios["brake"], name=EVIL)})
    run = replace(finish(separation()), circuit=replace(separation().circuit, title=EVIL), variant=EVIL)
    for html in (evil._repr_html_(), run._repr_html_()):
        assert "<script" not in html
        assert "&lt;script&gt;" in html


def test_a_run_shows_story_limits_and_a_small_picture():
    html = finish(separation())._repr_html_()
    assert html.count("<li>") > 3
    (picture,) = re.findall(r'<img alt="[^"]*" src="data:image/png;base64,([^"]*)">', html)
    data = base64.b64decode(picture)
    assert data.startswith(b"\x89PNG")
    assert len(data) < 60_000
    assert "http" not in html
