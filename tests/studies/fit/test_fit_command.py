"""``pneusim fit``, its files and its pictures."""

from __future__ import annotations

import csv
import json
from dataclasses import replace

import numpy as np
import pytest
from click.testing import CliRunner

from pneusim.cli import main
from pneusim.errors import RunFailed, UsageError
from pneusim.reading import load
from pneusim.show.figures.fit import figure
from pneusim.simulate import run
from pneusim.studies.fit import search
from pneusim.studies.fit.file import load_fit
from pneusim.studies.fit.fit import fit
from pneusim.studies.fit.model import Model
from pneusim.studies.fit.patch import patched
from tests.studies.fit import shipped
from tests.studies.fit.small import NOISE, TIMES, truth
from tests.studies.fit.small import csv as csv_of
from tests.studies.fit.synthetic import TANK

FIT = """\
pneusim: 1
title: A small fit
circuit: tank.yaml
scenario: empties
measured:
  file: m.csv
  columns: {p: {channel: tank.pressure, noise: 1 kPa}}
parameters:
  c: {of: hole.conductance, from: 0.5 dm3/(s bar), to: 10 dm3/(s bar), start: 1 dm3/(s bar)}
  hole.critical_ratio: {from: 0, to: 0.9, start: 0.5}
starts: 2
"""


@pytest.fixture
def call(tmp_path, monkeypatch):
    """Calls the command in a folder with a small fit."""
    monkeypatch.chdir(tmp_path)
    noisy = truth() + np.random.default_rng(5).normal(0.0, NOISE, len(TIMES))
    (tmp_path / "tank.yaml").write_text(TANK.format(heat="isothermal"))
    (tmp_path / "m.csv").write_text(csv_of(noisy))
    (tmp_path / "small.yaml").write_text(FIT)

    def run(*args):
        return CliRunner().invoke(main, ["fit", *args], catch_exceptions=False)

    return run


def test_the_command_and_its_files(call, tmp_path):
    done = call("small.yaml")
    assert done.exit_code == 0, done.output
    for words in ("A small fit: 2 unknowns, 124 measured values", "95 % interval", "Durbin-Watson", "2 of 2 searches",
                  "written to"):  # fmt: skip
        assert words in " ".join(done.output.split())
    folder = tmp_path / "results" / "small"
    names = {file.name for file in folder.iterdir()}
    assert names == {"cases", "fit.json", "residuals.csv", "patch.yaml", "tank-fitted.yaml", "fit_p.png"}
    rows = list(csv.DictReader((folder / "residuals.csv").read_text().splitlines()))
    assert len(rows) == 124
    assert all(
        float(row["measured"]) - float(row["fitted"]) == pytest.approx(float(row["residual"]), abs=1e-6) for row in rows
    )
    told = json.loads((folder / "fit.json").read_text())
    assert told["parameters"]["c"]["low"] < 2e-8 < told["parameters"]["c"]["high"]
    assert 800.0 < told["columns"]["p"]["spread"] < 1200.0


def test_the_patch_is_a_variant_that_check_and_run_take(call, tmp_path):
    call("small.yaml", "-o", "out")
    file = tmp_path / "out" / "tank-fitted.yaml"
    value = json.loads((tmp_path / "out" / "fit.json").read_text())["parameters"]["c"]["value"]
    assert load(file).variants["fitted"]["hole.conductance"] == pytest.approx(value, rel=1e-5)
    for args in (["check", str(file)], ["run", str(file), "empties", "--variant", "fitted", "-o", "runs"]):
        done = CliRunner().invoke(main, args, catch_exceptions=False)
        assert done.exit_code == 0, done.output
    pasted = (tmp_path / "tank.yaml").read_text() + (tmp_path / "out" / "patch.yaml").read_text()
    (tmp_path / "pasted.yaml").write_text(pasted)
    assert load(tmp_path / "pasted.yaml").variants == load(file).variants


def test_a_patch_beside_other_variants(call, tmp_path):
    text = (tmp_path / "tank.yaml").read_text() + "variants:\n  wide:\n    hole.conductance: 5 dm3/(s bar)\n"
    (tmp_path / "tank.yaml").write_text(text)
    call("small.yaml", "-o", "out")
    assert set(load(tmp_path / "out" / "tank-fitted.yaml").variants) == {"fitted", "wide"}


def test_a_fit_of_a_variant_keeps_what_the_variant_changes(call, tmp_path):
    text = (tmp_path / "tank.yaml").read_text()
    variants = "variants:\n  large: {tank.volume: 4 L, hole.conductance: 4 dm3/(s bar), tank.service: false}\n"
    (tmp_path / "tank.yaml").write_text(text + variants)
    (tmp_path / "small.yaml").write_text(FIT.replace("scenario:", "variant: large\nscenario:"))
    call("small.yaml", "-o", "out")
    fitted = load(tmp_path / "out" / "tank-fitted.yaml").variants["fitted"]
    assert (fitted["tank.volume"], fitted["tank.service"]) == (4e-3, False)
    assert fitted["hole.conductance"] == pytest.approx(4e-8, rel=0.01)  # twice the volume, measured with one


def test_a_circuit_that_names_files_beside_it_is_patched_by_hand(call, tmp_path):
    text = (tmp_path / "tank.yaml").read_text()
    head, scenarios = text.split("scenarios:\n")
    (tmp_path / "told.yaml").write_text(f"pneusim: 1\nscenarios:\n{scenarios}")
    (tmp_path / "tank.yaml").write_text(f"{head}scenarios_from: told.yaml\n")
    call("small.yaml", "-o", "out")
    assert not (tmp_path / "out" / "tank-fitted.yaml").exists()
    assert (tmp_path / "out" / "patch.yaml").read_text().startswith("variants:\n  fitted:\n")


def test_what_no_variant_holds_stands_in_a_remark(call, tmp_path):
    text = (tmp_path / "tank.yaml").read_text().replace("{lasts: 4 s}", "{lasts: 4 s, begin: {tank.pressure: 6 bar}}")
    (tmp_path / "tank.yaml").write_text(text)
    more = "  tank.pressure: {from: 5 bar, to: 7 bar}\n  ambient.temperature: {from: 0 degC, to: 40 degC}\nstarts: 1\n"
    (tmp_path / "small.yaml").write_text(FIT.replace("starts: 2\n", more))
    done = call("small.yaml", "-o", "out")
    patch = (tmp_path / "out" / "patch.yaml").read_text()
    assert "# tank.pressure: " in patch
    assert "to be set in 'begin' of empties" in patch
    assert "# ambient.temperature: " in patch
    assert "Beware" in done.output
    assert set(load(tmp_path / "out" / "tank-fitted.yaml").variants["fitted"]) == {
        "hole.conductance", "hole.critical_ratio",
    }  # fmt: skip


def test_another_measured_file_and_json(call, tmp_path):
    (tmp_path / "other.csv").write_text(csv_of(truth(changes={"hole.conductance": 3e-8})))
    done = call("small.yaml", "--measured", "other.csv", "--json", "--on", "serial")
    assert json.loads(done.stdout)["parameters"]["c"]["value"] == pytest.approx(3e-8, rel=1e-3)


@pytest.mark.parametrize(
    ("args", "code", "told"),
    [
        (("smal.yaml",), 2, "no fit file 'smal.yaml'"),
        (("small.yaml", "--on", "moon"), 2, "cases cannot be computed on 'moon'"),
        (("small.yaml", "--measured", "tank.yaml"), 3, "tank.yaml has no column 'time'"),
        (("tank.yaml",), 3, "the key 'circuit' is missing"),
    ],
)
def test_mistakes(call, args, code, told):
    done = call(*args)
    assert done.exit_code == code
    assert told in done.output
    assert "Traceback" not in done.output


def test_a_fit_whose_starts_do_not_run_says_why(call, monkeypatch):
    monkeypatch.setattr(Model, "_run", failing_above(0.0))
    done = call("small.yaml")
    assert done.exit_code == 4
    assert "no search came to an end: it does not settle" in done.output


def test_a_run_that_fails_on_the_way_makes_the_step_shorter(call, tmp_path, monkeypatch):
    (tmp_path / "small.yaml").write_text(FIT.replace("starts: 2", "starts: 4"))
    monkeypatch.setattr(Model, "_run", failing_above(2.05e-8))
    found = fit("small.yaml", on="serial")
    assert found["c"].value == pytest.approx(2e-8, rel=0.01)
    assert any(" of 4 searches failed; the first: it does not settle" in told for told in found.warnings)


def failing_above(conductance):
    """Runs of a model, of which those with a larger conductance fail."""
    good = Model._run

    def run(self, shares):
        if self.fit.values(shares)["c"] > conductance:
            raise RunFailed("it does not settle")
        return good(self, shares)

    return run


def test_a_finished_search_is_taken_from_the_store(call, tmp_path, monkeypatch):
    first = call("small.yaml", "--json", "-o", "out").stdout
    monkeypatch.setattr(search.Searching, "__call__", lambda *_: pytest.fail("searched again"))
    assert call("small.yaml", "--json", "-o", "out").stdout == first


def test_results_are_the_same_wherever_they_are_computed(call):
    serial = call("small.yaml", "--json", "--on", "serial").stdout
    assert call("small.yaml", "--json", "--threads", "2", "-o", "elsewhere").stdout == serial


def test_the_picture(call, tmp_path):
    found = fit("small.yaml", on="serial")
    above, below = found.plot().axes
    assert [line.get_label() for line in above.get_lines()] == ["measured", "with the start values", "fitted"]
    assert above.get_lines()[2].get_ydata() == pytest.approx(1e-3 * found.comparisons[0].fitted)
    assert below.get_lines()[-1].get_ydata() == pytest.approx(1e-3 * found.comparisons[0].residuals)
    assert figure(found, "p", "us").axes[0].get_ylabel() == "pressure\n[psi]"
    with pytest.raises(UsageError, match="the fit has no column 'q'"):
        found.plot("q")


def test_the_fitted_circuit_runs(call):
    found = fit("small.yaml", on="serial")
    circuit, scenario = found.circuit()
    shown = run(circuit, scenario, rtol=1e-6).channels["tank.pressure"]
    assert [shown(time) for time in TIMES] == pytest.approx(found.comparisons[0].fitted, abs=60.0)
    assert patched(found) is not None


@pytest.mark.parametrize("name", ["iso6358-discharge", "iso6358-charge"])
def test_the_tests_of_iso_6358_2_give_c_and_b(name):
    found = fit(name, on="serial")
    for path, true in shipped.TRUTH[name].items():
        estimate = next(e for e in found.estimates if path in e.unknown.paths)
        assert abs(estimate.value - true) < 3.0 * estimate.deviation
    assert found["c"].deviation < 2e-3 * found["c"].value
    assert found["b"].deviation < 5e-3
    assert not found.warnings


def test_an_axle_measured_at_two_places_gives_pipe_valve_and_pedal():
    """Two columns of one unknown noise, and a clock that is ahead."""
    found = fit(replace(load_fit("axle-feed-pipe"), starts=1), on="serial")
    for path, true in shipped.TRUTH["axle-feed-pipe"].items():
        estimate = next(e for e in found.estimates if path in e.unknown.paths)
        assert abs(estimate.value - true) < 3.0 * estimate.deviation
        assert estimate.deviation < 0.02 * true
    assert found["offset"].value == pytest.approx(0.12, abs=1e-3)
    assert [2600.0 < one.spread < 3400.0 for one in found.comparisons] == [True, True]
