import json
import os
import zipfile
from dataclasses import replace

import numpy as np
import pytest

from pneusim.errors import UsageError
from pneusim.results import finish
from pneusim.results.files import files, summary
from pneusim.results.run import CAUTION, Closure, SolverReport
from pneusim.results.store import store
from tests.results.synthetic import run_of, separation


@pytest.fixture(scope="module")
def run():
    return finish(separation())


def contents(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_identical_runs_give_identical_bytes_but_for_the_timing(run):
    slower = replace(run, solver=replace(run.solver, wall=99.0, cpu=98.0, phases={"running": 97.0}))
    first, second = files(run), files(slower)
    assert [name for name in first if first[name] != second[name]] == ["timing.json"]


def test_summary_has_its_keys_and_si_values(run):
    told = json.loads(files(run)["summary.json"])
    assert list(told) == [
        "pneusim", "circuit", "scenario", "variant", "status", "message", "measures", "events", "narrative",
        "closure", "solver", "extrapolated", "sources", "caution",
    ]  # fmt: skip
    assert told["caution"] == CAUTION
    lag = told["measures"][0]
    assert lag["name"] == "drive_lag"
    assert (lag["unit"], lag["limit"], lag["met"]) == ("s", "at most 0.6 s", True)
    assert lag["source"] == "a rule, clause 1"
    assert told["events"][0] == {
        "time": 1.0,
        "kind": "set",
        "component": "tractor.foot",
        "text": "the foot valve is pressed to 100 % within 0.2 s",
    }
    lowest = next(m for m in told["measures"] if m["name"] == "trailer.tank.lowest")
    assert (lowest["value"], lowest["unit"]) == (pytest.approx(760e3, rel=1e-6), "Pa")


def test_a_measure_without_a_value_is_null_with_its_reason():
    whole = separation()
    still = {n: c for n, c in whole.channels.items() if not n.endswith("foot.travel")}
    told = summary(finish(replace(whole, channels=still)))
    assert told["measures"][0]["value"] is None
    assert "reason" in told["measures"][0]


def test_numbers_that_are_not_finite_are_null(run):
    solver = SolverReport("rodas4", 0, 0, 0, 0, float("inf"))
    told = json.loads(files(replace(run, closure=Closure(float("nan"), 0.0), solver=solver))["summary.json"])
    assert told["closure"] == {"mass": None, "energy": 0.0}
    assert (told["solver"]["smallest_time_constant"], told["solver"]["rtol"]) == (None, None)


def test_channels_come_back_as_they_were(run, tmp_path):
    folder = store(run, tmp_path)
    with np.load(folder / "channels.npz", allow_pickle=False) as stored:
        assert np.array_equal(stored["time"], run["tractor.primary.pressure"].times)
        for name, channel in run.channels.items():
            assert stored[name] == pytest.approx(channel.values, rel=1e-7, abs=1e-7)
        assert set(stored.files) == {"time", *run.channels}
    words = json.loads((folder / "channels.json").read_text())
    assert words["trailer.axle_1_left.pushrod_force"]["unit"] == "N"
    with zipfile.ZipFile(folder / "channels.npz") as archive:
        assert {info.date_time for info in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_tables_as_csv(run, tmp_path):
    folder = store(run, tmp_path)
    measures = (folder / "measures.csv").read_text().splitlines()
    assert measures[0] == "name,value,unit,limit,met,reason,error,source"
    assert measures[1].startswith("drive_lag,0.360")
    assert measures[1].endswith(',s,at most 0.6 s,yes,,,"a rule, clause 1"')
    events = (folder / "events.csv").read_text().splitlines()
    assert events[0] == "time,category,kind,component,text"
    assert '"the trailer supply control tripped, because its delivery fell through 207 kPa"' in "\n".join(events)


def test_timing_tells_the_factor(run):
    timing = json.loads(files(run)["timing.json"])
    assert timing["realtime_factor"] == pytest.approx(24.0)
    assert timing["phases"]["running"] == 0.4


def test_a_later_result_replaces_the_earlier_one_whole(run, tmp_path):
    store(run, tmp_path, lambda _, folder: (folder / "old.png").write_bytes(b"x"))
    store(run, tmp_path)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["separation"]
    assert not (tmp_path / "separation" / "old.png").exists()


def test_a_failed_run_stands_beside_the_earlier_result(run, tmp_path):
    store(run, tmp_path)
    before = contents(tmp_path / "separation")
    failed = replace(run, status="failed", message="It did not settle.")
    assert store(failed, tmp_path).name == "separation.failed"
    assert contents(tmp_path / "separation") == before
    assert json.loads((tmp_path / "separation.failed" / "summary.json").read_text())["status"] == "failed"
    store(run, tmp_path)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["separation"]


def test_a_failure_while_writing_leaves_the_earlier_result_and_no_rubbish(run, tmp_path):
    store(run, tmp_path)
    before = contents(tmp_path / "separation")

    def breaks(_, folder):
        raise RuntimeError("no ink")

    with pytest.raises(RuntimeError, match="no ink"):
        store(run, tmp_path, breaks)
    assert contents(tmp_path / "separation") == before
    assert sorted(p.name for p in tmp_path.iterdir()) == ["separation"]


def test_a_move_that_fails_brings_the_earlier_result_back(run, tmp_path, monkeypatch):
    store(run, tmp_path)
    before = contents(tmp_path / "separation")
    rename = type(tmp_path).rename

    def refuse(self, target):
        if self.name.startswith(".separation.") and not self.name.startswith(".separation.earlier"):
            raise OSError("refused")
        return rename(self, target)

    monkeypatch.setattr(type(tmp_path), "rename", refuse)
    with pytest.raises(OSError, match="refused"):
        store(run, tmp_path)
    assert contents(tmp_path / "separation") == before


@pytest.mark.parametrize("put_back", [True, False])
def test_an_interrupted_move_never_costs_the_earlier_result(run, tmp_path, monkeypatch, put_back):
    store(run, tmp_path)
    before = contents(tmp_path / "separation")
    rename = type(tmp_path).rename

    def interrupt(self, target):
        if self.name == "it" and not put_back:
            raise OSError("refused")
        if self.name.startswith(".separation."):
            raise KeyboardInterrupt
        return rename(self, target)

    monkeypatch.setattr(type(tmp_path), "rename", interrupt)
    with pytest.raises(KeyboardInterrupt if put_back else OSError):
        store(run, tmp_path)
    (kept,) = tmp_path.iterdir()
    assert contents(kept if put_back else kept / "it") == before


def test_a_variant_has_its_own_folder(run, tmp_path):
    assert store(replace(run, variant="large_feed"), tmp_path).name == "separation+large_feed"


def test_folders_are_readable_by_others(run, tmp_path):
    mask = os.umask(0o022)
    try:
        assert store(run, tmp_path).stat().st_mode & 0o777 == 0o755
    finally:
        os.umask(mask)


def test_a_file_in_the_way_is_told(run, tmp_path):
    (tmp_path / "results").write_text("")
    with pytest.raises(UsageError, match="a file is in the way"):
        store(run, tmp_path / "results")
    with pytest.raises(UsageError, match="a file is in the way"):
        store(run, tmp_path / "results" / "deeper")


def test_an_empty_partial_run_can_be_stored(tmp_path):
    run = run_of({}, [], status="failed", message="It did not settle.")
    folder = store(finish(run), tmp_path)
    assert json.loads((folder / "channels.json").read_text()) == {}
