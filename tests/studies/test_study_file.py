"""Study files: what they may say, and every mistake with its place."""

import re

import pytest

from pneusim.errors import InvalidFile, UsageError
from pneusim.studies.sweep.file import STUDIES, load_study
from pneusim.studies.sweep.parameter import Spread
from pneusim.studies.sweep.plans import Plan
from tests.studies.sweeps import LIMITS, study


def faults(**changes):
    with pytest.raises(InvalidFile) as caught:
        study(**changes)
    return [f"{f.place.line}:{f.place.column} {f.code} {f.problem}. {f.fix}" for f in caught.value.faults]


def one(text, **changes):
    found = faults(parameters=f"parameters:\n  {text}\n", **changes)
    assert len(found) == 1, found
    return found[0]


def test_a_study_as_it_stands():
    found = study()
    volume, conductance = found.parameters
    assert volume.spreads == (Spread(1e-3, 3e-3),)
    assert volume.nominal == (2e-3,)
    assert conductance.spreads[0].low == pytest.approx(1.8e-8)
    assert conductance.spreads[0].high == pytest.approx(2.2e-8)
    assert found.plan == Plan("latin_hypercube", 8, 1)
    assert found.measures == ("half",)
    assert (found.title, found.rtol, len(found.cases())) == ("A small study", 1e-3, 8)


def test_ways_to_vary():
    text = """\
parameters:
  both: {of: [tank.volume], values: [1 L, 2 L, 4 L]}
  hole.critical_ratio: {from: 0.2, to: 0.5, distribution: normal, sigma: 0.1}
  opening: {of: tank.pressure, tolerance: 0.5 bar, nominal: 5 bar, distribution: normal}
  ambient.temperature: {tolerance: 20 K}
"""
    both, ratio, pressure, ambient = study(parameters=text).parameters
    assert both.values == (1e-3, 2e-3, 4e-3)
    assert ratio.spreads == (Spread(0.2, 0.5, "normal", 0.35, 0.1),)
    assert pressure.spreads[0].mean == 5e5
    assert pressure.spreads[0].sigma == pytest.approx(0.5e5 / 3.0)
    assert ambient.spreads[0].low == pytest.approx(273.15)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("tank.volum: {tolerance: 5 %}", "6:3 T16 there is nothing 'tank.volum' .* write 'tank.volume'"),
        ("x: {of: tnk.volume, tolerance: 5 %}", "6:11 T16 .*write 'tank.volume'"),
        ("x: {of: '*.nothing', tolerance: 5 %}", "6:11 T16 "),
        ("x: {of: '*.volum', tolerance: 5 %}", "6:11 T16 .*write '\\*.volume'"),
        ("tank.volume: {tolerance: 5 bar}", "6:28 U03 "),
        ("tank.volume: {tolerance: 5}", "6:28 U02 "),
        ("tank.volume: {tolerance: 0 %}", "6:28 U07 .*leaves nothing to vary"),
        ("tank.volume: {from: 3 L, to: 1 L}", "6:32 M08 .*exchange them"),
        ("tank.volume: {from: 3 L}", "6:16 S02 the key 'to' is missing"),
        ("tank.volume: {from: 1 L, to: 2 L, values: [1 L]}", "6:16 S02 values and from stand together"),
        ("tank.volume: {distribution: normal}", "6:3 S02 it is not said how it varies"),
        ("tank.volume: {values: []}", "6:25 S05 the list is empty"),
        ("tank.volume: {values: [1 L, 2 bar]}", "6:31 U03 "),
        ("tank.volume: {values: [1 L, 2 L], steps: 4}", "6:44 S01 'steps' does not belong"),
        ("tank.volume: {tolerance: 5 %, distribution: gauss}", "6:47 S06 'gauss' is not one of uniform, normal"),
        ("tank.volume: {tolerance: 5 %, sigma: 1 %}", "6:40 S01 'sigma' does not belong to 'uniform'"),
        ("tank.volume: {tolerance: 5 %, correlation: 120 %}", "6:46 U07 .*the most is 100 %"),
        ("tank.volume: 5", "6:16 S05 'tank.volume' holds '5', not keys"),
        ("tank.volume: {tolerence: 5 %}", "6:17 S01 .*write 'tolerance'"),
        ("Big: {of: tank.volume, tolerance: 5 %}", "6:3 N01 "),
        ("x: {of: [tank.volume, tank.pressure], from: 1 L, to: 2 L}", "6:12 U03 .*cannot vary alike"),
        ("ambient.temperature: {tolerance: 5 degC}", "6:36 U03 .*write it in K"),
        ("status: {of: tank.volume, tolerance: 5 %}", "6:3 N02 'status' is the name of a column that every table has"),
        ("half: {of: tank.volume, tolerance: 5 %}", "6:3 N02 'half' is the name of a measure"),
    ],
)  # fmt: skip
def test_mistakes_of_parameters(text, told):
    assert re.match(told, one(text)), one(text)


def test_a_range_outside_the_bounds_tells_both_places():
    told = one("hole.critical_ratio: {from: 0.2, to: 1.5}")
    assert told.startswith("6:40 U07 '1.5' leads to 1.5, which is more than")
    assert "(hole.critical_ratio: orifice.yaml:5:3)" in told
    assert told.endswith("write at most 0.99")
    assert one("hole.conductance: {values: [1 dm3/(s bar), 0 dm3/(s bar)]}").endswith("write more than 0 dm3/(s bar)")


def test_a_tolerance_outside_the_bounds_tells_what_it_leads_to():
    told = one("hole.critical_ratio: {tolerance: 150 %}")
    assert "'150 %' leads to -0.25" in told
    assert "orifice.yaml:5:3" in told


def test_one_path_is_varied_once():
    found = faults(parameters="parameters:\n  a: {of: tank.volume, tolerance: 5 %}\n  tank.volume: {tolerance: 5 %}\n")
    assert found[0].startswith("7:3 N02 'tank.volume' is varied already in line 6")


@pytest.mark.parametrize(
    ("plan", "told"),
    [
        ("plan: {kind: sobol, cases: 100}", "S07 100 is not a power of two.*write 64 or 128"),
        ("plan: {kind: latin_hypercube}", "S02 the key 'cases' is missing"),
        ("plan: {kind: grid, cases: 5}", "S01 'cases' does not belong"),
        ("plan: {kind: gird}", "S06 'gird' is not one of .*write 'grid'"),
        ("plan: latin_hypercube", "S06 "),
        ("plan: list", "P02 the plan list takes values side by side; tank.volume has a range"),
        ("plan: {kind: latin_hypercube, cases: 8}\nworst: {}", "S02 the key 'cases' is missing"),
        ("plan: {kind: latin_hypercube, cases: 8}\nmeasure: [hlaf]", "M07 there is no measure 'hlaf'. write 'half'"),
        ("plan: {kind: latin_hypercube, cases: 8}\nrtol: 1", "U07 '1' is too large"),
    ],
)
def test_mistakes_of_the_rest(plan, told):
    found = faults(plan=plan)
    assert len(found) == 1
    assert re.search(told, found[0]), found


def test_mistakes_of_limits_are_those_of_circuit_files():
    assert "M07 there is no measure 'haf'" in faults(rest=LIMITS.replace("half", "haf"))[0]
    assert "U03" in faults(rest=LIMITS.replace("0.45 s", "0.45 bar"))[0]


def test_without_measures_and_limits_those_of_the_scenario_are_taken_and_else_none(tmp_path):
    file = tmp_path / "s.yaml"
    head = "pneusim: 1\ncircuit: rigid-truck\nscenario: full_application\nplan: grid\n"
    head += "parameters: {rear_relay.crack: {tolerance: 10 %}}\n"
    file.write_text(head)
    usual = load_study(file)
    assert usual.limits == usual.circuit.scenarios["full_application"].expectations != ()
    assert {limit.measure for limit in usual.limits} <= set(usual.measures)
    file.write_text(head + "measure: [primary.lowest]\n")
    asked = load_study(file)
    assert (asked.measures, asked.limits) == (("primary.lowest",), ())


def test_all_mistakes_are_told_at_once():
    wrong = "parameters:\n  a.b: {tolerance: 5 %}\n  tank.volume: {}\n"
    assert len(faults(parameters=wrong, plan="plan: nothing")) == 3


def test_files_and_what_they_name(tmp_path):
    text = "pneusim: 1\ncircuit: {}\nscenario: {}\nparameters:\n  tank.volume: {{tolerance: 5 %}}\nplan: grid\n"
    file = tmp_path / "study.yaml"
    for circuit, scenario, told in (
        ("nothing.yaml", "empty", "F03"), ("../x.yaml", "empty", "F02"), ("tank-and-orifice", "emty", "S06"),
    ):  # fmt: skip
        file.write_text(text.format(circuit, scenario))
        with pytest.raises(InvalidFile, match=told) as caught:
            load_study(file)
        assert caught.value.faults[0].place.line in (2, 3)
    file.write_text(text.format("tank-and-orifice", "empty"))
    assert load_study(file).name == "study"
    (tmp_path / "own.yaml").write_text("pneusim: 1\ncomponents: {tank: {type: nonsense}}\n")
    file.write_text(text.format("own.yaml", "empty"))
    with pytest.raises(InvalidFile, match=r"own\.yaml"):
        load_study(file)


def test_a_begin_value_is_varied_where_it_counts(tmp_path):
    """A scenario that begins with another pressure would undo a change of the component."""
    file = tmp_path / "study.yaml"
    file.write_text(
        "pneusim: 1\ncircuit: rigid-truck\nscenario: full_application\nparameters:\n"
        "  primary.pressure: {tolerance: 0.5 bar}\nplan: grid\n"
    )
    found = load_study(file)
    assert found.parameters[0].nominal == (7.24e5,)
    begins = [case.scenario.begin["primary.pressure"] for case in found.cases()]
    assert begins == pytest.approx([6.74e5, 7.24e5, 7.74e5])


@pytest.mark.parametrize("name", STUDIES.shipped())
def test_shipped_studies_can_be_read(name):
    assert load_study(name).size > 10


def test_a_study_that_is_not_there():
    with pytest.raises(UsageError, match=r"'truck-tolerances' is meant\?"):
        STUDIES.find("truck-tolerance")
