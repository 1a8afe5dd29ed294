"""Sweeps: rows are what single runs give; limits, worst cases, files, failed cases, other places to compute."""

import csv
import json

import pytest

import pneusim as ps
from pneusim.circuit.scenario import Expectation
from pneusim.errors import RunFailed, UsageError
from pneusim.studies.outcome import Outcome
from pneusim.studies.sweep.file import load_study_text
from pneusim.studies.sweep.lean import KINDS, Measuring, wanted_of
from pneusim.studies.sweep.result import kept, margin
from pneusim.studies.sweep.sweep import sweep
from tests.studies.small import case
from tests.studies.sweeps import study

TRUCK = """\
pneusim: 1
circuit: rigid-truck
scenario: full_application
parameters:
  strokes: {of: "*.free_stroke", tolerance: 5 mm, correlation: 0}
plan: {kind: latin_hypercube, cases: 3}
"""


@pytest.fixture(scope="module")
def found():
    return sweep(study())


def test_rows_are_what_single_runs_give(found):
    for row, one in zip(found.rows(), found.study.cases()):
        single = ps.run(one.circuit, one.scenario, rtol=1e-3)
        assert row["half"] == next(m.value for m in single.measures if m.name == "half")
        assert row["tank.volume"] == one.circuit.components["tank"].parameters["volume"]
        assert row["limits_kept"] == (row["half"] <= 0.45)


def test_lean_runs_measure_what_whole_runs_do():
    """Every measure of a vehicle, to the last bit, kind by kind, with only the channels that the kind looks at."""
    circuit = ps.load("rigid-truck")
    one = case(name="truck")
    one = type(one)("truck", circuit, circuit.scenarios["full_application"], 1e-3)
    run = ps.run(one.circuit, one.scenario, rtol=1e-3)
    whole = {measure.name: measure.value for measure in run.measures}
    for kind, measure in KINDS.items():
        names = [result.name for result in measure(run)]
        wanted = wanted_of(run, names)
        lean = Measuring(wanted)(one)
        assert dict(lean.measures) == {name: whole[name] for name in names}, kind
        if kind in ("asked", "application", "lag", "reservoirs"):
            assert len(wanted.channels) < 0.2 * len(run.channels)


def test_measures_that_look_elsewhere_are_computed_whole():
    """If a measure wants a channel that was not kept, the case is run again with all of them."""
    one = case()
    run = ps.run(one.circuit, one.scenario, rtol=1e-3)
    wanted = wanted_of(run, ["half"])
    starved = type(wanted)(wanted.names, wanted.kinds, frozenset({"hole.flow"} & set(run.channels)))
    assert Measuring(starved)(one).measures == Measuring(wanted)(one).measures


def test_a_measure_that_no_run_knows():
    one = case()
    run = ps.run(one.circuit, one.scenario, rtol=1e-3)
    with pytest.raises(UsageError, match=r"no measure 'tnk.lowest'; 'tank.lowest' is meant\?"):
        wanted_of(run, ["tnk.lowest"])


def test_what_does_not_happen_has_a_reason(tmp_path):
    file = tmp_path / "s.yaml"
    file.write_text(TRUCK + "measure: [low_primary.closed]\n")
    outcomes = sweep(file).outcomes
    assert [o.measures["low_primary.closed"] for o in outcomes] == [None] * 3
    assert outcomes[0].extra == {"reasons": {"low_primary.closed": "it did not happen"}}


def test_yields_and_limits(found):
    kept_ones = sum(row["limits_kept"] for row in found.rows())
    assert 0 < kept_ones < 8
    assert found.yields["all"].kept == found.yields["half <= 0.45"].kept == kept_ones
    assert found.yields["all"].low < kept_ones / 8 < found.yields["all"].high
    grid = sweep(study(plan="plan: grid\n"))
    assert len(grid.outcomes) == 9
    assert grid.yields["all"].low is None
    assert found.correlations["half"]["tank.volume"].low > 0.8
    assert grid.correlations == {}


def test_margins():
    both = Expectation("x", 1.0, 3.0)
    assert (margin(both, 1.5), margin(both, 2.75), margin(both, 4.0)) == (0.5, 0.25, -1.0)
    assert kept(both, Outcome(measures={"x": 3.0}))
    assert not kept(both, Outcome(measures={"x": None}))


def test_the_worst_case_lies_in_the_corner_where_it_must():
    """The largest reservoir at the smallest opening empties last."""
    result = sweep(study(plan="plan: {kind: latin_hypercube, cases: 4}\nworst: {cases: 24}\n"))
    (worst,) = result.worst
    assert worst.values == pytest.approx({"tank.volume": 3e-3, "hole.conductance": 1.8e-8})
    assert worst.cases <= 24
    assert worst.margin == pytest.approx(0.45 - worst.value)
    assert all(worst.value >= row["half"] for row in result.rows())


def test_a_case_without_a_value_is_the_worst(tmp_path):
    """A reservoir of 6 L does not lose half in a second: that is worse than any time."""
    volumes = "parameters:\n  tank.volume: {from: 1 L, to: 6 L}\n"
    result = sweep(study(parameters=volumes, plan="plan: grid\nworst: {cases: 10}\n"))
    assert result.rows()[-1]["half"] is None
    assert "never reached" in result.rows()[-1]["message"]
    assert result.worst[0].value is None
    assert result.summaries["half"].missing == 1


def test_indices_come_with_the_plan():
    result = sweep(study(plan="plan: {kind: indices, cases: 16, seed: 1}\n"))
    assert len(result.outcomes) == 64
    assert result.indices["half"]["tank.volume"].total > 0.8
    assert result.yields["all"].low is None


def test_files(tmp_path):
    result = sweep(study(), folder=tmp_path)
    rows = list(csv.DictReader((tmp_path / "table.csv").read_text().splitlines()))
    assert [float(row["half"]) for row in rows] == result.values("half")
    assert rows[0].keys() == result.rows()[0].keys()
    told = json.loads((tmp_path / "summary.json").read_text())
    assert told["measures"]["half"]["mean"] == result.summaries["half"].mean
    assert told["yields"]["all"]["kept"] == result.yields["all"].kept
    assert len(list((tmp_path / "cases").glob("*.json"))) == 8


def test_tables_of_other_kinds(found, tmp_path):
    from pyarrow.parquet import read_table

    from pneusim.studies.sweep.report import write_parquet

    frame = found.to_pandas()
    assert frame["half"].tolist() == found.values("half")
    assert read_table(write_parquet(found, tmp_path)).column("half").to_pylist() == found.values("half")


def test_values_that_do_not_go_together_are_a_failed_row():
    """Every value is allowed alone, but a governor does not cut in above the pressure at which it cuts out."""
    text = (
        "pneusim: 1\ncircuit: rigid-truck\nscenario: full_application\nparameters:\n"
        "  governor.cut_in: {values: [7 bar, 8.3 bar]}\n  governor.cut_out: {values: [8.2 bar, 8.5 bar]}\nplan: grid\n"
    )
    result = sweep(load_study_text(text, "s.yaml", ps.load("rigid-truck")))
    assert [outcome.status for outcome in result.outcomes] == ["ok", "ok", "failed", "ok"]
    assert "cut_in must be less than cut_out" in result.rows()[2]["message"]
    assert result.rows()[2]["response_time"] is None
    assert not result.rows()[2]["limits_kept"]
    assert result.failed == 1


def test_a_circuit_that_does_not_run_is_told_before_the_cases():
    broken = study()
    scenario = type(broken.scenario)("x", lasts=-1.0, measures=broken.scenario.measures)
    with pytest.raises((UsageError, RunFailed), match="lasts"):
        sweep(type(broken)("x", broken.circuit, scenario, broken.parameters, broken.plan, broken.measures))


def test_a_cluster_that_does_not_answer(monkeypatch):
    monkeypatch.setattr("pneusim.studies.executor.PATIENCE", 0.3)
    with pytest.raises(UsageError, match=r"no Dask scheduler answers at tcp://127.0.0.1:9 within 0.3 s.*start one"):
        sweep(study(), on="tcp://127.0.0.1:9")
    monkeypatch.delenv("DASK_SCHEDULER_ADDRESS", raising=False)
    with pytest.raises(UsageError, match="no Dask scheduler is named"):
        sweep(study(), on="dask")
