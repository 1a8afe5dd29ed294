import csv
import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

import pneusim
from pneusim import simulate
from pneusim.cli import main
from pneusim.errors import RunFailed, UsageError
from pneusim.reading import find_shipped
from tests.cli.conftest import ORIFICE

EMPTIES, LARGE = "results/orifice/empties", "results/orifice/empties+large_tank"


@pytest.fixture(scope="module", autouse=True)
def _compiled():
    simulate.warmup()


@pytest.fixture(scope="module")
def results(tmp_path_factory):
    """Results of the small circuit and of a variant of it."""
    folder = tmp_path_factory.mktemp("ran")
    file = folder / "orifice.yaml"
    file.write_text(ORIFICE)
    for args in ([file], [file, "empties", "--variant", "large_tank"]):
        CliRunner().invoke(main, ["run", *map(str, args), "-o", str(folder / "orifice")], catch_exceptions=False)
    return folder


@pytest.fixture
def ran(call, results):
    """Calls the command line where the results are."""
    shutil.copytree(results / "orifice", "results/orifice")
    return call


def scenarios(result):
    return [(one["a"]["variant"], one["name"], one["b"]["variant"]) for one in json.loads(result.stdout)["scenarios"]]


def words(result):
    return " ".join(result.stdout.split())


def test_two_results_are_compared_and_written(ran):
    result = ran("compare", EMPTIES, LARGE)
    folder = Path("results/compare-empties-empties+large_tank")
    assert result.exit_code == 0
    assert "parameters tank.volume 2 L 4 L" in words(result)
    assert words(result).endswith(f"written to {folder}")
    inside = {path.name for path in folder.iterdir()}
    assert inside == {
        "comparison.json", "description.csv", "measures.csv", "events.csv", "channels.csv", "empties",
    }  # fmt: skip
    names = {"overview.png", "overview.svg", "reservoirs.png", "reservoirs.svg", "replay.html"}
    assert {path.name for path in (folder / "empties").iterdir()} == names
    rows = {row["measure"]: row for row in csv.DictReader((folder / "measures.csv").read_text().splitlines())}
    a, b = (float(rows["half"][side]) for side in "ab")
    assert float(rows["half"]["difference"]) == b - a
    assert b / a == pytest.approx(2.0, rel=0.05)  # twice the air through the same hole
    assert rows["half"]["differs"] == "yes"


def test_a_circuit_against_its_variant_is_what_its_results_say(ran):
    stored = json.loads(ran("compare", EMPTIES, LARGE, "--json").stdout)
    args = ("orifice.yaml", "--variant-b", "large_tank", "--scenario", "empties", "--json")
    fresh = json.loads(ran("compare", *args).stdout)
    assert (fresh["a"], fresh["b"]) == ("orifice", "orifice+large_tank")
    assert Path("results/compare-orifice-orifice+large_tank/empties/replay.html").is_file()
    assert fresh["description"] == stored["description"]
    ours, theirs = (told["scenarios"][0]["measures"] for told in (fresh, stored))
    assert ours == theirs


def test_a_limit_that_one_misses_comes_first(ran):
    tight = ORIFICE.replace("at_most: 5 s", "at_most: 0.5 s")
    Path("orifice.yaml").write_text(tight)
    result = ran("compare", "orifice.yaml", "--variant-b", "large_tank", "--scenario", "empties")
    told = words(result)
    assert "half at most 0.5 s" in told
    assert "NOT MET" in told
    assert told.index("Limits met in one and missed in the other") < told.index("Measures that differ")


def test_scenarios_of_folders_are_paired_by_name_and_variant(ran):
    shutil.copytree("results/orifice", "new")
    shutil.rmtree("new/too_slow")
    result = ran("compare", "results/orifice", "new", "--json")
    assert scenarios(result) == [(None, "empties", None), ("large_tank", "empties", "large_tank")]
    assert json.loads(result.stdout)["only_in_a"] == ["too_slow"]
    assert scenarios(ran("compare", "results/orifice", "--variant-b", "large_tank", "--json")) == [
        (None, "empties", "large_tank")
    ]
    assert scenarios(ran("compare", "new", EMPTIES, "--json")) == [(None, "empties", None)]


def test_the_report_of_a_study_among_results_is_no_result(ran):
    study = Path("results/orifice/failures")
    study.mkdir()
    (study / "summary.json").write_text("{}")
    (study / "table.csv").write_text("id\n")
    result = ran("compare", "results/orifice", "results/orifice", "--json")
    assert result.exit_code == 0
    assert ("failures", None) not in {(name, variant) for variant, name, _ in scenarios(result)}
    refused = ran("compare", str(study), EMPTIES)
    assert refused.exit_code == 2
    assert "the folder holds a study of many cases; name the result of a run, or a circuit" in refused.stderr


def test_the_same_twice_does_not_differ(ran):
    told = words(ran("compare", EMPTIES, EMPTIES, "-o", "same"))
    assert "The descriptions are the same. empties They do not part" in told
    assert "Measures that differ: 0 of" in told
    everything = words(ran("compare", EMPTIES, EMPTIES, "-o", "same", "--all"))
    assert "All measures that both have" in everything
    assert "half" in everything


def test_error_bars_and_us_units(ran):
    args = ("orifice.yaml", "--variant-b", "large_tank", "--scenario", "too_slow", "--error-bar", "--units", "us")
    told = words(ran("compare", *args))
    assert "differences by more than their error bars together" in told
    assert "± " in told
    assert "psi" in told
    assert "kPa" not in told


def test_circuits_without_a_common_scenario_are_compared_in_their_description(ran):
    Path("other.yaml").write_text(ORIFICE.replace("empties:", "drains:").replace("too_slow:", "slow:"))
    result = ran("compare", "orifice.yaml", "other.yaml")
    assert result.exit_code == 0
    assert "No scenario is in both. Only A has: empties, too_slow. Only B has: drains, slow." in words(result)


def test_a_run_that_failed_is_compared_as_far_as_it_came(ran, monkeypatch):
    honest = simulate.run

    def run(circuit, name, *, variant=None, **options):
        whole = honest(circuit, name, variant=variant, **options)
        if variant is None:
            return whole
        cut = {n: type(c)(c.name, c.times[:9], c.values[:9], c.dimension, c.label) for n, c in whole.channels.items()}
        raise RunFailed("Stuck.", type(whole)(
            whole.circuit, whole.scenario, cut, (), whole.closure, whole.solver, "failed", "Stuck.", variant=variant
        ))  # fmt: skip

    monkeypatch.setattr(simulate, "run", run)
    result = ran("compare", "orifice.yaml", "--variant-b", "large_tank", "--scenario", "empties")
    assert result.exit_code == 4
    assert "B failed and stops at 0." in words(result)


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (["orifice.yaml"], "orifice.yaml is to be compared with itself: name B, or a variant"),
        (["gone", EMPTIES], "there is no file 'gone' and no shipped circuit of that name"),
        ([EMPTIES, "results"], "results: the folder holds no result"),
        (["orifice.yaml", EMPTIES, "--scenario", "emptys"], "orifice has no scenario 'emptys'; 'empties' is meant?"),
        (["orifice.yaml", "--variant-b", "large"], "orifice has no variant 'large'; 'large_tank' is meant?"),
        (["results/orifice", "--variant-b", "small"], "orifice has no variant 'small'; there are: large_tank"),
        ([EMPTIES, "--variant-b", "large_tank"], "empties is one run: a variant can be named for a circuit or"),
        (["results/orifice", "tank-and-orifice", "--scenario", "empties"], "tank-and-orifice has no scenario"),
        (["results/orifice", "tank-and-orifice"], "there is no scenario in common: A has empties"),
        ([EMPTIES, EMPTIES, "-o", "orifice.yaml"], "a file is in the way"),
    ],
)
def test_wrong_usage_is_told(ran, args, told):
    result = ran("compare", *args)
    assert result.exit_code == 2
    assert told in " ".join(result.stderr.split())


def test_scenarios_that_are_not_the_same_test_are_told_before_the_measures(ran):
    one, other = Path("one.yaml"), Path("other.yaml")
    one.write_text(ORIFICE)
    other.write_text(ORIFICE.replace("    lasts:", "    begin: {tank.pressure: 5 bar}\n    lasts:", 1))
    told = words(ran("compare", str(one), str(other), "--scenario", "empties"))
    assert "Beware: this is not the same test of both: 1 thing differs in how it begins and in its steps" in told
    assert "Beware" not in words(ran("compare", str(one), str(one), "--scenario", "empties"))


def test_runs_in_python(ran):
    a, b = (pneusim.read_result(place) for place in (EMPTIES, LARGE))
    found = pneusim.compare(a, b)
    assert (found.a, found.b) == ("empties", "empties+large_tank")
    assert [(c.what, c.a, c.b) for c in found.changes] == [("tank.volume", 2e-3, 4e-3)]
    assert found["empties"].measures == pneusim.compare(EMPTIES, LARGE)["empties"].measures
    with pytest.raises(UsageError, match="there is no scenario in common"):
        pneusim.compare(Path("results/orifice"), pneusim.load(find_shipped("tank-and-orifice")))
