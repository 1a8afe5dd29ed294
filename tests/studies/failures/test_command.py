"""``pneusim failures`` on the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pneusim.cli import main
from pneusim.studies import study as work_module
from pneusim.studies.failures.cycle import WAIT


@pytest.fixture
def call(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "160")  # nothing wraps

    def run(*args: str) -> Result:
        return CliRunner().invoke(main, ["failures", *args], catch_exceptions=False)

    return run


def test_it_tells_and_writes(call):
    result = call("one-axle", "--only", "spring", "--on", "serial")
    assert result.exit_code == 0
    assert "less parking force: 4" in result.stdout
    assert "left: broken_spring, caged; right: broken_spring, caged" in " ".join(result.stdout.split())
    assert "4 failures in 1 group; 2 cases computed, 2 failures are mirror images of others." in result.stdout
    folder = Path("results/one-axle/failures/only-spring")
    assert {path.name for path in folder.iterdir()} == {"table.csv", "summary.json", "matrix.png", "matrix.svg"}
    assert f"written to {folder}" in result.stdout
    assert len(list(folder.parent.glob("cases/*.json"))) == 4
    assert call("one-axle", "--only", "spring", "--json").stdout.encode() == (folder / "summary.json").read_bytes()


def test_parts_variants_and_cycles_have_reports_of_their_own(call, tmp_path):
    file = tmp_path / "axle.yaml"
    file.write_text(_text("one-axle") + "\nvariants:\n  wide: {feed.bore: 12 mm}\n")
    for options in ((), ("--variant", "wide"), ("--wait", "8 s"), ("--cycle", "park", "--at", "1 s")):
        result = call(str(file), "--only", "instrument", *options)
        assert result.exit_code == 0
        assert ("One drive axle with spring brakes, variant wide: failures" in result.stdout) == ("wide" in options)
    root = Path("results/axle")
    assert {str(summary.parent.relative_to(root)) for summary in root.rglob("summary.json")} == {
        "failures/only-instrument", "failures+wide/only-instrument", "failures/wait-8s,only-instrument",
        "failures/cycle-park,at-1s,only-instrument",
    }  # fmt: skip
    told = json.loads((root / "failures+wide/only-instrument/summary.json").read_text())
    assert told["variant"] == "wide"


def _text(name: str) -> str:
    from tests.studies.failures.axle import CIRCUITS

    return (CIRCUITS / f"{name}.yaml").read_text()


def test_one_failure_is_told_whole_and_writes_no_table(call):
    result = call("one-axle", "--show", "tank.lost")
    assert result.exit_code == 0
    assert "tank.lost (reservoir): less than half of the braking force" in result.stdout
    assert "closed its contact" in result.stdout
    assert not Path("results/one-axle/failures/table.csv").exists()
    told = json.loads(call("one-axle", "--show", "tank.lost", "--json").stdout)
    assert told["id"] == "tank.lost"
    assert told["events"]


def test_a_scenario_of_the_file_is_the_cycle(call):
    scenario = json.loads(call("one-axle", "--only", "instrument", "--json").stdout)["cycle"]
    assert scenario["scenario"] == "drive_cycle"
    name = next(iter(_scenarios("one-axle")))
    told = json.loads(call("one-axle", "--only", "instrument", "--cycle", name, "--at", "0.2 s", "--json").stdout)
    assert told["cycle"]["scenario"] == name
    assert told["cycle"]["moments"]["fails"] == 0.2


def test_waiting_longer_moves_the_pedal(call):
    told = json.loads(call("one-axle", "--only", "instrument", "--wait", "20 s", "--json").stdout)
    assert told["cycle"]["moments"]["pedal"] == pytest.approx(2.0 + 20.0)
    assert WAIT < 20.0


def _scenarios(name: str) -> list[str]:
    from tests.studies.failures.axle import circuit

    return list(circuit(name).scenarios)


@pytest.mark.parametrize(("args", "words"), [
    (("--only", "springs"), "there is no kind of failure 'springs'; nearest: spring"),
    (("--show", "tank.gone"), "there is no failure 'tank.gone'; nearest: tank.lost"),
    (("--show", "tank"), "'tank' fails in more than one way; name one of: tank.lost"),
    (("--show", "zzz"), "there is no failure 'zzz'; table.csv of a run without --show lists them"),
    (("--at", "1 s"), "--at is for a scenario of the file"),
    (("--wait", "1 s", "--cycle", "park"), "--wait is for the drive cycle"),
    (("--wait", "long"), "--wait: "),
    (("--wait=-1 s",), "--wait is -1 s (allowed: 0 s to 3600 s)"),
    (("--cycle", "nothing"), "has no scenario 'nothing'"),
    (("--on", "moon"), "cases cannot be computed on 'moon'"),
    (("--variant", "nothing"), "variant 'nothing' is not in"),
])  # fmt: skip
def test_wrong_usage_is_told_before_anything_runs(call, args, words):
    result = call("one-axle", *args)
    assert result.exit_code == 2
    assert words in result.stderr


def test_a_circuit_without_a_pedal_is_told_what_to_do(call):
    result = call("semitrailer-3axle")
    assert result.exit_code == 2
    assert "has no foot valve" in result.stderr
    assert "--cycle SCENARIO); there are: " in result.stderr


def test_a_case_that_fails_makes_the_exit_code_4(call, monkeypatch):
    from pneusim.errors import RunFailed
    from pneusim.studies.failures import facts

    usual = facts.short_run

    def sometimes(case):
        if case.name == "left.caged":
            raise RunFailed("the method could not go on")
        return usual(case)

    monkeypatch.setattr(facts, "short_run", sometimes)
    result = call("one-axle", "--only", "spring", "--on", "serial")
    assert result.exit_code == 4
    assert "could not be computed" in result.stdout
    assert "the method could not go on" in result.stdout


def test_ctrl_c_says_what_is_kept(call, monkeypatch):
    usual = work_module._Desk.close
    closed = []

    def interrupted(desk, numbered, result):
        usual(desk, numbered, result)
        closed.append(numbered)
        if len(closed) == 3:  # the moments, the intact vehicle, the first failure
            raise KeyboardInterrupt

    monkeypatch.setattr(work_module._Desk, "close", interrupted)
    result = call("one-axle", "--only", "spring", "--on", "serial")
    assert result.exit_code == 130
    assert "interrupted; 2 of 3 cases are finished and kept" in result.stderr
    assert len(list(Path("results/one-axle/failures/cases").glob("*.json"))) == 3
