"""The key of a case: what changes it and what does not."""

import subprocess
import sys
from dataclasses import replace

import pytest

from pneusim.circuit.scenario import Step
from pneusim.errors import Place
from pneusim.reading import load_text
from pneusim.studies import case as module
from pneusim.studies.case import canonical, key, laws
from tests.studies.small import TEXT, case


def changed(**fields):
    start = case()
    return [replace(start, **{name: value}) for name, value in fields.items()]


def test_a_key_is_a_hash_of_what_counts():
    start = case()
    steps = replace(start.scenario, steps=(Step("note", at=0.5, text="x"),))
    ambient = replace(start.circuit, ambient=replace(start.circuit.ambient, temperature=263.0))
    others = [case(3.0), *changed(rtol=1e-4, asks="half", scenario=steps, circuit=ambient)]
    keys = {key(start), *map(key, others)}
    assert len(keys) == 6
    assert all(len(k) == 64 for k in keys)


def test_names_places_and_drawing_do_not_count():
    start = case()
    moved = load_text("# a line more\n" + TEXT.replace("title: A", "title: Another"), "other.yaml")
    tank = replace(start.circuit.components["tank"], pos=(3.0, 4.0), place=Place("x", 9, 9))
    drawn = replace(start.circuit, components={**start.circuit.components, "tank": tank}, layout={"x": 1}, scenarios={})
    renamed = replace(start.scenario, name="other", title="Other")
    assert key(replace(start, name="other", circuit=drawn, scenario=renamed)) == key(start)
    assert key(replace(start, circuit=replace(moved, components=start.circuit.components))) == key(start)


def test_the_order_of_components_counts_and_that_of_parameters_does_not():
    start = case()
    turned = dict(reversed(start.circuit.components.items()))
    assert key(replace(start, circuit=replace(start.circuit, components=turned))) != key(start)
    tank = start.circuit.components["tank"]
    other = replace(tank, parameters=dict(reversed(tank.parameters.items())))
    same = replace(start.circuit, components={**start.circuit.components, "tank": other})
    assert list(same.components["tank"].parameters) != list(tank.parameters)
    assert key(replace(start, circuit=same)) == key(start)


def test_a_changed_law_or_default_makes_another_key(monkeypatch, tmp_path):
    before = key(case())
    (tmp_path / "law.py").write_text("G = 9.81")
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "values.yaml").write_text("volume: 1")
    monkeypatch.setattr(module, "_LAWS", ("law.py", "parts"))
    monkeypatch.setattr(module.resources, "files", lambda _: tmp_path)
    seen = set()
    for file, text in (("law.py", "G = 9.81"), ("law.py", "G = 1.62"), ("parts/values.yaml", "volume: 2")):
        (tmp_path / file).write_text(text)
        laws.cache_clear()
        seen.add(key(case()))
    laws.cache_clear()
    assert len(seen) == 3
    assert before not in seen


def test_all_that_a_case_is_computed_with_is_in_its_key():
    """Packages that the judges load: a law in one that is forgotten would let a changed law take stored outcomes."""
    judges = "pneusim.studies.failures.facts, pneusim.studies.sweep.lean, pneusim.studies.fit.search"
    code = f"import sys, {judges}\nprint(*{{n.split('.')[1] for n in sys.modules if n.startswith('pneusim.')}})"
    loaded = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True).stdout.split()
    keyed = {name.removesuffix(".py") for name in module._LAWS}
    assert set(loaded) - {"errors", "cache"} <= keyed


@pytest.mark.parametrize(("one", "other"), [(1, 1.0), ((1, 2), [1, 2]), ({"a": 1, "b": 2}, {"b": 2, "a": 1})])
def test_equal_data_is_one_text(one, other):
    assert canonical(one) == canonical(other)


def test_true_is_not_one():
    assert canonical(True) != canonical(1)
